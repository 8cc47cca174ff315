//! What every answer carries, and what is refused before any work is done for it.

use std::{
    io::{Read, Write},
    net::{SocketAddr, TcpStream},
    time::{Duration, Instant},
};

use axum::{
    Router,
    http::{Method, StatusCode},
    routing::get,
};
use peglore::{
    settings::{PublicAddress, Settings},
    web::{self, Limits, routes},
};

use crate::support::{Answer, TestSite, crawl::filled};

pub(super) const FORM: &str = "application/x-www-form-urlencoded";

#[track_caller]
pub(super) fn is_protected(answer: &Answer, what: &str) {
    let text = |name: &str| {
        let value = answer.headers.get(name);
        value
            .and_then(|value| value.to_str().ok())
            .unwrap_or("")
            .to_owned()
    };
    let policy = text("content-security-policy");
    for part in [
        "default-src 'none'",
        "object-src 'none'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
        "form-action 'self'",
    ] {
        assert!(policy.contains(part), "{what}: no {part}");
    }
    assert!(
        !policy.contains("unsafe") && !policy.contains('*'),
        "{what}: {policy}"
    );
    assert_eq!(text("x-content-type-options"), "nosniff", "{what}");
    assert_eq!(text("referrer-policy"), "no-referrer", "{what}");
    assert!(!text("cache-control").is_empty(), "{what}");
}

#[tokio::test]
async fn every_answer_carries_the_protective_headers() {
    let site = TestSite::new().await;
    let actors = [
        site.visitor(),
        site.member().await,
        site.administrator().await,
    ];
    for route in routes::table() {
        for actor in &actors {
            if route.path == "/sign-out" {
                continue;
            }
            let address = filled(route.path, &[]);
            let answer = actor
                .send(route.method.clone(), &address, Vec::new(), FORM)
                .await;
            is_protected(
                &answer,
                &format!("{} {address}: {}", route.method, answer.status),
            );
        }
    }
    let visitor = &actors[0];
    let home = visitor.get("/").await;
    let sheet = home
        .body
        .split("href=\"")
        .filter_map(|rest| rest.split('"').next())
        .find(|link| link.ends_with("site.css"))
        .expect("a style sheet");
    is_protected(&visitor.get(sheet).await.shown(), "the style sheet");
    is_protected(&visitor.get("/no-such-address").await, "not found");
    is_protected(
        &visitor.send(Method::PUT, "/", Vec::new(), "").await,
        "no such method",
    );
    is_protected(
        &visitor.get(&format!("/{}", "x".repeat(9_000))).await,
        "a long address",
    );
    is_protected(&actors[1].submit("/sign-out", &[]).await, "a redirect");
}

#[tokio::test]
async fn what_a_signed_in_person_saw_is_not_kept_for_back_and_style_sheets_are() {
    let site = TestSite::new().await;
    let (visitor, member) = (site.visitor(), site.member().await);
    let home = member.get("/").await.shown();
    let sheet = home
        .body
        .split("href=\"")
        .filter_map(|rest| rest.split('"').next())
        .find(|link| link.ends_with("site.css"))
        .expect("a style sheet");
    for path in ["/", "/account", "/sessions", "/report", "/no-such-address"] {
        let answer = member.get(path).await;
        assert_eq!(answer.headers["cache-control"], "no-store", "{path}");
    }
    let signed_out = visitor.get("/").await.shown();
    assert_eq!(signed_out.headers["cache-control"], "private, no-cache");
    for actor in [&visitor, &member] {
        let file = actor.get(sheet).await.shown();
        assert_eq!(
            file.headers["cache-control"],
            "public, max-age=31536000, immutable"
        );
    }
}

#[tokio::test]
async fn https_is_asked_for_a_year_where_the_public_address_has_it() {
    for (address, wanted) in [
        ("https://club.example", true),
        ("http://club.example", false),
    ] {
        let site = TestSite::with(Settings {
            public_address: Some(PublicAddress::parse(address).expect("plain")),
            ..Settings::default()
        })
        .await;
        let answer = site.visitor().get("/").await.shown();
        let asked = answer.headers.get("strict-transport-security");
        assert_eq!(asked.is_some(), wanted, "{address}");
        if let Some(asked) = asked {
            assert_eq!(asked, "max-age=31536000");
        }
    }
}

#[tokio::test]
async fn a_form_larger_than_its_room_is_refused_at_every_address_that_takes_one() {
    let site = TestSite::new().await;
    let actors = [site.visitor(), site.administrator().await];
    for route in routes::table()
        .into_iter()
        .filter(|route| route.method == Method::POST)
    {
        for actor in &actors {
            if route.path == "/sign-out" {
                continue;
            }
            let address = filled(route.path, &[]);
            let mut body = b"a=".to_vec();
            body.resize(route.room + 1_000, b'x');
            let answer = actor.send(Method::POST, &address, body, FORM).await;
            let takes_no_form =
                answer.status.is_redirection() || answer.status == StatusCode::NOT_FOUND;
            assert!(
                answer.status == StatusCode::PAYLOAD_TOO_LARGE
                    || answer.status == StatusCode::UNPROCESSABLE_ENTITY
                    || takes_no_form,
                "{address}: {}",
                answer.status
            );
        }
    }
    let mut body = b"name=".to_vec();
    body.resize(300_000, b'x');
    let answer = actors[0].send(Method::POST, "/sign-in", body, FORM).await;
    assert_eq!(answer.status, StatusCode::PAYLOAD_TOO_LARGE);
    answer.says("Too large");
}

