//! Guessing at passwords: slowed per account and per address, by nobody's spoofed address, and with
//! nothing told about who has an account.

use std::{
    net::SocketAddr,
    time::{Duration, Instant},
};

use axum::{
    body::Body,
    extract::ConnectInfo,
    http::{Request, StatusCode, header},
    response::IntoResponse,
};
use peglore::{
    actions::{
        ActionError,
        passwords::Hasher,
        sign_in::{SignInTry, sign_in},
    },
    domain::accounts::Role,
    settings::Settings,
    web::errors::PageError,
};

use crate::support::{Answer, TestSite};

const PASSWORD: &str = "wet bank cold hands";
const SLOWED: &str = "Too many wrong tries";

async fn with_password(site: &TestSite, name: &str) {
    let link = site.invited(name, Role::Member).await;
    site.visitor()
        .submit(&link, &[("password", PASSWORD)])
        .await
        .taken();
}

/// One try from the machine at `peer`, with further headers.
async fn tried(
    site: &TestSite,
    peer: [u8; 4],
    name: &str,
    password: &str,
    headers: &[(&str, &str)],
) -> Answer {
    let mut request = Request::builder()
        .method("POST")
        .uri("/sign-in")
        .header("sec-fetch-site", "same-origin")
        .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
    for (name, value) in headers {
        request = request.header(*name, *value);
    }
    let body = format!("name={name}&password={}", password.replace(' ', "+"));
    let mut request = request.body(Body::from(body)).expect("well formed");
    let peer = SocketAddr::from((peer, 40_000));
    request.extensions_mut().insert(ConnectInfo(peer));
    site.visitor().send_as_is(request).await
}

fn was_slowed(answer: &Answer) -> bool {
    answer.body.contains(SLOWED)
}

