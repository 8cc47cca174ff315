//! What people do while they type: tap twice, go home and come back signed out, lose their rights.

use axum::http::StatusCode;
use peglore::domain::accounts::Role;

use crate::support::TestSite;

async fn with_water() -> TestSite {
    let site = TestSite::new().await;
    run(
        &site,
        "INSERT INTO venues (id, pid, name) VALUES (1, '00000000000000000000000001', 'Quillet Water');
         INSERT INTO banks (id, venue_id, ord, name) VALUES (1, 1, 1, 'Long Reach');
         INSERT INTO pegs (id, venue_id, bank_id, number, walk_order) VALUES (1, 1, 1, '14', 1);",
    )
    .await;
    site
}

async fn run(site: &TestSite, sql: &'static str) {
    let mut writing = site.site.db.write().await.expect("the writer is free");
    sqlx::raw_sql(sql)
        .execute(&mut *writing)
        .await
        .expect("fits the schema");
    writing.commit().await.expect("kept");
}

async fn sessions(site: &TestSite) -> i64 {
    let mut reading = site.site.db.read().await.expect("a reader");
    sqlx::query_scalar("SELECT COUNT(*) FROM sessions")
        .fetch_one(&mut *reading)
        .await
        .expect("a number")
}

const REPORT: [(&str, &str); 9] = [
    ("venue", "1"),
    ("key", "tapped-twice-0000001"),
    ("given", "Jem"),
    ("surname", "Coppleway"),
    ("peg", "14"),
    ("date", "2026-11-13"),
    ("carp_number", "4"),
    ("remarks", "Quiet until the sun came round."),
    ("visibility", "club"),
];

#[tokio::test]
async fn a_button_tapped_twice_at_once_saves_once_and_answers_both() {
    let site = with_water().await;
    let member = site.member().await;
    let (one, two, three) = tokio::join!(
        member.submit("/report", &REPORT),
        member.submit("/report", &REPORT),
        member.submit("/report", &REPORT),
    );
    let first = one.taken();
    assert_eq!((two.taken(), three.taken()), (first.clone(), first));
    assert_eq!(sessions(&site).await, 1);
}

#[tokio::test]
async fn a_report_sent_while_signed_out_is_kept_on_the_page_that_asks_to_sign_in() {
    let site = with_water().await;
    let answer = site.visitor().submit("/report", &REPORT).await;
    assert_eq!(answer.status, StatusCode::UNAUTHORIZED);
    answer
        .says("Quiet until the sun came round.")
        .says("tapped-twice-0000001")
        .says("password");
    assert_eq!(sessions(&site).await, 0);
}

#[tokio::test]
async fn an_organiser_whose_role_went_while_typing_is_told_and_nothing_is_saved() {
    let site = with_water().await;
    let once = site.somebody("Una Fallowes", Role::Organiser).await;
    once.get("/matches/new").await.shown();
    run(
        &site,
        "UPDATE accounts SET role = 'member' WHERE name = 'Una Fallowes'",
    )
    .await;
    let answer = once
        .submit("/matches/new", &[("name", "Frost Cup"), ("venue", "1")])
        .await;
    assert_eq!(answer.status, StatusCode::FORBIDDEN);
    answer.says("Not allowed");
}

#[tokio::test]
async fn a_form_from_another_season_is_taken_as_it_is_meant_or_named_where_it_is_not() {
    let site = with_water().await;
    let member = site.member().await;
    // The peg was taken out since; the date is past all the same.
    run(&site, "UPDATE pegs SET valid_to = '2026-06-30'").await;
    member
        .submit("/report", &REPORT)
        .await
        .asks("There was no peg")
        .says("Quiet until the sun came round.");
    let mut earlier = REPORT;
    earlier[5].1 = "2026-05-01";
    assert!(
        member
            .submit("/report", &earlier)
            .await
            .taken()
            .contains("/sessions/")
    );
}