#[tokio::test]
async fn ten_thousand_fields_and_the_wrong_kind_of_body_are_refused() {
    let site = TestSite::new().await;
    let visitor = site.visitor();
    let many = "a=1&".repeat(10_000).into_bytes();
    let answer = visitor.send(Method::POST, "/sign-in", many, FORM).await;
    assert_eq!(answer.status, StatusCode::PAYLOAD_TOO_LARGE);
    for kind in [
        "application/json",
        "text/plain",
        "multipart/form-data; boundary=x",
        "",
        "application/xml",
    ] {
        let answer = visitor
            .send(Method::POST, "/sign-in", b"name=Jem".to_vec(), kind)
            .await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{kind}");
    }
    let long = visitor.get(&format!("/venues?{}", "x".repeat(9_000))).await;
    assert_eq!(long.status, StatusCode::URI_TOO_LONG);
}

/// The site behind a real port, for what only a connection can show.
async fn listening(site: &TestSite) -> SocketAddr {
    listening_within(site, Limits::default()).await
}

/// The same, with less patience.
pub(super) async fn listening_within(site: &TestSite, limits: Limits) -> SocketAddr {
    let listener = tokio::net::TcpListener::bind("127.0.0.1:0")
        .await
        .expect("a free port");
    let address = listener.local_addr().expect("bound");
    let router = web::site_within(site.site.clone(), limits);
    tokio::spawn(async move {
        web::serve_within(listener, router, std::future::pending(), limits).await
    });
    address
}

/// Sends bytes and reads until the other side closes or falls silent; what came, and how long it took.
pub(super) async fn exchanged(
    address: SocketAddr,
    request: Vec<u8>,
    patience: u64,
) -> (String, Duration) {
    tokio::task::spawn_blocking(move || {
        let begun = Instant::now();
        let mut stream = TcpStream::connect(address).expect("it listens");
        let patience = Duration::from_secs(patience);
        stream.set_read_timeout(Some(patience)).expect("a time");
        // A server may close while a long head is still on its way.
        let _ = stream.write_all(&request);
        let mut answer = Vec::new();
        let mut piece = [0; 4_096];
        while let Ok(read) = stream.read(&mut piece) {
            answer.extend(&piece[..read]);
            if read == 0 || answer.len() > 8_192 {
                break;
            }
        }
        (
            String::from_utf8_lossy(&answer).into_owned(),
            begun.elapsed(),
        )
    })
    .await
    .expect("ended")
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_head_that_is_too_large_or_has_too_many_lines_is_refused_as_such() {
    let site = TestSite::new().await;
    let address = listening(&site).await;
    let head = |lines: String| format!("GET / HTTP/1.1\r\nHost: x\r\n{lines}\r\n").into_bytes();
    let large = head(format!("X-Long: {}\r\n", "a".repeat(80_000)));
    let (answer, _) = exchanged(address, large, 3).await;
    // What is still on its way when the server closes may take the answer with it.
    let cut_short = answer.is_empty();
    assert!(cut_short || answer.starts_with("HTTP/1.1 431"), "{answer}");
    let many = head((0..300).map(|n| format!("X-{n}: a\r\n")).collect());
    let (answer, _) = exchanged(address, many, 3).await;
    assert!(answer.starts_with("HTTP/1.1 431"), "{answer}");
}

async fn breaks() -> &'static str {
    panic!("this one breaks, on purpose");
}

async fn holds() -> &'static str {
    "it holds"
}

#[tokio::test]
async fn a_handler_that_breaks_is_answered_with_a_protected_page_and_stops_nobody_else() {
    let site = TestSite::new().await;
    let limits = Limits::default();
    let routes = Router::new()
        .route("/breaks", get(breaks))
        .route("/holds", get(holds));
    let inside = routes::guarded(routes, site.site.clone(), limits);
    let router = web::around(inside, site.site.clone(), limits);
    let asked = async |path: &str| {
        let request = axum::http::Request::get(path).body(axum::body::Body::empty());
        let request = request.expect("well formed");
        site.visitor_of(router.clone()).send_as_is(request).await
    };
    for _ in 0..3 {
        let broken = asked("/breaks").await;
        assert_eq!(broken.status, StatusCode::INTERNAL_SERVER_ERROR);
        broken
            .says("Something broke")
            .does_not_say("on purpose")
            .does_not_say("panicked");
        is_protected(&broken, "a page that broke");
        asked("/holds").await.shown().says("it holds");
    }
}
