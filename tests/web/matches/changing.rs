//! A match is changed after it was made.

use axum::http::StatusCode;

use super::{SHEET, a_match, number, post, run};
use crate::support::TestSite;

/// The form of [`a_match`] as it stands, with its sections.
pub(super) fn form(version: &str) -> Vec<(&str, &str)> {
    vec![
        ("version", version),
        ("name", "Frost Cup"),
        ("on", "2026-11-14"),
        ("meet_place", ""),
        ("meet", ""),
        ("start", "10:00"),
        ("finish", "15:00"),
        ("pegs_allotted", "bag"),
        ("ranking", "0"),
        ("group-carp", "together"),
        ("group-silvers", "together"),
        ("section-1", "A"),
        ("section-2", "B"),
        ("sections", ""),
        ("teams", ""),
    ]
}

pub(super) fn with<'a>(
    mut form: Vec<(&'a str, &'a str)>,
    changes: &[(&'a str, &'a str)],
) -> Vec<(&'a str, &'a str)> {
    for change in changes {
        match form.iter_mut().find(|(name, _)| *name == change.0) {
            Some(field) => *field = *change,
            None => form.push(*change),
        }
    }
    form
}

#[tokio::test]
async fn an_organiser_changes_name_date_times_place_pegs_fish_and_scales() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    organiser
        .get("/matches/1")
        .await
        .shown()
        .says("/matches/1/edit\">Change this match");
    organiser
        .get("/matches/1/edit")
        .await
        .shown()
        .says("value=\"Frost Cup\"")
        .says("value=\"2026-11-14\"")
        .says("value=\"10:00\"")
        .says("Quillet Water stays the venue: anglers are entered.")
        .does_not_say("id=\"venue\"");

    let changes = [
        ("name", "Frost Cup, round 1"),
        ("on", "2026-11-21"),
        ("meet_place", "the hut"),
        ("meet", "08:00"),
        ("start", "09:30"),
        ("finish", "14:30"),
        ("pegs_allotted", "of choice"),
        ("ranking", "3"),
        ("group-silvers", "apart"),
        ("teams", "Kingcups, Sedges"),
    ];
    let to = organiser
        .submit("/matches/1/edit", &with(form("2"), &changes))
        .await
        .taken();

    assert_eq!(to, "/matches/1?done=saved");
    site.visitor()
        .get("/matches/1")
        .await
        .shown()
        .says("<h1>Frost Cup, round 1</h1>")
        .says("Saturday 21 November 2026. Meet at the hut, 08:00. Fishing from 09:30 to 14:30")
        .says("Pegs: pegs of choice.")
        .says("3 entered");
    for (sql, want) in [
        ("SELECT ver FROM matches", 3),
        ("SELECT COUNT(*) FROM match_net_kinds", 2),
        ("SELECT COUNT(*) FROM match_groups", 2),
        (
            "SELECT COUNT(*) FROM matches WHERE scale = 'g' AND step = 1",
            1,
        ),
        ("SELECT COUNT(*) FROM match_teams", 2),
        (
            "SELECT COUNT(*) FROM audit WHERE verb = 'changed a match'",
            1,
        ),
    ] {
        assert_eq!(number(&site, sql).await, want, "{sql}");
    }
}

#[tokio::test]
async fn what_cannot_stand_is_named_at_its_field_and_kept() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    organiser
        .submit(
            "/matches/1/edit",
            &with(form("2"), &[("name", ""), ("start", "half past")]),
        )
        .await
        .asks("Two things are needed")
        .says("value=\"half past\"")
        .says("href=\"#name\"");
    assert_eq!(number(&site, "SELECT ver FROM matches").await, 2);
    let member = site.member().await;
    for (path, status) in [
        ("/matches/1/edit", StatusCode::FORBIDDEN),
        ("/matches/1/calling-off", StatusCode::FORBIDDEN),
        ("/matches/1/putting-on", StatusCode::FORBIDDEN),
    ] {
        assert_eq!(member.submit(path, &form("2")).await.status, status);
    }
}

#[tokio::test]
async fn the_venue_may_be_changed_until_somebody_is_entered() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    run(
        &site,
        "INSERT INTO venues (id, pid, name) VALUES (2, '00000000000000000000000002', 'Sallow Pool')",
    )
    .await;
    let made = [
        ("name", "Reed Bowl"),
        ("venue", "1"),
        ("on", "2026-11-14"),
        ("pegs_allotted", "bag"),
        ("ranking", "0"),
        ("group-carp", "together"),
    ];
    organiser.submit("/matches/new", &made).await.taken();
    let mut moved = made.to_vec();
    moved[1] = ("venue", "2");
    moved.push(("version", "1"));
    organiser.submit("/matches/2/edit", &moved).await.taken();

    // With anglers in it the venue is not read.
    let elsewhere = with(form("2"), &[("venue", "2")]);
    organiser
        .submit("/matches/1/edit", &elsewhere)
        .await
        .taken();

    assert_eq!(
        number(&site, "SELECT venue_id FROM matches WHERE id = 2").await,
        2
    );
    assert_eq!(
        number(&site, "SELECT venue_id FROM matches WHERE id = 1").await,
        1
    );
}

#[tokio::test]
async fn scales_and_counted_fish_stay_once_somebody_has_a_weight() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    organiser.submit("/matches/1/weights", SHEET).await.taken();
    organiser
        .get("/matches/1/edit")
        .await
        .shown()
        .says("The scales and the fish that count stay: weights are in.")
        .does_not_say("id=\"ranking\"");

    let changes = [("ranking", "3"), ("group-silvers", "no"), ("meet", "08:15")];
    organiser
        .submit("/matches/1/edit", &with(form("3"), &changes))
        .await
        .taken();

    assert_eq!(
        number(
            &site,
            "SELECT COUNT(*) FROM matches WHERE scale = 'dr' AND meet_utc IS NOT NULL"
        )
        .await,
        1
    );
    assert_eq!(
        number(&site, "SELECT group_set FROM match_net_kinds").await,
        3
    );
}