#[tokio::test]
async fn guesses_at_one_account_are_slowed_wherever_they_come_from() {
    let site = TestSite::new().await;
    with_password(&site, "Jem").await;
    for address in 1..=5 {
        let answer = tried(&site, [203, 0, 113, address], "Jem", "a guess", &[]).await;
        assert!(!was_slowed(&answer));
    }
    let sixth = tried(&site, [203, 0, 113, 6], "Jem", PASSWORD, &[]).await;
    assert!(was_slowed(&sixth));
    assert_eq!(sixth.status, StatusCode::UNAUTHORIZED);
    // Another account, from an address that has made one guess, is not slowed by that.
    with_password(&site, "Nell").await;
    let other = tried(&site, [203, 0, 113, 6], "Nell", PASSWORD, &[]).await;
    assert_eq!(other.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn guesses_from_one_address_are_slowed_whomever_they_are_at() {
    let site = TestSite::new().await;
    for name in ["Ana", "Bet", "Cyd", "Deb", "Eve"] {
        tried(&site, [203, 0, 113, 9], name, "a guess", &[]).await;
    }
    with_password(&site, "Jem").await;
    let here = tried(&site, [203, 0, 113, 9], "Jem", PASSWORD, &[]).await;
    assert!(was_slowed(&here));
    let elsewhere = tried(&site, [203, 0, 113, 10], "Jem", PASSWORD, &[]).await;
    assert_eq!(elsewhere.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn the_wait_grows_with_each_wrong_try_and_is_forgotten_after_a_quiet_day() {
    let site = TestSite::new().await;
    with_password(&site, "Jem").await;
    for wrong in 0..8 {
        let answer = tried(&site, [203, 0, 113, wrong], "Jem", "a guess", &[]).await;
        assert!(!was_slowed(&answer), "try {wrong}");
        site.pass(if wrong < 4 { 0 } else { 5 << (wrong - 4) });
    }
    tried(&site, [203, 0, 113, 50], "Jem", "a guess", &[]).await;
    site.pass(60);
    assert!(was_slowed(
        &tried(&site, [203, 0, 113, 51], "Jem", PASSWORD, &[]).await
    ));
    site.pass(86_400);
    let answer = tried(&site, [203, 0, 113, 52], "Jem", PASSWORD, &[]).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn a_device_that_has_signed_in_before_does_not_wait_for_a_strangers_guesses() {
    let site = TestSite::new().await;
    with_password(&site, "Jem").await;
    let first = tried(&site, [198, 51, 100, 1], "Jem", PASSWORD, &[]).await;
    let device = first
        .headers
        .get_all(header::SET_COOKIE)
        .iter()
        .filter_map(|value| value.to_str().ok()?.split(';').next())
        .find(|pair| pair.starts_with("peglore-device="))
        .expect("the device is remembered")
        .to_owned();
    for address in 1..=20 {
        tried(&site, [203, 0, 113, address], "Jem", "a guess", &[]).await;
    }
    let stranger = tried(&site, [198, 51, 100, 2], "Jem", PASSWORD, &[]).await;
    assert!(was_slowed(&stranger));
    let cookie = [("cookie", device.as_str())];
    let owner = tried(&site, [198, 51, 100, 1], "Jem", PASSWORD, &cookie).await;
    assert_eq!(owner.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn guesses_made_at_the_same_moment_are_no_cheaper() {
    let site = TestSite::new().await;
    with_password(&site, "Jem").await;
    let guesses = (0..24).map(|n| {
        let router = site.router.clone();
        tokio::spawn(async move {
            use tower::ServiceExt;
            let request = Request::builder()
                .method("POST")
                .uri("/sign-in")
                .header("sec-fetch-site", "same-origin")
                .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
                .body(Body::from(format!("name=Jem&password=guess+number+{n}")))
                .expect("well formed");
            let response = router.oneshot(request).await.expect("always answers");
            let body = axum::body::to_bytes(response.into_body(), 1 << 20)
                .await
                .expect("a whole body");
            String::from_utf8_lossy(&body).contains(SLOWED)
        })
    });
    let mut looked_at = 0;
    for guess in guesses.collect::<Vec<_>>() {
        looked_at += usize::from(!guess.await.expect("ended"));
    }
    assert_eq!(looked_at, 5);
}

#[tokio::test]
async fn a_spoofed_address_changes_nothing() {
    let site = TestSite::new().await;
    for n in 1..=5 {
        let address = format!("198.51.100.{n}");
        let forwarded = format!("for={address}");
        let headers = [
            ("x-forwarded-for", address.as_str()),
            ("x-real-ip", &address),
            ("forwarded", &forwarded),
        ];
        let name = format!("Nobody{n}");
        tried(&site, [203, 0, 113, 9], &name, "a guess", &headers).await;
    }
    let headers = [("x-forwarded-for", "198.51.100.99")];
    let sixth = tried(&site, [203, 0, 113, 9], "Somebody", "a guess", &headers).await;
    assert!(was_slowed(&sixth));
}

#[tokio::test]
async fn a_listed_proxy_is_believed_about_the_address_it_saw_last() {
    let site = TestSite::with(Settings {
        trusted_proxies: vec![[10, 0, 0, 1].into()],
        ..Settings::default()
    })
    .await;
    // The guesser puts a new address in front each time; the proxy adds the real one behind it.
    for n in 1..=5 {
        let seen = format!("192.0.2.{n}, 203.0.113.9");
        let headers = [("x-forwarded-for", seen.as_str())];
        let name = format!("Nobody{n}");
        tried(&site, [10, 0, 0, 1], &name, "a guess", &headers).await;
    }
    let again = [("x-forwarded-for", "192.0.2.77, 203.0.113.9")];
    let sixth = tried(&site, [10, 0, 0, 1], "Somebody", "a guess", &again).await;
    assert!(was_slowed(&sixth));
    let other = [("x-forwarded-for", "203.0.113.10")];
    let neighbour = tried(&site, [10, 0, 0, 1], "Somebody", "a guess", &other).await;
    assert!(!was_slowed(&neighbour));
}

#[tokio::test]
async fn an_unknown_name_gets_the_same_words_headers_and_work() {
    let site = TestSite::new().await;
    with_password(&site, "Jem").await;
    let plain = |answer: &Answer, name: &str| {
        let mut headers: Vec<_> = answer
            .headers
            .iter()
            .map(|(name, value)| format!("{name}: {value:?}"))
            .collect();
        headers.sort();
        (answer.status, headers, answer.body.replace(name, "NAME"))
    };
    let known = tried(&site, [203, 0, 113, 1], "Jem", "a guess", &[]).await;
    let unknown = tried(&site, [203, 0, 113, 2], "Jim", "a guess", &[]).await;
    assert_eq!(plain(&known, "Jem"), plain(&unknown, "Jim"));

    let mut times = [Vec::new(), Vec::new()];
    for round in 0..15 {
        for (which, name) in ["Jem", "Jim"].into_iter().enumerate() {
            site.pass(1_000);
            let begun = Instant::now();
            let answer = tried(&site, [203, 0, 113, 3], name, "a guess", &[]).await;
            times[which].push(begun.elapsed());
            assert!(!was_slowed(&answer), "round {round}");
        }
    }
    let [known, unknown] = times.map(|mut all: Vec<Duration>| {
        all.sort();
        all[all.len() / 2]
    });
    // A hash left out would make it many times as quick; the fine comparison is a long test's.
    assert!(
        unknown * 2 > known && known * 2 > unknown,
        "{known:?} {unknown:?}"
    );
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn two_passwords_are_hashed_at_once_and_who_waits_too_long_is_told_that_nothing_was_done() {
    let site = TestSite::new().await;
    let hasher = Hasher::new(19_456);
    // Two at work for longer than anybody waits.
    let (starts, started) = std::sync::mpsc::channel();
    let at_work: Vec<_> = (0..2)
        .map(|_| {
            let (hasher, starts) = (hasher.clone(), starts.clone());
            tokio::spawn(async move {
                let work = move || {
                    starts.send(()).expect("somebody listens");
                    std::thread::sleep(Duration::from_secs(10));
                };
                hasher.in_turn(work).await
            })
        })
        .collect();
    for _ in 0..2 {
        started.recv().expect("both turns are taken");
    }
    let attempt = SignInTry {
        name: "Jem",
        password: "a guess",
        address: "203.0.113.9",
        device_words: "a test",
        device_token: None,
        replaces: None,
    };
    let begun = Instant::now();
    let answer = sign_in(&site.site.db, &hasher, site.site.now(), attempt).await;
    assert!(matches!(answer, Err(ActionError::Busy)));
    assert!(
        begun.elapsed() < Duration::from_secs(8),
        "{:?}",
        begun.elapsed()
    );
    let page = PageError::from(ActionError::Busy).into_response();
    assert_eq!(page.status(), StatusCode::SERVICE_UNAVAILABLE);
    let mut reading = site.site.db.read().await.expect("a reader");
    let counted: i64 = sqlx::query_scalar("SELECT COUNT(*) FROM throttle")
        .fetch_one(&mut *reading)
        .await
        .expect("a number");
    assert_eq!(
        counted, 0,
        "a guess that was not looked at is not held against anybody"
    );
    for one in at_work {
        one.await
            .expect("ended")
            .expect("what was begun is finished");
    }
    let free = hasher.hash("wet bank cold hands").await;
    assert!(free.is_ok(), "a turn is free again");
}
