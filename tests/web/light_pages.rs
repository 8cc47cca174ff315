//! What a phone with a poor signal has to fetch before it can report, and to send.

use std::collections::BTreeSet;

use crate::support::{
    Actor, TestSite,
    pages::{Kind, forms_of},
};

const KIB: usize = 1024;
/// First visit to the report's page, everything it fetches included.
const FIRST_VISIT: usize = 60 * KIB;
/// Later visits, when style and icons are kept by the browser.
const LATER_VISIT: usize = 10 * KIB;
const SCRIPT: usize = 25 * KIB;
const MOST_TRIPS: usize = 6;
/// What a report sends: empty boxes with it, and what is typed into an ordinary one.
const SENT: usize = 2 * KIB;

/// A water of forty pegs, as many as a report's page may have to offer.
async fn with_forty_pegs() -> TestSite {
    let site = TestSite::new().await;
    let mut writing = site.site.db.write().await.expect("the writer is free");
    sqlx::raw_sql(
        "INSERT INTO venues (id, pid, name) VALUES (1, '00000000000000000000000001', 'Quillet Water');
         INSERT INTO banks (id, venue_id, ord, name) VALUES (1, 1, 1, 'Long Reach');
         WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 40)
         INSERT INTO pegs (id, venue_id, bank_id, number, walk_order) SELECT i, 1, 1, CAST(i AS TEXT), i FROM n;",
    )
    .execute(&mut *writing)
    .await
    .expect("fits the schema");
    writing.commit().await.expect("kept");
    site
}

/// Addresses of this site's own files within a page or a style sheet.
fn files_within(text: &str) -> BTreeSet<String> {
    text.split("/static/")
        .skip(1)
        .filter_map(|rest| rest.split(['"', '\'', ')', ' ']).next())
        .map(|rest| format!("/static/{rest}"))
        .collect()
}

/// The page's files, and those that its style sheets ask for.
async fn everything_fetched(reader: &Actor, page: &str) -> BTreeSet<String> {
    let mut files = files_within(&reader.get(page).await.shown().body);
    let sheets: Vec<_> = files
        .iter()
        .filter(|file| file.ends_with(".css"))
        .cloned()
        .collect();
    for sheet in sheets {
        files.extend(files_within(&reader.get(&sheet).await.shown().body));
    }
    files
}

#[tokio::test]
async fn the_report_page_is_light_on_a_first_visit_and_lighter_later() {
    let site = with_forty_pegs().await;
    let member = site.member().await;
    let address = "/report?venue=1";

    let page = member.weigh(address).await;
    let files = everything_fetched(&member, address).await;
    let (mut all, mut script) = (page, 0);
    for file in &files {
        let weight = member.weigh(file).await;
        all += weight;
        script += if file.ends_with(".js") { weight } else { 0 };
    }

    assert!(files.iter().any(|file| file.ends_with(".css")), "{files:?}");
    assert!(
        all <= FIRST_VISIT,
        "{all} bytes on a first visit: {files:?}"
    );
    assert!(page <= LATER_VISIT, "{page} bytes on a later visit");
    assert!(script <= SCRIPT, "{script} bytes of script");
    assert!(files.len() < MOST_TRIPS, "{files:?}");
}

#[tokio::test]
async fn a_quick_report_page_is_no_heavier() {
    let site = with_forty_pegs().await;
    let member = site.member().await;
    let form = [
        ("venue", "1"),
        ("key", "a-form-of-its-own-0001"),
        ("given", "Jem"),
        ("surname", "Coppleway"),
        ("peg", "14"),
        ("date", "2026-11-13"),
        ("start", "10:00"),
        ("end", "15:00"),
        ("spells", "1"),
        ("method_1", "1"),
        ("carp_number", "4"),
        ("carp_weight", "31-4"),
        ("visibility", "club"),
    ];
    member.submit("/report", &form).await.taken();

    let page = member.weigh("/report/quick").await;

    assert!(page <= LATER_VISIT, "{page} bytes");
}

#[tokio::test]
async fn a_report_that_is_sent_is_small() {
    let site = with_forty_pegs().await;
    let member = site.member().await;
    let address = "/report?venue=1";
    let page = member.get(address).await.shown();
    let forms = forms_of(&page.body, address);
    let form = forms.iter().find(|form| form.pattern == "/report");
    let form = form.expect("the page has its form");
    let typed = [
        ("peg", "14"),
        ("start", "10:00"),
        ("end", "15:00"),
        ("line_1", "11"),
        ("carp_number", "4"),
        ("carp_weight", "31 lb 4 oz"),
        ("silvers_number", "22"),
        ("silvers_weight", "4 lb 8 oz"),
        (
            "remarks",
            "Bites from the first cast; the wind went round at noon and they moved out.",
        ),
    ];
    let body: Vec<String> = form
        .fields
        .iter()
        .filter(|field| field.kind != Kind::File)
        .map(|field| {
            let said = typed.iter().find(|(name, _)| *name == field.name);
            let value = said.map_or(field.value.as_str(), |(_, value)| value);
            let escaped = peglore::web::links::escaped;
            format!("{}={}", escaped(&field.name), escaped(value))
        })
        .collect();
    let body = body.join("&");
    assert!(
        body.contains("31%20lb%204%20oz") && body.contains("noon"),
        "{body}"
    );
    assert!(body.len() <= SENT, "{} bytes: {body}", body.len());
}