#[tokio::test]
async fn sections_are_renamed_added_and_taken_out_when_nobody_is_in_them() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let changes = [("section-1", "B"), ("section-2", "A"), ("sections", "C D")];
    organiser
        .submit("/matches/1/edit", &with(form("2"), &changes))
        .await
        .taken();
    organiser
        .get("/matches/1")
        .await
        .shown()
        .says("section B")
        .says("section A");
    assert_eq!(number(&site, "SELECT COUNT(*) FROM sections").await, 4);

    let now = [("section-1", "B"), ("section-2", "A"), ("section-3", "C")];
    let swapped = with(form("3"), &now);
    organiser
        .submit(
            "/matches/1/edit",
            &with(swapped.clone(), &[("section-1", "")]),
        )
        .await
        .asks("Somebody is entered here.");
    organiser
        .submit(
            "/matches/1/edit",
            &with(swapped.clone(), &[("section-4", "A")]),
        )
        .await
        .asks("<a href=\"#section-4\">A is named twice. Name each once.");
    organiser
        .submit("/matches/1/edit", &with(swapped, &[("section-4", "")]))
        .await
        .taken();
    assert_eq!(number(&site, "SELECT COUNT(*) FROM sections").await, 3);
}

#[tokio::test]
async fn a_later_change_sees_both_versions_and_loses_nothing() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let first = with(form("2"), &[("start", "09:00"), ("sections", "C")]);
    organiser.submit("/matches/1/edit", &first).await.taken();

    let second = with(form("2"), &[("name", "Frost Shield"), ("start", "11:00")]);
    let stale = organiser.submit("/matches/1/edit", &second).await;

    assert_eq!(stale.status, StatusCode::CONFLICT);
    stale
        .says("Somebody else saved this match first")
        .says("<b>Theirs:</b> 09:00<br><b>Yours:</b> 11:00")
        .says("value=\"Frost Shield\"")
        .says("value=\"C\"")
        .says("name=\"version\" value=\"3\"");
    assert_eq!(number(&site, "SELECT ver FROM matches").await, 3);
}

#[tokio::test]
async fn what_was_typed_of_a_section_or_team_taken_out_meanwhile_is_told() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let further = with(form("2"), &[("sections", "C"), ("teams", "Kingcups")]);
    organiser.submit("/matches/1/edit", &further).await.taken();
    let own = |section, team| with(form("3"), &[("section-3", section), ("team-1", team)]);
    organiser
        .submit("/matches/1/edit", &own("", ""))
        .await
        .taken();

    let stale = own("Car park end", "Kingcups Reserves");
    let stale = organiser.submit("/matches/1/edit", &stale).await;

    assert_eq!(stale.status, StatusCode::CONFLICT);
    stale
        .says("<dt>Section</dt><dd><b>Theirs:</b> taken out of the match<br><b>Yours:</b> Car park end")
        .says("<dt>Team</dt><dd><b>Theirs:</b> taken out of the match<br><b>Yours:</b> Kingcups Reserves");
}

#[tokio::test]
async fn a_posted_result_and_its_figures_keep_their_day_and_hours_until_the_next_posting() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    post(&organiser, SHEET).await;
    organiser
        .get("/matches/1/edit")
        .await
        .shown()
        .says("The result is published.")
        .does_not_say("Call it off");
    let changes = [
        ("name", "Frost Bowl"),
        ("on", "2026-11-13"),
        ("finish", "14:00"),
    ];
    organiser
        .submit("/matches/1/edit", &with(form("4"), &changes))
        .await
        .taken();
    let day = "SELECT COUNT(*) FROM fishing WHERE day = '2026-11-14' AND rod_hours = 5.0";
    let drawn = "SELECT COUNT(*) FROM fishing_entries WHERE day = '2026-11-14' AND match_name = 'Frost Cup'";
    site.visitor()
        .get("/matches/1/result")
        .await
        .shown()
        .says("<h1>Frost Cup: result</h1>")
        .says("Saturday 14 November 2026");
    site.visitor()
        .get("/matches")
        .await
        .shown()
        .says("Frost Cup</a>");
    assert_eq!(number(&site, drawn).await, 3);
    assert_eq!(number(&site, day).await, 3);

    let reasoned = [("version", "5"), ("reason", "The day was typed wrongly.")];
    organiser
        .submit("/matches/1/publication", &reasoned)
        .await
        .taken();

    site.visitor()
        .get("/matches/1/result")
        .await
        .shown()
        .says("<h1>Frost Bowl: result</h1>")
        .says("Friday 13 November 2026")
        .says("The day was typed wrongly.");
    assert_eq!(number(&site, drawn).await, 0);
    assert_eq!(number(&site, day).await, 0);
    let after = "SELECT COUNT(*) FROM fishing WHERE day = '2026-11-13' AND rod_hours = 4.0";
    assert_eq!(number(&site, after).await, 3);
}

#[tokio::test]
async fn a_final_match_is_not_changed() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    run(&site, "UPDATE matches SET state = 'final'").await;
    organiser
        .get("/matches/1/edit")
        .await
        .shown()
        .says("The result is final, so the match stays as it is.")
        .does_not_say("<button class=\"do\"");
    organiser
        .submit("/matches/1/edit", &form("2"))
        .await
        .asks("The result is final");
}
