//! What a phone with a poor signal waits for before it can report, counted from what the browser
//! itself fetched: no clock, so that a busy machine changes nothing.

use std::{collections::HashMap, time::Duration};

use serde_json::Value;
use tempfile::TempDir;

use super::chrome::{Chrome, Script};
use crate::crash::harness::{club, process::Server};

/// A poor signal: 50 kbit/s, and a second nearly gone before anything comes back.
const BYTES_A_SECOND: f64 = 6_250.0;
const SECONDS_A_TRIP: f64 = 0.8;
/// The page can be used within so long.
const PATIENCE_SECONDS: f64 = 5.0;
const FIRST_VISIT_BYTES: f64 = 60.0 * 1024.0;
const LATER_VISIT_BYTES: f64 = 10.0 * 1024.0;
const MOST_REQUESTS: usize = 6;

/// Something that the page asked for and that came over the network.
#[derive(Debug)]
struct Fetched {
    address: String,
    /// The page cannot be used without it: a document, a style sheet or a script.
    awaited: bool,
    /// Head and body, as they were sent.
    bytes: f64,
}

/// What the log says of requests to `origin`: what came, and whether all that is awaited has come.
fn fetched(events: &[Value], origin: &str) -> (Vec<Fetched>, bool) {
    let of = |method: &'static str| {
        events
            .iter()
            .filter(move |event| event["method"] == method)
            .map(|event| &event["params"])
    };
    let came: HashMap<_, _> = of("Network.loadingFinished")
        .filter_map(|done| {
            Some((
                done["requestId"].as_str()?,
                done["encodedDataLength"].as_f64()?,
            ))
        })
        .collect();
    let (mut all, mut whole) = (Vec::new(), true);
    for asked in of("Network.requestWillBeSent") {
        let address = asked["request"]["url"].as_str().unwrap_or_default();
        if !address.starts_with(origin) {
            continue;
        }
        let kind = asked["type"].as_str().unwrap_or_default();
        let awaited = ["Document", "Stylesheet", "Script"].contains(&kind);
        let bytes = asked["requestId"].as_str().and_then(|id| came.get(id));
        whole &= !awaited || bytes.is_some();
        // What the browser had already is logged with no bytes.
        let bytes = bytes.copied().unwrap_or_default();
        if bytes > 0.0 {
            let address = address.to_owned();
            all.push(Fetched {
                address,
                awaited,
                bytes,
            });
        }
    }
    // All that is awaited has been asked for once the page is loaded.
    let loaded = of("Page.loadEventFired").next().is_some();
    (all, whole && loaded)
}

/// Opens the page and waits until the log tells of all that it waits for.
async fn visit(chrome: &Chrome, origin: &str, page: &str) -> Vec<Fetched> {
    chrome.network().await;
    chrome.goto(&format!("{origin}{page}")).await;
    let mut events = Vec::new();
    for _ in 0..200 {
        events.extend(chrome.network().await);
        let (all, whole) = fetched(&events, origin);
        if whole {
            return all;
        }
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    panic!("the log of {page} never ended: {events:?}");
}

fn bytes(of: &[Fetched]) -> f64 {
    of.iter().map(|one| one.bytes).sum()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_report_page_can_be_used_within_five_seconds_on_a_poor_signal() {
    let folder = TempDir::new().expect("a throw-away folder");
    let cookies = club::found(folder.path(), 1).await;
    let server = Server::start(folder.path());
    let origin = format!("http://{}", server.address);
    let chrome = Chrome::open(Script::On).await;
    // A cookie belongs to a place; this page of it brings no style.
    chrome.goto(&format!("{origin}/healthz")).await;
    chrome.keep_cookie(&cookies[0]).await;

    let first = visit(&chrome, &origin, "/report?venue=1").await;
    let words = chrome.words().await;
    let later = visit(&chrome, &origin, "/report?venue=1").await;

    assert!(words.contains("Where and when"), "{words}");
    let (awaited, others): (Vec<_>, Vec<_>) = first.into_iter().partition(|one| one.awaited);
    assert!(
        awaited.iter().any(|one| one.address.ends_with(".css")),
        "{awaited:?}"
    );
    // The connection is a trip of its own; each thing awaited is taken to be asked for after the last.
    let trips = 1 + awaited.len();
    let seconds = trips as f64 * SECONDS_A_TRIP + bytes(&awaited) / BYTES_A_SECOND;
    println!(
        "{trips} trips and {} bytes before the page can be used, {seconds:.2} s; {} bytes beside; {} bytes later",
        bytes(&awaited),
        bytes(&others),
        bytes(&later)
    );
    assert!(seconds <= PATIENCE_SECONDS, "{seconds:.2} s: {awaited:?}");
    assert!(
        awaited.len() + others.len() <= MOST_REQUESTS,
        "{awaited:?} {others:?}"
    );
    assert!(
        bytes(&awaited) + bytes(&others) <= FIRST_VISIT_BYTES,
        "{awaited:?} {others:?}"
    );
    assert!(bytes(&later) <= LATER_VISIT_BYTES, "{later:?}");
}
