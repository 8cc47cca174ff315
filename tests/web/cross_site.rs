//! Requests that come from other sites change nothing: thirty sets of headers at every address that
//! takes a form.

use axum::{
    body::Body,
    http::{Request, StatusCode},
};
use peglore::{
    settings::{PublicAddress, Settings},
    web::routes,
};

use crate::support::{TestSite, crawl::filled};

/// The public address, the headers, and whether the request is let through.
type Case = (
    Option<&'static str>,
    Vec<(&'static str, &'static str)>,
    bool,
);

fn cases() -> Vec<Case> {
    let site = Some("https://club.example/peg");
    vec![
        (site, vec![("sec-fetch-site", "same-origin")], true),
        (site, vec![("sec-fetch-site", "none")], true),
        (site, vec![("sec-fetch-site", "same-site")], false),
        (site, vec![("sec-fetch-site", "cross-site")], false),
        (site, vec![("sec-fetch-site", "")], false),
        (site, vec![("sec-fetch-site", "SAME-ORIGIN")], false),
        (
            site,
            vec![
                ("sec-fetch-site", "same-origin"),
                ("sec-fetch-site", "same-origin"),
            ],
            false,
        ),
        (
            site,
            vec![
                ("sec-fetch-site", "cross-site"),
                ("origin", "https://club.example"),
            ],
            false,
        ),
        (
            site,
            vec![("sec-fetch-site", "same-origin"), ("origin", "null")],
            true,
        ),
        (site, vec![("origin", "https://club.example")], true),
        (site, vec![("origin", "HTTPS://Club.Example")], true),
        (site, vec![("origin", "https://club.example:443")], true),
        (site, vec![("origin", "https://club.example:8443")], false),
        (site, vec![("origin", "http://club.example")], false),
        (
            site,
            vec![("origin", "https://club.example.evil.example")],
            false,
        ),
        (site, vec![("origin", "https://evil.example")], false),
        (site, vec![("origin", "null")], false),
        (site, vec![("origin", "")], false),
        (
            site,
            vec![
                ("origin", "https://club.example"),
                ("origin", "https://club.example"),
            ],
            false,
        ),
        (
            site,
            vec![("origin", "https://evil.example"), ("host", "evil.example")],
            false,
        ),
        (site, vec![("host", "club.example")], false),
        (site, vec![("referer", "https://club.example/peg/")], false),
        (site, vec![], false),
        (
            None,
            vec![
                ("origin", "http://192.168.1.5:8080"),
                ("host", "192.168.1.5:8080"),
            ],
            true,
        ),
        (
            None,
            vec![("origin", "http://192.168.1.5"), ("host", "192.168.1.5:80")],
            true,
        ),
        (
            None,
            vec![
                ("origin", "http://Pi.Local:8080"),
                ("host", "pi.local:8080"),
            ],
            true,
        ),
        (
            None,
            vec![
                ("origin", "http://192.168.1.5:8081"),
                ("host", "192.168.1.5:8080"),
            ],
            false,
        ),
        (
            None,
            vec![
                ("origin", "http://evil.example"),
                ("host", "192.168.1.5:8080"),
            ],
            false,
        ),
        (
            None,
            vec![("origin", "null"), ("host", "192.168.1.5:8080")],
            false,
        ),
        (None, vec![("host", "192.168.1.5:8080")], false),
    ]
}

async fn with_address(public: Option<&str>) -> TestSite {
    TestSite::with(Settings {
        public_address: public.map(|address| PublicAddress::parse(address).expect("plain")),
        ..Settings::default()
    })
    .await
}

#[tokio::test]
async fn thirty_header_sets_are_judged_as_promised_at_every_address_that_takes_a_form() {
    assert_eq!(cases().len(), 30);
    let bare = with_address(None).await;
    let named = with_address(Some("https://club.example/peg")).await;
    let unsafe_routes: Vec<_> = routes::table()
        .into_iter()
        .filter(|route| route.method != axum::http::Method::GET)
        .collect();
    assert!(unsafe_routes.len() > 20);
    for (public, headers, allowed) in cases() {
        let site = if public.is_some() { &named } else { &bare };
        for route in &unsafe_routes {
            let mut request = Request::builder()
                .method(route.method.clone())
                .uri(filled(route.path, &[]));
            for (name, value) in &headers {
                request = request.header(*name, *value);
            }
            // Without a content type, so that the form itself goes no further than its reading.
            let request = request.body(Body::empty()).expect("well formed");
            let answer = site.visitor().send_as_is(request).await;
            let refused = answer.status == StatusCode::FORBIDDEN
                && answer.body.contains("Not from this site");
            assert_eq!(
                !refused, allowed,
                "{} {} with {headers:?}: {}",
                route.method, route.path, answer.status
            );
        }
    }
}

#[tokio::test]
async fn nothing_asked_for_with_get_changes_the_record() {
    let site = TestSite::new().await;
    let administrator = site.administrator().await;
    let told = async || {
        let mut reading = site.site.db.read().await.expect("a reader");
        let changes: i64 = sqlx::query_scalar("SELECT COUNT(*) FROM audit")
            .fetch_one(&mut *reading)
            .await
            .expect("a number");
        changes
    };
    let before = told().await;
    crate::support::crawl::crawl(&administrator, &[]).await;
    assert_eq!(told().await, before);
}
