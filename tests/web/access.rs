//! Every route × role × method: the answer expected stands in the routes' own table.

use axum::http::{Method, StatusCode};
use peglore::{
    actions::{By, accounts},
    domain::accounts::Role,
    store,
    web::routes,
};

use crate::support::{Actor, TestSite, crawl};

/// An address of the route with something in each place: no such record, so past the guard it is "not found".
fn filled(path: &str) -> String {
    let nowhere = [
        "venue",
        "peg",
        "match",
        "session",
        "angler",
        "account",
        "secret",
        "closure",
        "entry",
        "import",
        "file",
        "name",
        "fingerprint",
    ]
    .map(|place| (place, "999999999"));
    crawl::filled(path, &nowhere).replace("/{*name}", "/999999999")
}

/// Somebody whose account was disabled while the browser was open.
async fn disabled(site: &TestSite) -> Actor {
    let actor = site.somebody("Gone", Role::Organiser).await;
    let mut reading = site.site.db.read().await.expect("a reader");
    let account = store::accounts::by_name_key(&mut reading, "gone")
        .await
        .expect("read")
        .expect("made");
    drop(reading);
    let now = site.site.now();
    accounts::set_disabled(&site.site.db, now, &By::CommandLine, &account.pid, true)
        .await
        .expect("another can sign in");
    actor
}

/// Everybody the table knows, with the role that they have left.
async fn everybody(site: &TestSite) -> [(&'static str, Option<Role>, Actor); 6] {
    let (member, organiser) = (Some(Role::Member), Some(Role::Organiser));
    let administrator = Some(Role::Administrator);
    [
        ("visitor", None, site.visitor()),
        ("disabled account", None, disabled(site).await),
        ("member", member, site.member().await),
        ("other member", member, site.other_member().await),
        ("organiser", organiser, site.organiser().await),
        ("administrator", administrator, site.administrator().await),
    ]
}

#[tokio::test]
async fn every_route_admits_whom_its_row_names_and_nobody_else() {
    let site = TestSite::new().await;
    let actors = everybody(&site).await;
    for route in routes::table() {
        for (name, role, actor) in &actors {
            if route.path == "/sign-out" {
                continue; // Tried last, below: it ends the sign-in it is tried with.
            }
            let kind = "application/x-www-form-urlencoded";
            let answer = actor
                .send(route.method.clone(), &filled(route.path), Vec::new(), kind)
                .await;
            let admitted = route.who.admits(*role);
            let refused = match role {
                None => answer.status == StatusCode::UNAUTHORIZED,
                Some(_) => answer.status == StatusCode::FORBIDDEN,
            };
            let sign_in_itself = route.path == "/sign-in" && route.method == Method::POST;
            let told = format!(
                "{} {} as {name}: {}",
                route.method, route.path, answer.status
            );
            assert!(sign_in_itself || refused != admitted, "{told}");
            assert!(
                !answer.status.is_server_error() || route.path == "/readyz",
                "{told}"
            );
        }
    }
    let (_, _, member) = &actors[2];
    assert_eq!(
        member.submit("/sign-out", &[]).await.taken(),
        "/?done=signed-out"
    );
    for (name, _, nobody) in &actors[..2] {
        let status = nobody.submit("/sign-out", &[]).await.status;
        assert_eq!(status, StatusCode::UNAUTHORIZED, "{name}");
    }
}

#[tokio::test]
async fn a_method_that_is_not_in_the_table_is_refused_to_everybody() {
    let site = TestSite::new().await;
    let actors = everybody(&site).await;
    let table = routes::table();
    let mut paths: Vec<_> = table.iter().map(|route| route.path).collect();
    paths.dedup();
    for path in paths {
        let listed = |method: &Method| {
            table
                .iter()
                .any(|route| route.path == path && route.method == *method)
        };
        let others = [
            Method::GET,
            Method::POST,
            Method::PUT,
            Method::DELETE,
            Method::PATCH,
        ];
        for method in others.into_iter().filter(|method| !listed(method)) {
            for (name, _, actor) in &actors {
                let answer = actor
                    .send(method.clone(), &filled(path), Vec::new(), "")
                    .await;
                let told = format!("{method} {path} as {name}");
                assert_eq!(answer.status, StatusCode::METHOD_NOT_ALLOWED, "{told}");
            }
        }
    }
}

#[tokio::test]
async fn head_answers_like_get_and_what_is_not_in_the_table_is_not_found() {
    let site = TestSite::new().await;
    let visitor = site.visitor();
    let head = visitor.send(Method::HEAD, "/", Vec::new(), "").await;
    assert_eq!((head.status, head.body.as_str()), (StatusCode::OK, ""));
    for path in [
        "/no-such-address",
        "/.env",
        "/venues/1/../../etc/passwd",
        "/admin",
        "/%00",
    ] {
        for method in [Method::GET, Method::POST] {
            let answer = visitor.send(method.clone(), path, Vec::new(), "").await;
            assert_eq!(answer.status, StatusCode::NOT_FOUND, "{method} {path}");
        }
    }
}

#[tokio::test]
async fn places_in_addresses_that_are_no_record_are_not_found() {
    let site = TestSite::new().await;
    let administrator = site.administrator().await;
    for odd in [
        "0",
        "-1",
        "9223372036854775808",
        "1e3",
        "%F0%9F%90%9F",
        "x%2Fy",
        "..%2F..",
        "'--",
    ] {
        for route in routes::table() {
            if route.method != Method::GET || !route.path.contains('{') {
                continue;
            }
            let address: Vec<_> = route
                .path
                .split('/')
                .map(|part| if part.starts_with('{') { odd } else { part })
                .collect();
            let status = administrator.get(&address.join("/")).await.status;
            // No number at all is an address that cannot be read; any other leads nowhere.
            assert!(
                status == StatusCode::NOT_FOUND || status == StatusCode::BAD_REQUEST,
                "{} with {odd}: {status}",
                route.path
            );
        }
    }
}

#[tokio::test]
async fn a_refusal_keeps_the_menu_and_the_foot() {
    let site = TestSite::new().await;
    let (visitor, member) = (site.visitor(), site.member().await);
    for (reader, path, status) in [
        (&visitor, "/nowhere", StatusCode::NOT_FOUND),
        (&member, "/nowhere", StatusCode::NOT_FOUND),
        (&member, "/committee", StatusCode::FORBIDDEN),
    ] {
        let answer = reader.get(path).await;
        assert_eq!(answer.status, status, "{path}");
        answer
            .says("<nav aria-label=\"Club\">")
            .says("<nav aria-label=\"Also here\">");
    }
    let lost = member.get("/nowhere").await;
    lost.says("Sign out Member").does_not_say("Sign in</a>");
}
