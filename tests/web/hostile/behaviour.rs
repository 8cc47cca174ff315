//! What people do while they type: tap twice, go home and come back signed out, lose their rights.

use axum::http::StatusCode;
use peglore::domain::accounts::Role;

use crate::support::{
    TestSite,
    record::{number, tell},
    reports::{a_report, with_water},
};

async fn sessions(site: &TestSite) -> i64 {
    number(site, "SELECT COUNT(*) FROM sessions").await
}

/// A report of that day without hours.
fn report(date: &'static str) -> Vec<(&'static str, &'static str)> {
    a_report(&[
        ("key", "tapped-twice-0000001"),
        ("peg", "14"),
        ("date", date),
        ("start", ""),
        ("end", ""),
        ("carp_number", "4"),
        ("remarks", "Quiet until the sun came round."),
    ])
}

const YESTERDAY: &str = "2026-11-13";

#[tokio::test]
async fn a_button_tapped_twice_at_once_saves_once_and_answers_both() {
    let site = with_water().await;
    let member = site.member().await;
    let form = report(YESTERDAY);
    let (one, two, three) = tokio::join!(
        member.submit("/report", &form),
        member.submit("/report", &form),
        member.submit("/report", &form),
    );
    let first = one.taken();
    assert_eq!((two.taken(), three.taken()), (first.clone(), first));
    assert_eq!(sessions(&site).await, 1);
}

#[tokio::test]
async fn a_report_sent_while_signed_out_is_kept_on_the_page_that_asks_to_sign_in() {
    let site = with_water().await;
    let answer = site.visitor().submit("/report", &report(YESTERDAY)).await;
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
    tell(
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
    tell(&site, "UPDATE pegs SET valid_to = '2026-06-30'").await;
    member
        .submit("/report", &report(YESTERDAY))
        .await
        .asks("There was no peg")
        .says("Quiet until the sun came round.");
    assert!(
        member
            .submit("/report", &report("2026-05-01"))
            .await
            .taken()
            .contains("/sessions/")
    );
}
