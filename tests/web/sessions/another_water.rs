//! A report filed at the wrong water, moved to the right one by an edit.

use axum::http::StatusCode;

use super::{asked, form, frost_cup, report, reported, tell, with_water};
use crate::support::{Actor, TestSite};

/// A second water, which has a peg 14 too, and a peg 3.
const LONG_MERE: &str = "INSERT INTO venues (id, pid, name) VALUES (2, '00000000000000000000000009', 'Long Mere');
     INSERT INTO banks (id, venue_id, ord, name) VALUES (2, 2, 1, 'Mill Bank');
     INSERT INTO pegs (id, venue_id, bank_id, number, walk_order) VALUES (3, 2, 2, '3', 1), (4, 2, 2, '14', 2);";

/// Sent from the edit of a report of version 1 at Quillet Water, for Long Mere.
const THERE: [(&str, &str); 3] = [("ver", "1"), ("shown", "1"), ("venue", "2")];

/// Two waters, a member, and the edit of his report at the first.
async fn with_report(fields: &[(&'static str, &'static str)]) -> (TestSite, Actor, String) {
    let site = with_water().await;
    tell(&site, LONG_MERE).await;
    let member = site.member().await;
    let address = reported(&member, fields).await;
    (site, member, format!("{address}/edit"))
}

fn there(fields: &[(&'static str, &'static str)]) -> Vec<(&'static str, &'static str)> {
    form(&[&THERE[..], fields].concat())
}

async fn stands_at(site: &TestSite) -> i64 {
    asked(site, "SELECT venue_id FROM sessions").await
}

#[tokio::test]
async fn it_is_moved_with_all_that_was_typed_and_both_waters_hear_of_it() {
    let (site, member, edit) = with_report(&[]).await;
    member
        .get(&edit)
        .await
        .shown()
        .says("<select id=\"venue\" name=\"venue\"")
        .says("<option value=\"1\" selected>Quillet Water</option>")
        .says("<option value=\"2\">Long Mere</option>");
    let here = "SELECT mark FROM data_marks WHERE venue_id = 1 AND topic = 'sessions'";
    let other = "SELECT COALESCE((SELECT mark FROM data_marks WHERE venue_id = 2 AND topic = 'sessions'), 0)";
    let of_the_peg = "SELECT mark FROM peg_marks WHERE peg_id = 1";
    let mut before = Vec::new();
    for mark in [here, other, of_the_peg] {
        before.push(asked::<i64>(&site, mark).await);
    }

    let to = member.submit(&edit, &there(&[])).await.taken();

    for (mark, before) in [here, other, of_the_peg].into_iter().zip(before) {
        assert!(asked::<i64>(&site, mark).await > before, "{mark}");
    }
    member
        .get(&to)
        .await
        .shown()
        .says("Long Mere, Friday 13 November 2026")
        .says("Carp: 4 fish, 31\u{a0}lb\u{a0}4\u{a0}oz")
        .says("12:30 to 13:00 not written down")
        .says("peg 14")
        .says("Quiet until the sun came round.");
    let of_quillet =
        "SELECT COUNT(*) FROM spells AS l JOIN pegs AS p ON p.id = l.peg_id WHERE p.venue_id = 1";
    assert_eq!(asked::<i64>(&site, of_quillet).await, 0);
    let kept = "SELECT COUNT(*) FROM session_catches WHERE peg_id IS NOT 4";
    assert_eq!(asked::<i64>(&site, kept).await, 0);
}

#[tokio::test]
async fn its_hours_are_read_by_the_clocks_of_the_new_water() {
    let (site, member, edit) = with_report(&[]).await;
    tell(
        &site,
        "UPDATE venues SET zone = 'Europe/Paris' WHERE id = 2",
    )
    .await;
    let began: i64 = asked(&site, "SELECT start_utc FROM sessions").await;
    member.submit(&edit, &there(&[])).await.taken();
    let begins: i64 = asked(&site, "SELECT start_utc FROM sessions").await;
    assert_eq!(begins, began - 3_600);
    let zone: String = asked(&site, "SELECT zone FROM sessions").await;
    assert_eq!(zone, "Europe/Paris");
}

#[tokio::test]
async fn a_peg_that_the_new_water_does_not_have_is_named_at_its_field() {
    let (site, member, edit) = with_report(&[("peg", "15")]).await;
    let look = [("do", "water"), ("peg", "15"), ("end", "never")];
    member
        .submit(&edit, &there(&look))
        .await
        .asks("at Long Mere that day")
        .says("href=\"#peg\"")
        .says("Peg at Long Mere")
        .says("name=\"peg\" value=\"15\"")
        .says("name=\"shown\" value=\"2\"")
        .says("Quiet until the sun came round.")
        .does_not_say("not a time of day");
    member
        .submit(&edit, &there(&[("peg", "15")]))
        .await
        .asks("at Long Mere that day");
    assert_eq!(stands_at(&site).await, 1);
    member
        .submit(&edit, &there(&[("do", "water"), ("peg", "3")]))
        .await
        .shown()
        .says("<option value=\"2\" selected>Long Mere</option>")
        .says("name=\"peg\" value=\"3\"");
    assert_eq!(stands_at(&site).await, 1, "looking changes nothing");
    member.submit(&edit, &there(&[("peg", "3")])).await.taken();
    assert_eq!(stands_at(&site).await, 2);
}

