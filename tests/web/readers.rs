//! A page reads over one connection at a time: while others read, it never waits for a second.

use std::collections::BTreeMap;

use axum::http::{Method, StatusCode};
use peglore::{store::READERS, web::routes};
use sqlx::{Sqlite, pool::PoolConnection};

use super::imports::{RESULTS, bring_in, lay_out, with_water};
use crate::support::{
    Actor, Answer, TestSite,
    crawl::{crawl, crawl_after, filled},
};

/// A club in which others hold every connection that reads but one.
struct Busy {
    site: TestSite,
    administrator: Actor,
    /// The number of a sheet that is laid out and not in the record.
    import: String,
    _others: Vec<PoolConnection<Sqlite>>,
}

impl Busy {
    async fn new() -> Self {
        let (site, organiser) = with_water().await;
        bring_in(&organiser, RESULTS).await;
        let import = lay_out(&organiser, "results", RESULTS).await;
        let import = import.rsplit('/').next().expect("a number").to_owned();
        let administrator = site.administrator().await;
        let mut others = Vec::new();
        while others.len() + 1 < READERS as usize {
            others.push(site.site.db.read().await.expect("a reader"));
        }
        Self {
            site,
            administrator,
            import,
            _others: others,
        }
    }

    fn places(&self) -> [(&str, &str); 4] {
        [
            ("venue", "1"),
            ("match", "1"),
            ("peg", "1"),
            ("import", self.import.as_str()),
        ]
    }

    /// Nothing that pages keep stands any more: each has to ask the record again.
    async fn nothing_kept(&self) {
        let mut writing = self.site.site.db.write().await.expect("a writer");
        sqlx::query(
            "UPDATE club_marks SET names = names + 1, settings = settings + 1, venues = venues + 1, methods = methods + 1, fits = fits + 1",
        )
        .execute(&mut *writing)
        .await
        .expect("fits the schema");
        writing.commit().await.expect("kept");
    }
}

#[track_caller]
fn none_waited(pages: &BTreeMap<String, Answer>, least: usize) {
    let failed: Vec<_> = pages
        .iter()
        .filter(|(_, answer)| answer.status.is_server_error())
        .map(|(address, _)| address)
        .collect();
    assert!(failed.is_empty(), "{failed:?}");
    let shown = pages
        .values()
        .filter(|answer| answer.status == StatusCode::OK);
    assert!(shown.count() > least, "only {} pages were met", pages.len());
}

#[tokio::test]
async fn every_page_is_shown_to_a_visitor_over_the_last_free_connection() {
    let busy = Busy::new().await;
    let pages = crawl(&busy.site.visitor(), &busy.places()).await;
    none_waited(&pages, 20);
}

#[tokio::test]
async fn every_page_is_shown_to_an_administrator_when_nothing_is_kept() {
    let busy = Busy::new().await;
    let before = async || busy.nothing_kept().await;
    let pages = crawl_after(&busy.administrator, &busy.places(), before).await;
    none_waited(&pages, 40);
}

/// What takes the sheet away that another form is about, and what ends the sign-in.
const LAST: [&str; 4] = [
    "/sign-out",
    "/imports/{import}",
    "/imports/{import}/undo",
    "/imports/{import}/discard",
];

#[tokio::test]
async fn every_form_comes_back_over_the_last_free_connection() {
    let busy = Busy::new().await;
    let visitor = busy.site.visitor();
    let mut came_back = 0;
    for route in routes::table() {
        if route.method != Method::POST || LAST.contains(&route.path) {
            continue;
        }
        let address = filled(route.path, &busy.places());
        for actor in [&visitor, &busy.administrator] {
            busy.nothing_kept().await;
            let answer = actor.submit(&address, &[("nothing", "of use")]).await;
            assert!(
                !answer.status.is_server_error(),
                "{address}: {}",
                answer.status
            );
            came_back += usize::from(answer.status == StatusCode::UNPROCESSABLE_ENTITY);
        }
    }
    assert!(came_back > 9, "only {came_back} forms came back");
    busy.nothing_kept().await;
    let columns = format!("/imports/{}/columns", busy.import);
    busy.administrator
        .submit(&columns, &[("column-0", "date")])
        .await
        .asks("No column is said to hold the angler");
}
