//! One angler in two places at once, and a form that is sent again from a fresh page.

use super::{asked, form, report, reported, tell, with_water};

/// A second water, where pegs are not written down.
const LONG_MERE: &str =
    "INSERT INTO venues (id, pid, name) VALUES (2, '00000000000000000000000009', 'Long Mere');";

#[tokio::test]
async fn a_report_of_the_same_hours_at_another_water_is_asked_about() {
    let site = with_water().await;
    let member = site.member().await;
    tell(&site, LONG_MERE).await;
    let first = reported(&member, &[]).await;
    let there = [("key", "the-second-form-001"), ("venue", "2"), ("peg", "")];
    report(&member, &there)
        .await
        .asks("You have a report of those hours at Quillet Water.")
        .says(&format!("href=\"{first}\""))
        .says("name=\"start_sure\" value=\"2026-11-13 10:00 15:00\"");
    let ticked = [&there[..], &[("start_sure", "2026-11-13 10:00 15:00")][..]].concat();
    report(&member, &ticked).await.taken();
}

#[tokio::test]
async fn a_match_in_the_same_hours_at_another_water_is_asked_about() {
    let site = with_water().await;
    let member = site.member().await;
    tell(&site, LONG_MERE).await;
    reported(
        &member,
        &[("key", "the-first-form-0001"), ("date", "2026-11-01")],
    )
    .await;
    tell(
        &site,
        "INSERT INTO matches (id, pid, name, venue_id, on_date, zone, start_utc, finish_utc, pegs_allotted, scale, step, state)
           VALUES (1, '00000000000000000000000002', 'Frost Cup', 2, '2026-11-13', 'Europe/London', 1794564000, 1794582000, 'bag', 'dr', 16, 'published');
         INSERT INTO entries (id, match_id, number, angler_id, outcome) VALUES (1, 1, 1, (SELECT id FROM anglers), 'blank');
         INSERT INTO sessions (id, pid, kind, angler_id, venue_id, fished_on, zone, start_utc, end_utc, effort_source, entry_id, visibility, entered_utc)
           VALUES (90, '00000000000000000000000003', 'match', (SELECT id FROM anglers), 2, '2026-11-13', 'Europe/London', 1794564000, 1794582000, 'match hours', 1, 'club', 1794582000);",
    )
    .await;
    report(&member, &[])
        .await
        .asks("You fished Frost Cup at Long Mere in those hours.")
        .says("href=\"/sessions/00000000000000000000000003\"");
}

#[tokio::test]
async fn an_edit_that_moves_a_report_into_other_hours_is_asked_about_and_one_that_does_not_is_not()
{
    let site = with_water().await;
    let member = site.member().await;
    tell(&site, LONG_MERE).await;
    reported(&member, &[]).await;
    let there = [
        ("key", "the-second-form-001"),
        ("venue", "2"),
        ("peg", ""),
        ("date", "2026-11-12"),
    ];
    let second = reported(&member, &there).await;
    let edit = format!("{second}/edit");
    let moved = [&there[..], &[("date", "2026-11-13"), ("ver", "1")][..]].concat();
    member
        .submit(&edit, &form(&moved))
        .await
        .asks("You have a report of those hours at Quillet Water.");
    let sure = [&moved[..], &[("start_sure", "2026-11-13 10:00 15:00")][..]].concat();
    member.submit(&edit, &form(&sure)).await.taken();
    let again = [&moved[..], &[("ver", "2"), ("carp_number", "5")][..]].concat();
    member.submit(&edit, &form(&again)).await.taken();
}

#[tokio::test]
async fn a_report_without_hours_sent_again_from_a_fresh_page_is_asked_about() {
    let site = with_water().await;
    let member = site.member().await;
    let untimed = ["start", "end", "from_1", "to_1", "from_2", "to_2"].map(|name| (name, ""));
    let named = report(&member, &untimed).await.taken();
    // The name is asked once: a page fetched afterwards has no box for it.
    let fresh = |key: &'static str| {
        let mut fields = form(&[&untimed[..], &[("key", key)][..]].concat());
        fields.retain(|(name, _)| !matches!(*name, "given" | "surname"));
        fields
    };
    let once = member
        .submit("/report", &fresh("a-fresh-form-000001"))
        .await;
    let once = once.taken();
    assert_ne!(once, named, "other boxes, other words");
    let twice = member
        .submit("/report", &fresh("a-fresh-form-000002"))
        .await;
    let address = once.split('?').next().expect("an address");
    twice
        .asks("You sent the very same report within the hour. Tick if this is another.")
        .says(&format!("href=\"{address}\""))
        .says("name=\"start_sure\" value=\"2026-11-13\"");
    let mut another = fresh("a-fresh-form-000002");
    another.push(("start_sure", "2026-11-13"));
    let another = member.submit("/report", &another).await;
    assert_ne!(another.taken(), once, "a second outing like the first");
    site.pass(2 * 3_600);
    let later = member
        .submit("/report", &fresh("a-fresh-form-000003"))
        .await;
    assert_ne!(later.taken(), once, "hours later it is another");
    assert_eq!(
        asked::<i64>(&site, "SELECT COUNT(*) FROM sessions").await,
        4
    );
}
