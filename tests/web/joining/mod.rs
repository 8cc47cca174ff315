//! An angler's report and the match it belongs to find each other in either order; two reports at
//! once; lists of sessions to keep.

use axum::http::StatusCode;

use crate::support::{
    Actor, TestSite,
    record::{number, tell},
    reports::{a_report, lay_water},
};

mod agreeing;
mod kept_private;

/// Quillet Water with two pegs, and a match there on 13 November with nobody in it yet.
async fn with_match(site: &TestSite) -> Actor {
    lay_water(site).await;
    tell(
        site,
        "INSERT INTO matches (id, pid, name, venue_id, on_date, zone, start_utc, finish_utc, pegs_allotted, scale, step, state)
           VALUES (1, '00000000000000000000000002', 'Frost Cup', 1, '2026-11-13', 'Europe/London', 1794564000, 1794582000, 'bag', 'dr', 16, 'planned');
         INSERT INTO match_net_kinds (match_id, group_set) VALUES (1, 1);",
    )
    .await;
    site.organiser().await
}

/// A report of 13 November, the hours of the match, five carp.
fn form(changes: &[(&'static str, &'static str)]) -> Vec<(&'static str, &'static str)> {
    let told = [
        ("method_1", "1"),
        ("carp_number", "5"),
        ("carp_weight", "20-0"),
    ];
    a_report(&[&told[..], changes].concat())
}

/// The only angler is entered and weighed in with 12-8.
async fn weigh_in(site: &TestSite, organiser: &Actor) {
    tell(
        site,
        "INSERT INTO entries (id, match_id, number, angler_id, peg_id) VALUES (1, 1, 1, (SELECT MIN(id) FROM anglers), 2)",
    )
    .await;
    organiser
        .submit(
            "/matches/1/weights",
            &[("version", "1"), ("net-1-1-0", "12-8")],
        )
        .await
        .taken();
    post(organiser, "2", "").await;
}

async fn post(organiser: &Actor, version: &str, reason: &str) {
    organiser
        .submit(
            "/matches/1/publication",
            &[("version", version), ("reason", reason)],
        )
        .await
        .taken();
}

const ONE_JOINED: &str = "SELECT COUNT(*) FROM sessions WHERE entry_id = 1 AND has_report = 1 AND removed_utc IS NULL AND (SELECT COUNT(*) FROM sessions WHERE removed_utc IS NULL) = 1";
/// 12 lb 8 oz, official, with the angler's own count.
const OFFICIAL: &str =
    "SELECT CAST(weight_g AS INTEGER) FROM session_catches WHERE official = 1 AND fish_count = 5";
const KEPT_AS_WORKED: &str =
    "SELECT (SELECT COUNT(*) FROM session_catches_worked) - (SELECT COUNT(*) FROM session_catches)";

#[tokio::test]
async fn a_report_that_came_before_the_result_is_the_entrys_session() {
    let site = TestSite::new().await;
    let organiser = with_match(&site).await;
    site.member()
        .await
        .submit("/report", &form(&[]))
        .await
        .taken();

    weigh_in(&site, &organiser).await;

    assert_eq!(number(&site, ONE_JOINED).await, 1);
    assert_eq!(number(&site, OFFICIAL).await, 5669);
    assert_eq!(number(&site, KEPT_AS_WORKED).await, 0);
}