#[tokio::test]
async fn a_closed_peg_of_the_new_water_is_asked_about_whatever_was_ticked_at_the_old_one() {
    let (site, member, edit) = with_report(&[]).await;
    tell(
        &site,
        "INSERT INTO peg_closures (peg_id, from_on, to_on, reason) VALUES
           (1, '2026-11-01', '2026-11-30', 'bank works'), (4, '2026-11-01', '2026-11-30', 'reeds cut')",
    )
    .await;
    let tick = ("peg_sure", "14 2026-11-13");
    member
        .submit(&edit, &there(&[tick]))
        .await
        .asks("Peg 14 is closed that day: reeds cut.")
        .says("name=\"shown\" value=\"2\"");
    assert_eq!(stands_at(&site).await, 1);
    member
        .submit(&edit, &there(&[tick, ("shown", "2")]))
        .await
        .taken();
    assert_eq!(stands_at(&site).await, 2);
}

#[tokio::test]
async fn a_water_that_is_no_longer_on_record_is_a_problem_and_nothing_typed_is_lost() {
    let (site, member, edit) = with_report(&[]).await;
    member
        .submit(&edit, &there(&[("venue", "77")]))
        .await
        .asks("That water is not on record any longer. Choose another.")
        .says("href=\"#venue\"")
        .says("Quiet until the sun came round.");
    assert_eq!(stands_at(&site).await, 1);
}

#[tokio::test]
async fn it_is_read_back_at_the_new_water_before_anything_is_saved() {
    let (site, member, edit) = with_report(&[]).await;
    member
        .submit(&edit, &there(&[("do", "read-back")]))
        .await
        .shown()
        .says("Nothing is saved yet")
        .says("<dt>Water</dt><dd>Long Mere</dd>");
    assert_eq!(stands_at(&site).await, 1);
}

#[tokio::test]
async fn a_later_save_sees_both_waters_and_either_may_stand() {
    let (site, member, edit) = with_report(&[]).await;
    member.submit(&edit, &there(&[("peg", "3")])).await.taken();
    let stale = form(&[("ver", "1"), ("shown", "1")]);
    let late = member.submit(&edit, &stale).await;
    assert_eq!(late.status, StatusCode::CONFLICT);
    late.says("<dt>Water</dt><dd>Long Mere <b>(differs)</b>")
        .says("<dt>Water</dt><dd>Quillet Water <b>(differs)</b>")
        .says("peg 3")
        .says("peg 14")
        .says("name=\"venue\" value=\"1\"")
        .says("name=\"ver\" value=\"2\"");
    assert_eq!(stands_at(&site).await, 2);
    member
        .submit(&edit, &form(&[("ver", "2"), ("shown", "1")]))
        .await
        .taken();
    assert_eq!(stands_at(&site).await, 1);
}

#[tokio::test]
async fn of_a_match_it_stays_and_the_page_says_why() {
    let earlier = [("key", "the-first-form-0001"), ("date", "2026-11-01")];
    let (site, member, _) = with_report(&earlier).await;
    frost_cup(&site, 1).await;
    let to = report(&member, &[]).await.taken();
    let address = to.split('?').next().expect("an address");
    let edit = format!("{address}/edit");
    member
        .get(&edit)
        .await
        .shown()
        .says("It stands in the match Frost Cup, so its water stays Quillet Water.")
        .does_not_say("<select id=\"venue\"");
    member
        .submit(&edit, &there(&[]))
        .await
        .asks("This is your report of a match at Quillet Water. Keep that water.")
        .says("href=\"#venue\"")
        .says("id=\"venue\"")
        .says("Quiet until the sun came round.");
    let moved = "SELECT COUNT(*) FROM sessions WHERE venue_id <> 1";
    assert_eq!(asked::<i64>(&site, moved).await, 0);
}

#[tokio::test]
async fn moved_to_where_the_angler_fished_a_match_in_those_hours_it_joins_that() {
    let (site, member, edit) = with_report(&[]).await;
    tell(
        &site,
        "INSERT INTO matches (id, pid, name, venue_id, on_date, zone, start_utc, finish_utc, pegs_allotted, scale, step, state)
           VALUES (1, '00000000000000000000000002', 'Frost Cup', 2, '2026-11-13', 'Europe/London', 1794564000, 1794582000, 'bag', 'dr', 16, 'published');
         INSERT INTO entries (id, match_id, number, angler_id, outcome) VALUES (1, 1, 1, (SELECT id FROM anglers), 'blank');
         INSERT INTO sessions (id, pid, kind, angler_id, venue_id, fished_on, zone, start_utc, end_utc, effort_source, entry_id, visibility, entered_utc)
           VALUES (90, '00000000000000000000000003', 'match', (SELECT id FROM anglers), 2, '2026-11-13', 'Europe/London', 1794564000, 1794582000, 'match hours', 1, 'club', 1794582000);",
    )
    .await;
    member.submit(&edit, &there(&[])).await.taken();
    let joined =
        "SELECT COUNT(*) FROM sessions WHERE venue_id = 2 AND entry_id = 1 AND has_report = 1";
    assert_eq!(asked::<i64>(&site, joined).await, 1);
    assert_eq!(
        asked::<i64>(&site, "SELECT COUNT(*) FROM sessions").await,
        1
    );
}
