//! Addresses and requests that no browser of ours makes.

use std::time::Duration;

use axum::http::Method;
use peglore::web::routes;
use tokio::{io::AsyncWriteExt, net::TcpStream};

use super::{Club, values};
use crate::crash::harness::http::{answer, exchange};

/// Every open part of the row's address filled with `id`.
fn filled(path: &str, id: &str) -> String {
    path.split('/')
        .map(|part| if part.starts_with('{') { id } else { part })
        .collect::<Vec<_>>()
        .join("/")
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn no_address_and_no_method_brings_a_fault() {
    let mut club = Club::open().await;
    let (address, cookie) = (club.browser.address, club.browser.cookie.clone());
    let mut wrong = Vec::new();
    let mut ask = async |method: &str, path: &str, more: &str| {
        let request = format!(
            "{method} {path} HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\nCookie: {cookie}\r\nSec-Fetch-Site: same-origin\r\n{more}\r\n"
        );
        match exchange(address, request.as_bytes()).await {
            Ok(reply) if reply.status >= 500 => {
                wrong.push(format!("{method} {path}: {}", reply.status))
            }
            Ok(_) => {}
            // A method the server does not know may be cut off.
            Err(_) if method == "BREW" => {}
            // HEAD has no body for the length it names.
            Err(_) if method == "HEAD" => {}
            Err(e) => wrong.push(format!("{method} {path}: {e}")),
        }
    };
    let form = "Content-Type: application/x-www-form-urlencoded\r\nContent-Length: 0\r\n";
    for route in routes::table() {
        for method in ["OPTIONS", "BREW", "TRACE"] {
            ask(method, &filled(route.path, "1"), "").await;
        }
        if route.path == "/sign-out" {
            continue;
        }
        if route.path.contains('{') {
            for id in values::IDS {
                match route.method {
                    Method::GET => ask("GET", &filled(route.path, id), "").await,
                    _ => ask("POST", &filled(route.path, id), form).await,
                }
            }
        }
        if route.method == Method::GET {
            ask("HEAD", &filled(route.path, "1"), "").await;
            ask(
                "GET",
                &filled(route.path, "1"),
                "Range: bytes=5-2\r\nIf-None-Match: \"x\", *\r\nAccept-Encoding: gzip;q=9, br\r\n",
            )
            .await;
            ask(
                "GET",
                &format!(
                    "{}?page=-1&venue=NaN&date=9999-99-99&peg=%ff&from=%00&group=<&to=0001-01-01",
                    filled(route.path, "1")
                ),
                "",
            )
            .await;
            ask(
                "GET",
                &format!("{}?{}", filled(route.path, "1"), "a=b&".repeat(1_500)),
                "",
            )
            .await;
        }
    }
    assert!(
        wrong.is_empty(),
        "{} faults:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
    let log = club.server.logged();
    assert!(!log.contains("panicked"), "{log}");
    assert!(club.server.runs());
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn broken_requests_are_refused_and_hold_nobody_up() {
    let mut club = Club::open().await;
    let address = club.browser.address;
    let head = |more: &str| {
        format!(
            "POST /report HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\nSec-Fetch-Site: same-origin\r\nCookie: {}\r\n{more}\r\n",
            club.browser.cookie
        )
    };
    let form = "Content-Type: application/x-www-form-urlencoded\r\n";
    let refused: [(&str, Vec<u8>, &[u16]); 8] = [
        ("no HTTP", b"\x16\x03\x01\x02\0\x01\0\x01\xfc\r\n\r\n".to_vec(), &[400]),
        ("two lengths", head(&format!("{form}Content-Length: 3\r\nContent-Length: 5\r\n")).into_bytes(), &[400]),
        ("a length of letters", head(&format!("{form}Content-Length: many\r\n")).into_bytes(), &[400]),
        ("a broken chunk", [head(&format!("{form}Transfer-Encoding: chunked\r\n")).into_bytes(), b"zz\r\n".to_vec()].concat(), &[400, 413, 422]),
        ("two kinds", [head("Content-Type: text/plain\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 7\r\n").into_bytes(), b"venue=1".to_vec()].concat(), &[400, 422]),
        ("a packed body", [head(&format!("{form}Content-Encoding: gzip\r\nContent-Length: 20\r\n")).into_bytes(), vec![0x1f, 0x8b, 8, 0, 0, 0, 0, 0, 0, 3, 3, 0, 0, 0, 0, 0, 0, 0, 0, 0]].concat(), &[400, 404, 415, 422]),
        ("a cookie of 8 KiB", format!("GET / HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\nCookie: peglore={}\r\n\r\n", "x".repeat(8_192)).into_bytes(), &[200, 431]),
        ("a head of 200 KiB", format!("GET / HTTP/1.1\r\nHost: {address}\r\nX-Long: {}\r\n\r\n", "x".repeat(200_000)).into_bytes(), &[431]),
    ];
    for (name, bytes, wanted) in refused {
        match exchange(address, &bytes).await {
            Ok(reply) => assert!(
                wanted.contains(&reply.status),
                "{name}: {} {}",
                reply.status,
                reply.text()
            ),
            // The answer to a head too long may be lost when the connection is reset over what was not read.
            Err(e) => assert!(name == "a head of 200 KiB", "{name}: {e}"),
        }
    }
    // Left hanging: a body shorter than its length, chunks without an end, half a head.
    let mut hanging = Vec::new();
    for bytes in [
        head(&format!("{form}Content-Length: 500\r\n")),
        head(&format!("{form}Transfer-Encoding: chunked\r\n")),
        "GET / HTTP/1.1\r\nHost: ".to_owned(),
    ] {
        for _ in 0..30 {
            let mut stream = TcpStream::connect(address).await.expect("it answers");
            stream
                .write_all(bytes.as_bytes())
                .await
                .expect("it listens");
            hanging.push(stream);
        }
    }
    let reply = tokio::time::timeout(Duration::from_secs(5), club.browser.get("/")).await;
    assert_eq!(
        reply.expect("nobody is held up").expect("an answer").status,
        200
    );
    // Half a head is given up on after its time; the connection is closed, not left open for ever.
    let mut half = hanging.pop().expect("just opened");
    let end = tokio::time::timeout(Duration::from_secs(20), answer(&mut half)).await;
    let end = end.expect("closed in time");
    assert!(end.is_err() || end.is_ok_and(|reply| reply.status == 408));
    drop(hanging);
    assert!(club.server.runs() && !club.server.logged().contains("panicked"));
}