#[tokio::test]
async fn a_report_without_hours_takes_the_matchs_hours_and_drawn_peg_and_keeps_its_method() {
    let untimed = [("start", ""), ("end", "")];
    for result_first in [false, true] {
        let site = TestSite::new().await;
        let organiser = with_match(&site).await;
        let member = site.member().await;
        if result_first {
            member
                .submit(
                    "/report",
                    &form(&[("key", "an-earlier-form-0001"), ("date", "2026-11-01")]),
                )
                .await
                .taken();
            weigh_in(&site, &organiser).await;
        }
        member.submit("/report", &form(&untimed)).await.taken();
        if !result_first {
            weigh_in(&site, &organiser).await;
        }

        let spell = "SELECT CAST(minutes AS INTEGER) * 100 + peg_id * 10 + method_id FROM spells AS p JOIN sessions AS s ON s.id = p.session_id WHERE s.entry_id = 1 AND s.effort_source = 'match hours'";
        assert_eq!(
            number(&site, spell).await,
            30_021,
            "result first: {result_first}"
        );
        assert_eq!(number(&site, OFFICIAL).await, 5669);

        organiser
            .submit(
                "/matches/1/weights",
                &[("version", "3"), ("net-1-1-0", ""), ("outcome-1", "absent")],
            )
            .await
            .taken();
        assert_eq!(number(&site, spell).await, 30_021, "not posted yet");
        assert_eq!(number(&site, OFFICIAL).await, 5669, "not posted yet");
        post(&organiser, "4", "Jem was not there").await;
        let untimed_again = "SELECT COUNT(*) FROM sessions AS s JOIN spells AS p ON p.session_id = s.id WHERE s.fished_on = '2026-11-13' AND s.kind = 'report' AND s.effort_source = 'unknown' AND s.start_utc IS NULL AND p.minutes IS NULL AND p.peg_id IS NULL";
        assert_eq!(
            number(&site, untimed_again).await,
            1,
            "the hours and the peg were the match's"
        );
    }
}

#[tokio::test]
async fn a_draw_put_right_moves_the_report_that_named_no_peg_once_it_is_posted() {
    let site = TestSite::new().await;
    let organiser = with_match(&site).await;
    site.member()
        .await
        .submit("/report", &form(&[("spells", "1")]))
        .await
        .taken();
    weigh_in(&site, &organiser).await;
    let peg = "SELECT peg_id FROM spells AS p JOIN sessions AS s ON s.id = p.session_id WHERE s.entry_id = 1";
    assert_eq!(number(&site, peg).await, 2);

    organiser
        .submit("/matches/1/pegs", &[("version", "3"), ("peg-1", "14")])
        .await
        .taken();
    assert_eq!(number(&site, peg).await, 2, "not posted yet");
    post(&organiser, "4", "the card was misread").await;

    assert_eq!(number(&site, peg).await, 1);
}

#[tokio::test]
async fn what_was_posted_is_in_everybodys_list_though_the_report_is_private() {
    let site = TestSite::new().await;
    let organiser = with_match(&site).await;
    let member = site.member().await;
    member
        .submit("/report", &form(&[("visibility", "private")]))
        .await
        .taken();
    weigh_in(&site, &organiser).await;

    let club = organiser.get("/sessions.csv").await.shown();
    let own = member.get("/sessions.csv").await.shown();

    club.says("Frost Cup").says(",,5669.9,");
    own.says("Frost Cup").says(",5,5669.9,");
    assert_eq!(number(&site, OFFICIAL).await, 5669);
}

#[tokio::test]
async fn nobody_reads_a_weight_before_it_is_posted() {
    let site = TestSite::new().await;
    let organiser = with_match(&site).await;
    let member = site.member().await;
    member.submit("/report", &form(&[])).await.taken();
    weigh_in(&site, &organiser).await;
    organiser
        .submit(
            "/matches/1/weights",
            &[("version", "3"), ("net-1-1-0", "13-8")],
        )
        .await
        .taken();

    member.get("/sessions.csv").await.shown().says("5669.9");
    let doors = "SELECT CAST(MAX(f.weight_g) + MAX(e.weight_g) AS INTEGER) FROM fishing AS f JOIN fishing_entries AS e USING (entry_id)";
    assert_eq!(number(&site, doors).await, 11339);
    let mark = "SELECT SUM(mark) FROM data_marks WHERE topic = 'matches'";
    let before = number(&site, mark).await;
    post(&organiser, "4", "the net was read again").await;

    member.get("/sessions.csv").await.shown().says("6123.5");
    assert_eq!(number(&site, doors).await, 12246);
    assert!(number(&site, mark).await > before);
}

#[tokio::test]
async fn a_report_whose_date_is_put_right_joins_the_match_of_that_day() {
    let site = TestSite::new().await;
    let organiser = with_match(&site).await;
    let member = site.member().await;
    let address = member
        .submit("/report", &form(&[("date", "2026-11-12")]))
        .await
        .taken();
    let address = address.trim_end_matches("?done=report-saved").to_owned();
    weigh_in(&site, &organiser).await;
    assert_eq!(number(&site, "SELECT COUNT(*) FROM sessions").await, 2);

    member
        .submit(&format!("{address}/edit"), &form(&[("ver", "1")]))
        .await
        .taken();

    assert_eq!(number(&site, ONE_JOINED).await, 1);
    assert_eq!(number(&site, OFFICIAL).await, 5669);
    assert_eq!(number(&site, KEPT_AS_WORKED).await, 0);
    member.get(&address).await.shown().says("Part of Frost Cup");
}

