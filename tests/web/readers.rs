//! A page reads over one connection at a time: while others read, it never waits for a second.

use axum::http::StatusCode;
use peglore::store::READERS;

use super::imports::{RESULTS, bring_in, lay_out, with_water};
use crate::support::crawl::crawl;

#[tokio::test]
async fn every_page_is_shown_over_the_last_free_connection() {
    let (site, organiser) = with_water().await;
    bring_in(&organiser, RESULTS).await;
    let import = lay_out(&organiser, "results", RESULTS).await;
    let administrator = site.administrator().await;
    let import = import.rsplit('/').next().expect("a number").to_owned();
    let places = [
        ("venue", "1"),
        ("match", "1"),
        ("peg", "1"),
        ("import", import.as_str()),
    ];
    let mut others = Vec::new();
    while others.len() + 1 < READERS as usize {
        others.push(site.site.db.read().await.expect("a reader"));
    }

    let pages = crawl(&administrator, &places).await;

    let failed: Vec<_> = pages
        .iter()
        .filter(|(_, answer)| answer.status.is_server_error())
        .map(|(address, _)| address)
        .collect();
    assert!(failed.is_empty(), "{failed:?}");
    let shown = pages
        .values()
        .filter(|answer| answer.status == StatusCode::OK);
    assert!(shown.count() > 40, "only {} pages were met", pages.len());
}
