//! What is sent or answered too slowly: given up on, and said only as far as it is known.

use std::{
    io::{Read, Write},
    net::TcpStream,
    time::{Duration, Instant},
};

use axum::{Router, http::StatusCode, routing::get};
use peglore::web::{self, Limits, routes};

use super::limits::{FORM, exchanged, is_protected, listening_within};
use crate::support::TestSite;

/// A second where people get ten and sixty.
const SHORT: Limits = Limits {
    head: Duration::from_secs(1),
    body: Duration::from_secs(1),
    answer: Duration::from_secs(3),
    last_orders: Duration::from_secs(1),
};

#[test]
fn a_head_gets_ten_seconds_and_a_body_sixty() {
    let limits = Limits::default();
    assert_eq!(limits.head, Duration::from_secs(10));
    assert_eq!(limits.body, Duration::from_secs(60));
    // Whoever sends too slowly is to be told so before the server gives up on itself.
    assert!(limits.answer >= limits.body + Duration::from_secs(2));
    assert!(limits.answer < Duration::from_secs(90));
    assert!(limits.last_orders < Duration::from_secs(5));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn heads_that_never_end_are_let_go_and_hold_nobody_up() {
    let site = TestSite::new().await;
    let address = listening_within(&site, SHORT).await;
    let slow: Vec<_> = (0..40)
        .map(|_| {
            exchanged(
                address,
                b"GET / HTTP/1.1\r\nHost: x\r\nX-Slow: ".to_vec(),
                15,
            )
        })
        .map(tokio::spawn)
        .collect();
    tokio::time::sleep(Duration::from_millis(300)).await;
    let quick = b"GET /healthz HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n".to_vec();
    let (answer, took) = exchanged(address, quick, 5).await;
    assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
    assert!(took < Duration::from_secs(2), "{took:?}");
    for one in slow {
        let (answer, took) = one.await.expect("ended");
        assert!(
            answer.is_empty() || answer.starts_with("HTTP/1.1 408"),
            "{answer}"
        );
        assert!(took >= Duration::from_millis(900), "{took:?}");
        assert!(took < Duration::from_secs(10), "{took:?}");
    }
}

/// A form whose head says that more is to come than what is sent.
fn unfinished(path: &str, more: &str, body: &str) -> Vec<u8> {
    format!(
        "POST {path} HTTP/1.1\r\nHost: x\r\nSec-Fetch-Site: same-origin\r\nContent-Type: {FORM}\r\n{more}\r\n{body}"
    )
    .into_bytes()
}

const NOT_ARRIVED: &str = "What you sent took too long to arrive. Nothing was saved.";

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_body_that_never_ends_is_answered_with_a_page_that_says_so() {
    let site = TestSite::new().await;
    let address = listening_within(&site, SHORT).await;
    for (path, more, body) in [
        ("/sign-in", "Content-Length: 500\r\n", "name=Jem"),
        (
            "/sign-in",
            "Transfer-Encoding: chunked\r\n",
            "8\r\nname=Jem\r\n",
        ),
        // Kept for whoever has to sign in first, so read all the same.
        ("/report", "Content-Length: 500\r\n", "remarks=Quiet"),
    ] {
        let (answer, took) = exchanged(address, unfinished(path, more, body), 8).await;
        assert!(
            answer.starts_with("HTTP/1.1 408"),
            "{path} {more}: {answer}"
        );
        assert!(answer.contains("Too slow"), "{path} {more}: {answer}");
        assert!(answer.contains(NOT_ARRIVED), "{path} {more}: {answer}");
        assert!(
            answer.contains("content-security-policy: default-src 'none'"),
            "{path} {more}: {answer}"
        );
        assert!(took >= Duration::from_millis(900), "{took:?}");
        assert!(took < Duration::from_secs(7), "{took:?}");
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_file_that_never_ends_is_answered_in_the_same_words() {
    let site = TestSite::new().await;
    let cookie = site.organiser().await.cookie();
    let address = listening_within(&site, SHORT).await;
    let request = format!(
        "POST /imports/new HTTP/1.1\r\nHost: x\r\nSec-Fetch-Site: same-origin\r\nCookie: {cookie}\r\n\
         Content-Type: multipart/form-data; boundary=x\r\nContent-Length: 500\r\n\r\n\
         --x\r\nContent-Disposition: form-data; name=\"file\"; filename=\"old.csv\"\r\n\r\nDate,Angler\r\n"
    );
    let (answer, took) = exchanged(address, request.into_bytes(), 8).await;
    assert!(answer.starts_with("HTTP/1.1 408"), "{answer}");
    assert!(answer.contains(NOT_ARRIVED), "{answer}");
    assert!(took < Duration::from_secs(7), "{took:?}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_body_that_drips_gets_no_more_time_than_one_that_stands_still() {
    let site = TestSite::new().await;
    let address = listening_within(&site, SHORT).await;
    let begun = Instant::now();
    let answer = tokio::task::spawn_blocking(move || {
        let mut stream = TcpStream::connect(address).expect("it listens");
        let patience = Some(Duration::from_millis(200));
        stream.set_read_timeout(patience).expect("a time");
        let head = unfinished("/sign-in", "Content-Length: 500\r\n", "name=");
        stream.write_all(&head).expect("it reads");
        let mut piece = [0; 4_096];
        while begun.elapsed() < Duration::from_secs(8) {
            match stream.read(&mut piece) {
                Ok(read) => return String::from_utf8_lossy(&piece[..read]).into_owned(),
                // Nothing yet, so another letter.
                Err(_) => drop(stream.write_all(b"x")),
            }
        }
        String::new()
    });
    let answer = answer.await.expect("ended");
    assert!(answer.starts_with("HTTP/1.1 408"), "{answer}");
    assert!(begun.elapsed() < Duration::from_secs(7));
}

async fn sleeps() -> &'static str {
    tokio::time::sleep(Duration::from_secs(30)).await;
    "awake"
}

#[tokio::test]
async fn an_answer_that_takes_too_long_claims_nothing_of_what_was_saved() {
    let site = TestSite::new().await;
    let limits = Limits {
        answer: Duration::from_millis(200),
        ..SHORT
    };
    let routes = Router::new().route("/sleeps", get(sleeps).post(sleeps));
    let inside = routes::guarded(routes, site.site.clone(), limits);
    let visitor = site.visitor_of(web::around(inside, site.site.clone(), limits));
    let read = visitor.get("/sleeps").await;
    read.says("The server could not finish this page in a minute. Ask for it again in a while.");
    let sent = visitor.submit("/sleeps", &[("name", "Jem")]).await;
    sent.says("The server could not finish in a minute. Look whether it was saved before you send it again.");
    for answer in [read, sent] {
        assert_eq!(answer.status, StatusCode::SERVICE_UNAVAILABLE);
        answer
            .says("Too slow")
            .does_not_say("Nothing was saved")
            .does_not_say("took too long to arrive");
        is_protected(&answer, "an answer that was not ready");
    }
}
