//! A form that comes back with a mistake still answers the version it was fetched with, so that what
//! somebody else saved in between is shown before it is saved over.

use axum::http::StatusCode;

use super::{SHEET, a_match};
use crate::support::TestSite;

#[tokio::test]
async fn weights_mended_after_a_mistake_do_not_save_over_what_another_saved_meanwhile() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    organiser.submit("/matches/1/weights", SHEET).await.taken();
    let mut sheet = SHEET.to_vec();
    sheet[3] = ("net-2-3-0", "heavy");
    organiser
        .submit("/matches/1/weights", &sheet)
        .await
        .asks("Peg 2, Jem Coppleway. Net 1: ")
        .says("name=\"version\" value=\"2\"");

    sheet[3] = ("net-2-3-0", "11-1");
    let stale = organiser.submit("/matches/1/weights", &sheet).await;

    assert_eq!(stale.status, StatusCode::CONFLICT);
    stale
        .says("value=\"11-1\"")
        .says("On record now: 12 lb 8 oz")
        .says("name=\"version\" value=\"3\"");
}

#[tokio::test]
async fn pegs_mended_after_a_mistake_do_not_save_over_what_another_saved_meanwhile() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let pegs = |second| {
        [
            ("version", "2"),
            ("peg-1", "1"),
            ("section-1", "1"),
            ("peg-2", second),
            ("section-2", "1"),
        ]
    };
    organiser
        .submit("/matches/1/pegs", &pegs("4"))
        .await
        .taken();
    organiser
        .submit("/matches/1/pegs", &pegs("99"))
        .await
        .asks("Quillet Water has no peg 99")
        .says("name=\"version\" value=\"2\"");

    let stale = organiser.submit("/matches/1/pegs", &pegs("2")).await;

    assert_eq!(stale.status, StatusCode::CONFLICT);
    stale
        .says("On record now: 4")
        .says("name=\"version\" value=\"3\"");
}

#[tokio::test]
async fn a_match_changed_after_a_mistake_is_not_saved_over_what_another_saved_meanwhile() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let form = |name| {
        [
            ("version", "2"),
            ("name", name),
            ("on", "2026-11-14"),
            ("start", "10:00"),
            ("finish", "15:00"),
            ("pegs_allotted", "bag"),
            ("ranking", "0"),
            ("group-carp", "together"),
            ("group-silvers", "together"),
        ]
    };
    organiser
        .submit("/matches/1/edit", &form("Frost Shield"))
        .await
        .taken();
    organiser
        .submit("/matches/1/edit", &form(""))
        .await
        .asks("Enter the name of the match")
        .says("name=\"version\" value=\"2\"");

    let stale = organiser
        .submit("/matches/1/edit", &form("Frost Bowl"))
        .await;

    assert_eq!(stale.status, StatusCode::CONFLICT);
    stale.says("<b>Theirs:</b> Frost Shield<br><b>Yours:</b> Frost Bowl");
}
