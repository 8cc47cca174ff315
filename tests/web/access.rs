//! Every route × role × method: the answer expected stands in the routes' own table.

use axum::http::{Method, StatusCode};
use peglore::{domain::accounts::Role, web::routes};

use crate::support::TestSite;

/// An address of the route with something in each place: no such record, so past the guard it is "not found".
fn filled(path: &str) -> String {
    path.split('/')
        .map(|part| {
            if part.starts_with('{') {
                "999999999"
            } else {
                part
            }
        })
        .collect::<Vec<_>>()
        .join("/")
}

#[tokio::test]
async fn every_route_admits_whom_its_row_names_and_nobody_else() {
    let site = TestSite::new().await;
    let actors = [
        (None, site.visitor()),
        (Some(Role::Member), site.member().await),
        (Some(Role::Organiser), site.organiser().await),
    ];
    for route in routes::table() {
        for (role, actor) in &actors {
            if route.path == "/sign-out" {
                continue; // Tried last, below: it ends the sign-in it is tried with.
            }
            let answer = actor
                .send(
                    route.method.clone(),
                    &filled(route.path),
                    Vec::new(),
                    "application/x-www-form-urlencoded",
                )
                .await;
            let admitted = route.who.admits(*role);
            let refused = match role {
                None => answer.status == StatusCode::UNAUTHORIZED,
                Some(_) => answer.status == StatusCode::FORBIDDEN,
            };
            let sign_in_itself = route.path == "/sign-in" && route.method == Method::POST;
            assert!(
                sign_in_itself || refused != admitted,
                "{} {} as {role:?}: {}",
                route.method,
                route.path,
                answer.status
            );
            assert!(
                !answer.status.is_server_error() || route.path == "/readyz",
                "{} {} as {role:?}: {}",
                route.method,
                route.path,
                answer.status
            );
        }
    }
    let (_, member) = &actors[1];
    assert_eq!(
        member.submit("/sign-out", &[]).await.taken(),
        "/?done=signed-out"
    );
    assert_eq!(
        actors[0].1.submit("/sign-out", &[]).await.status,
        StatusCode::UNAUTHORIZED
    );
}

#[tokio::test]
async fn a_method_that_is_not_in_the_table_is_refused_and_head_answers_like_get() {
    let site = TestSite::new().await;
    let visitor = site.visitor();
    let mut paths: Vec<_> = routes::table().iter().map(|route| route.path).collect();
    paths.dedup();
    for path in paths {
        for method in [Method::PUT, Method::DELETE, Method::PATCH] {
            let status = visitor
                .send(method.clone(), &filled(path), Vec::new(), "")
                .await
                .status;
            assert_eq!(status, StatusCode::METHOD_NOT_ALLOWED, "{method} {path}");
        }
    }
    assert_eq!(
        visitor.send(Method::HEAD, "/", Vec::new(), "").await.status,
        StatusCode::OK
    );
    assert_eq!(
        visitor.get("/no-such-address").await.status,
        StatusCode::NOT_FOUND
    );
}

#[tokio::test]
async fn every_unsafe_route_refuses_another_site() {
    let site = TestSite::new().await;
    for route in routes::table()
        .into_iter()
        .filter(|route| route.method != Method::GET)
    {
        let request = axum::http::Request::builder()
            .method(route.method.clone())
            .uri(filled(route.path))
            .header("sec-fetch-site", "cross-site")
            .body(axum::body::Body::empty())
            .expect("a well-formed request");
        let answer = site.visitor().send_as_is(request).await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{}", route.path);
        answer.says("Not from this site");
    }
}

#[tokio::test]
async fn every_answer_carries_the_protective_headers() {
    let site = TestSite::new().await;
    for path in [
        "/",
        "/sign-in",
        "/no-such-address",
        "/healthz",
        "/committee",
        "/static/x/site.css",
    ] {
        let answer = site.visitor().get(path).await;
        let policy = answer.headers["content-security-policy"]
            .to_str()
            .expect("text");
        assert!(
            policy.starts_with("default-src 'none'") && !policy.contains("unsafe"),
            "{path}"
        );
        assert_eq!(
            answer.headers["x-content-type-options"], "nosniff",
            "{path}"
        );
        assert_eq!(answer.headers["referrer-policy"], "no-referrer", "{path}");
    }
}
