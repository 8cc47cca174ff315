//! A match moved to another time, day or water.

use super::{
    SHEET, a_match,
    changing::{form, with},
    number, run,
};
use crate::support::TestSite;

#[tokio::test]
async fn a_match_past_midnight_is_changed_and_keeps_its_hours() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    run(
        &site,
        "UPDATE matches SET start_utc = unixepoch('2026-11-14 20:00'), finish_utc = unixepoch('2026-11-15 04:00')",
    )
    .await;
    let night = [
        ("name", "Night Cup"),
        ("start", "20:00"),
        ("finish", "04:00"),
    ];
    organiser
        .submit("/matches/1/edit", &with(form("2"), &night))
        .await
        .taken();
    let kept = "SELECT COUNT(*) FROM matches
                WHERE name = 'Night Cup' AND start_utc = unixepoch('2026-11-14 20:00') AND finish_utc = unixepoch('2026-11-15 04:00')";
    assert_eq!(number(&site, kept).await, 1);

    let later = [
        ("on", "2026-11-21"),
        ("start", "19:00"),
        ("finish", "03:30"),
    ];
    organiser
        .submit("/matches/1/edit", &with(form("3"), &later))
        .await
        .taken();
    let moved = "SELECT COUNT(*) FROM matches
                 WHERE start_utc = unixepoch('2026-11-21 19:00') AND finish_utc = unixepoch('2026-11-22 03:30')";
    assert_eq!(number(&site, moved).await, 1);
    organiser
        .submit(
            "/matches/1/edit",
            &with(form("4"), &[("on", "2026-11-21"), ("finish", "09:00")]),
        )
        .await
        .asks("more than 16 hours after it began")
        .says("href=\"#finish\"")
        .says("value=\"09:00\"");
}

#[tokio::test]
async fn times_on_record_stand_however_long_they_make_the_match() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    run(
        &site,
        "UPDATE matches SET finish_utc = start_utc + 24 * 3600",
    )
    .await;
    let length = "SELECT (finish_utc - start_utc) / 3600 FROM matches";
    let round = [("name", "Long Cup"), ("finish", "10:00")];
    organiser
        .submit("/matches/1/edit", &with(form("2"), &round))
        .await
        .taken();
    assert_eq!(number(&site, length).await, 24);
    let moved = with(form("3"), &[("on", "2026-11-21"), ("finish", "10:00")]);
    organiser.submit("/matches/1/edit", &moved).await.taken();
    assert_eq!(number(&site, length).await, 24);
}

#[tokio::test]
async fn a_match_that_was_fished_is_not_moved_to_a_day_still_to_come() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    organiser.submit("/matches/1/weights", SHEET).await.taken();

    organiser
        .submit(
            "/matches/1/edit",
            &with(form("3"), &[("on", "2026-11-15")]),
        )
        .await
        .asks("Sunday 15 November 2026 is still to come, and somebody has an outcome in this match already.")
        .says("href=\"#on\"")
        .says("value=\"2026-11-15\"");

    organiser
        .submit("/matches/1/edit", &with(form("3"), &[("on", "2026-11-13")]))
        .await
        .taken();
    assert_eq!(
        number(
            &site,
            "SELECT COUNT(*) FROM matches WHERE on_date = '2026-11-13'"
        )
        .await,
        1
    );
}

#[tokio::test]
async fn a_match_moved_to_a_water_that_has_one_of_its_name_that_day_wants_a_tick() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    run(
        &site,
        "INSERT INTO venues (id, pid, name) VALUES (2, '00000000000000000000000002', 'Sallow Pool')",
    )
    .await;
    let mut there = vec![
        ("name", "Frost Cup"),
        ("venue", "2"),
        ("on", "2026-11-14"),
        ("pegs_allotted", "bag"),
        ("ranking", "0"),
        ("group-carp", "together"),
    ];
    organiser.submit("/matches/new", &there).await.taken();
    there[1] = ("venue", "1");
    there.push(("version", "1"));
    organiser
        .submit("/matches/2/edit", &there)
        .await
        .asks("There is a match called Frost Cup at Quillet Water on that day already.")
        .says("name=\"name_sure\" value=\"Frost Cup 2026-11-14 1\">");
    there.push(("name_sure", "Frost Cup 2026-11-14 1"));
    organiser.submit("/matches/2/edit", &there).await.taken();
    assert_eq!(
        number(&site, "SELECT COUNT(*) FROM matches WHERE venue_id = 1").await,
        2
    );
}