#[tokio::test]
async fn two_first_reports_at_once_make_one_angler() {
    let site = TestSite::new().await;
    with_match(&site).await;
    let member = site.member().await;
    let (one, other) = (
        form(&[
            ("key", "the-first-form-0001"),
            ("start", "6:00"),
            ("end", "8:00"),
        ]),
        form(&[("key", "the-other-form-0001")]),
    );

    let (one, other) = tokio::join!(
        member.submit("/report", &one),
        member.submit("/report", &other)
    );

    one.taken();
    other.taken();
    assert_eq!(
        number(
            &site,
            "SELECT COUNT(*) FROM anglers WHERE account_id IS NOT NULL"
        )
        .await,
        1
    );
    assert_eq!(number(&site, "SELECT COUNT(*) FROM sessions").await, 2);
}

#[tokio::test]
async fn a_report_changed_meanwhile_is_not_taken_back_and_is_shown_again() {
    let site = TestSite::new().await;
    with_match(&site).await;
    let member = site.member().await;
    let address = member.submit("/report", &form(&[])).await.taken();
    let address = address.trim_end_matches("?done=report-saved");
    member
        .submit(
            &format!("{address}/edit"),
            &form(&[("ver", "1"), ("remarks", "Wind off the back.")]),
        )
        .await
        .taken();

    let late = member
        .submit(
            &format!("{address}/removal"),
            &[("ver", "1"), ("sure", "on")],
        )
        .await;

    assert_eq!(late.status, StatusCode::CONFLICT);
    late.says("Not taken back.").says("Wind off the back.");
    member.get(address).await.shown();
}

#[tokio::test]
async fn a_quick_report_takes_a_weight_and_shows_what_was_understood() {
    let site = TestSite::new().await;
    with_match(&site).await;
    let member = site.member().await;
    member
        .submit("/report", &form(&[("date", "2026-11-10")]))
        .await
        .taken();
    member
        .get("/report/quick")
        .await
        .shown()
        .says("name=\"carp_weight\"");

    let quick = form(&[("key", "a-quick-form-000001"), ("carp_weight", "12-8")]);
    let address = member.submit("/report", &quick).await.taken();
    member
        .get(&address)
        .await
        .shown()
        .says("5 fish, 12\u{a0}lb\u{a0}8\u{a0}oz");
    let doubtful = form(&[
        ("key", "a-quick-form-000002"),
        ("carp_weight", "12.8"),
        ("date", "2026-11-11"),
    ]);
    let asked = member.submit("/report", &doubtful).await;
    assert_eq!(asked.status, StatusCode::UNPROCESSABLE_ENTITY);
    asked.says("value=\"12.8\"");
}

#[tokio::test]
async fn sessions_are_kept_as_csv_ones_own_or_what_the_club_may_see() {
    let site = TestSite::new().await;
    let organiser = with_match(&site).await;
    let member = site.member().await;
    member
        .submit(
            "/report",
            &form(&[("surname", "Coppleway"), ("remarks", "=1+1")]),
        )
        .await
        .taken();
    member
        .submit(
            "/report",
            &form(&[
                ("key", "a-private-form-00001"),
                ("date", "2026-11-12"),
                ("visibility", "private"),
            ]),
        )
        .await
        .taken();

    let own = member.get("/sessions.csv").await.shown();
    let club = organiser.get("/sessions.csv").await.shown();
    let other = site.other_member().await.get("/sessions.csv").await.shown();

    assert_eq!(own.headers["content-type"], "text/csv; charset=utf-8");
    own.says("2026-11-13,Quillet Water,Jem Coppleway,,,10:00,15:00,5.00,spells,")
        .says("2026-11-12,")
        .says(",5,9071.8,,Pole,,club,");
    club.says("2026-11-13,").does_not_say("2026-11-12,");
    assert_eq!(other.body.lines().count(), 1, "only the heading");
    assert_eq!(
        site.visitor().get("/sessions.csv").await.status,
        StatusCode::UNAUTHORIZED
    );
}
