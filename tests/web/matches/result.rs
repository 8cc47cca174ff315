//! The result: teams, who is listed apart, sorting, and the file to keep.

use axum::http::StatusCode;

use super::{SHEET, a_match, run};
use crate::support::{Actor, TestSite};

/// Three anglers in two teams, published: 12-8 each on pegs 1 and 2, peg 3 did not weigh.
async fn published(site: &TestSite) -> Actor {
    let organiser = a_match(site).await;
    run(
        site,
        "INSERT INTO match_teams (id, match_id, name) VALUES (1, 1, 'Kingcups'), (2, 1, 'Sedges');
         UPDATE entries SET team_id = 1 WHERE id = 1; UPDATE entries SET team_id = 2 WHERE id IN (2, 3);
         INSERT INTO labels (id, given, surname, salt) VALUES (91, '=2+3', 'Oxbarrow', zeroblob(16));
         INSERT INTO anglers (id, pid, label_id) VALUES (91, '00000000000000000000000091', 91);
         INSERT INTO entries (id, match_id, number, angler_id, peg_id) VALUES (4, 1, 4, 91, 4)",
    )
    .await;
    let mut sheet = SHEET.to_vec();
    sheet[4] = ("outcome-3", "did not weigh");
    sheet.push(("outcome-4", "absent"));
    organiser.submit("/matches/1/weights", &sheet).await.taken();
    organiser
        .submit("/matches/1/publication", &[("version", "3")])
        .await
        .taken();
    organiser
}

#[tokio::test]
async fn teams_share_a_place_and_who_has_no_weight_is_listed_apart() {
    let site = TestSite::new().await;
    published(&site).await;

    let result = site.visitor().get("/matches/1/result").await.shown();

    result
        .says("The teams")
        .says("1 of 2 weighed in")
        .says("<dt>Did not weigh</dt>")
        .says("<dt>Absent</dt>")
        .says("Olly T., peg 3");
    // Both anglers overall and in their section, and both teams.
    assert_eq!(result.body.matches(">1=</td>").count(), 6);
}

#[tokio::test]
async fn the_overall_table_is_sorted_by_link() {
    let site = TestSite::new().await;
    published(&site).await;

    let by_peg = site
        .visitor()
        .get("/matches/1/result?sort=peg&order=down")
        .await
        .shown();

    by_peg.says("aria-sort=\"descending\"").says("sort=angler");
    let at = |name: &str| by_peg.body.find(name).expect("named");
    assert!(at("<b>J. Coppleway</b>") < at("<b>D. Hazelpatch</b>"));
    site.visitor()
        .get("/matches/1/result?sort=%00&order=sideways&posting=1")
        .await
        .shown()
        .says("posting=1&#38;sort=peg");
}

#[tokio::test]
async fn a_result_is_kept_as_csv_with_names_as_the_reader_may_see_them_and_no_formulas() {
    let site = TestSite::new().await;
    let organiser = published(&site).await;

    let open = site.visitor().get("/matches/1/result.csv").await.shown();
    let officers = organiser.get("/matches/1/result.csv").await.shown();

    assert_eq!(open.headers["content-type"], "text/csv; charset=utf-8");
    open.says("1=,1=,D. Hazelpatch,1,A,Kingcups,fished,12 lb 8 oz,5669.9,8 lb ")
        .says("Olly T.,3,B,Sedges,did not weigh,,,")
        .does_not_say("Tarnside")
        .does_not_say("12-8");
    officers
        .says("Olly Tarnside")
        .says(",'=2+3 Oxbarrow,")
        .does_not_say(",=2+3");
    assert_eq!(
        site.visitor().get("/matches/9/result.csv").await.status,
        StatusCode::NOT_FOUND
    );
}

#[tokio::test]
async fn every_match_is_kept_as_csv() {
    let site = TestSite::new().await;
    published(&site).await;

    site.visitor()
        .get("/matches.csv")
        .await
        .shown()
        .says("2026-11-14,Frost Cup,Quillet Water,published,drawn from a bag,4,2");
}

#[tokio::test]
async fn an_objection_is_spoken_of_for_thirty_days() {
    let site = TestSite::new().await;
    published(&site).await;
    let sentence = "An objection goes to the match secretary.";
    site.pass(30 * 86_400);
    site.visitor()
        .get("/matches/1/result")
        .await
        .shown()
        .says(sentence);
    site.pass(86_400);
    site.visitor()
        .get("/matches/1/result")
        .await
        .shown()
        .says("Provisional.")
        .does_not_say(sentence);
}
