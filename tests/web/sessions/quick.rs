//! The quick report: four taps and a number.

use axum::http::StatusCode;

use super::{asked, report, reported, tell, with_water};
use crate::support::{Actor, Answer};

/// A report of the day before, on one method all day.
pub(super) const ONE_WAY: [(&str, &str); 5] = [
    ("to_1", "15:00"),
    ("from_2", ""),
    ("to_2", ""),
    ("method_2", ""),
    ("spells", "1"),
];

/// What the quick form sends, with changes.
pub(super) async fn quick(actor: &Actor, changes: &[(&'static str, &'static str)]) -> Answer {
    let mut fields = vec![
        ("venue", "1"),
        ("key", "a-quick-form-000001"),
        ("quick", "on"),
        ("peg", "14"),
        ("visibility", "club"),
        ("date", "2026-11-14"),
        ("start", "10:00"),
        ("end", "12:00"),
        ("method_1", "1"),
        ("bait_1", ""),
        ("line_1", "11"),
        ("rods_1", "1"),
        ("carp_number", "3"),
        ("carp_weight", ""),
        ("silvers_number", ""),
        ("silvers_weight", ""),
    ];
    for (name, value) in changes {
        fields.retain(|(known, _)| known != name);
        fields.push((name, value));
    }
    actor.submit("/report", &fields).await
}

#[tokio::test]
async fn a_quick_report_carries_last_times_water_peg_and_hours() {
    let site = with_water().await;
    let member = site.member().await;
    assert_eq!(member.get("/report/quick").await.taken(), "/report");
    reported(&member, &ONE_WAY).await;
    site.pass(6 * 3_600);
    let page = member.get("/report/quick").await.shown();
    page.says("Quillet Water, peg 14")
        .says("value=\"10:00\"")
        .says("value=\"15:00\"")
        .says("These are last time’s hours.")
        .says("Carp, how many")
        .says("pole");
    quick(&member, &[("end", "15:00")]).await.taken();
    assert_eq!(
        asked::<f64>(
            &site,
            "SELECT SUM(minutes) FROM spells WHERE session_id = 2"
        )
        .await,
        300.0
    );
}

/// What was fished since at another water is last time, though only its match tells of it.
#[tokio::test]
async fn last_time_is_the_latest_session_of_all() {
    let site = with_water().await;
    let member = site.member().await;
    reported(
        &member,
        &[&ONE_WAY[..], &[("date", "2026-11-01")][..]].concat(),
    )
    .await;
    tell(
        &site,
        "INSERT INTO venues (id, pid, name) VALUES (2, '00000000000000000000000012', 'Harl Pool');
         INSERT INTO banks (id, venue_id, ord, name) VALUES (2, 2, 1, 'Long Reach');
         INSERT INTO pegs (id, venue_id, bank_id, number, walk_order) VALUES (9, 2, 2, '7', 1);
         INSERT INTO matches (id, pid, name, venue_id, on_date, zone, start_utc, finish_utc, pegs_allotted, scale, step, state)
           VALUES (1, '00000000000000000000000002', 'Frost Cup', 2, '2026-11-13', 'Europe/London', 1794564000, 1794582000, 'bag', 'dr', 16, 'published');
         INSERT INTO entries (id, match_id, number, angler_id, peg_id, outcome) VALUES (1, 1, 1, (SELECT id FROM anglers), 9, 'blank');
         INSERT INTO sessions (id, pid, kind, angler_id, venue_id, fished_on, zone, start_utc, end_utc, effort_source, entry_id, visibility, entered_utc)
           VALUES (90, '00000000000000000000000003', 'match', (SELECT id FROM anglers), 2, '2026-11-13', 'Europe/London', 1794564000, 1794582000, 'match hours', 1, 'club', 1794582000);
         INSERT INTO spells (session_id, ord, peg_id, minutes) VALUES (90, 1, 9, 300);",
    )
    .await;
    member
        .get("/report/quick")
        .await
        .shown()
        .says("Harl Pool, peg 7. You last fished on Friday 13 November 2026;")
        .does_not_say("Quillet Water");
}

#[tokio::test]
async fn all_that_is_carried_over_is_named() {
    let site = with_water().await;
    let member = site.member().await;
    let named = asked::<String>(
        &site,
        "SELECT LOWER(m.name) || ', ' || LOWER(b.name) FROM methods AS m, baits AS b WHERE m.id = 1 AND b.id = 1",
    )
    .await;
    let baited = [&ONE_WAY[..], &[("bait_1", "1"), ("rods_1", "2")][..]].concat();
    reported(&member, &baited).await;
    member
        .get("/report/quick")
        .await
        .shown()
        .says(&format!("Fished as last time: {named}, at 11 m, 2 rods."));
}

/// An hour of pole in a day is no day of pole.
#[tokio::test]
async fn a_spell_that_did_not_cover_last_times_day_is_not_carried_over() {
    let site = with_water().await;
    let member = site.member().await;
    let an_hour = [&ONE_WAY[..], &[("to_1", "11:00")][..]].concat();
    reported(&member, &an_hour).await;
    member
        .get("/report/quick")
        .await
        .shown()
        .says("Quillet Water, peg 14")
        .says("Last time is not known to have been fished one way all day")
        .says("name=\"method_1\" value=\"\"")
        .says("name=\"line_1\" value=\"\"")
        .does_not_say("Fished as last time");
    let of_no_time_of_day = [
        ("key", "the-second-form-001"),
        ("date", "2026-11-12"),
        ("from_1", ""),
        ("to_1", ""),
        ("hours_1", "4"),
    ];
    let other = site.other_member().await;
    let named = [("given", "Nell")];
    reported(
        &other,
        &[&ONE_WAY[..], &of_no_time_of_day[..], &named[..]].concat(),
    )
    .await;
    other
        .get("/report/quick")
        .await
        .shown()
        .does_not_say("Fished as last time");
}

#[tokio::test]
async fn an_end_that_is_still_to_come_is_now_to_the_five_minutes() {
    let site = with_water().await;
    let member = site.member().await;
    reported(&member, &ONE_WAY).await;
    site.pass(4 * 60);
    member
        .get("/report/quick")
        .await
        .shown()
        .says("value=\"12:00\"")
        .says("Last time you packed up at 15:00, which is still to come: 12:00 is now.");
    quick(&member, &[]).await.taken();
}

#[tokio::test]
async fn it_asks_for_carp_and_silvers_and_for_what_was_counted_there_lately() {
    let site = with_water().await;
    let (member, other) = (site.member().await, site.other_member().await);
    let carp_alone = [
        ("silvers_number_unknown", ""),
        ("silvers_weight", ""),
        ("predators_number", "0"),
    ];
    let mut fields = super::form(&carp_alone);
    fields.retain(|(name, _)| *name != "silvers_number_unknown");
    member.submit("/report", &fields).await.taken();
    member
        .get("/report/quick")
        .await
        .shown()
        .says("Carp, how many")
        .says("Silvers, how many")
        .does_not_say("F1s, how many")
        .does_not_say("Predators, how many");
    for (key, group, visibility) in [
        ("the-second-form-001", "f1s_number", "club"),
        ("the-third-form-0001", "other_number", "private"),
    ] {
        let theirs = [
            ("key", key),
            ("given", "Nell"),
            (
                "date",
                if visibility == "club" {
                    "2026-11-12"
                } else {
                    "2026-11-11"
                },
            ),
            ("visibility", visibility),
            (group, "7"),
        ];
        report(&other, &theirs).await.taken();
    }
    member
        .get("/report/quick")
        .await
        .shown()
        .says("F1s, how many")
        .does_not_say("Other fish, how many");
}

#[tokio::test]
async fn it_says_who_will_see_it_and_the_latest_answer_stands_chosen_next_time() {
    let site = with_water().await;
    let member = site.member().await;
    reported(&member, &ONE_WAY).await;
    member
        .get("/report/quick")
        .await
        .shown()
        .says("The club will see this report.")
        .says("Change</summary>")
        .says("value=\"club\" checked");
    let private = quick(&member, &[("visibility", "private")]).await.taken();
    member
        .get(&private)
        .await
        .shown()
        .says("Saved. Only you see it.")
        .does_not_say("in the club’s record");
    member
        .get("/report/quick")
        .await
        .shown()
        .says("Only you will see this report.");
    member
        .get("/report?venue=1")
        .await
        .shown()
        .says("value=\"private\" checked");
    let team = [
        ("key", "a-quick-form-000002"),
        ("start", "8:00"),
        ("end", "9:00"),
        ("visibility", "team"),
    ];
    let team = quick(&member, &team).await.taken();
    member
        .get(&team)
        .await
        .shown()
        .says("Saved. Your team sees it.");
    member
        .get("/sessions")
        .await
        .shown()
        .says("data-says=\"Seen by\">only me")
        .says("data-says=\"Seen by\">my team")
        .says("data-says=\"Seen by\">the club");
}

#[tokio::test]
async fn a_whole_report_instead_keeps_everything_typed() {
    let site = with_water().await;
    let member = site.member().await;
    reported(&member, &ONE_WAY).await;
    member
        .get("/report/quick")
        .await
        .shown()
        .says("name=\"do\" value=\"whole\"");
    quick(&member, &[("do", "whole"), ("carp_weight", "12.8")])
        .await
        .shown()
        .says("How you fished")
        .says("name=\"peg\" value=\"14\"")
        .says("value=\"10:00\"")
        .says("name=\"carp_number\" value=\"3\"")
        .says("name=\"carp_weight\" value=\"12.8\"")
        .says("value=\"a-quick-form-000001\"")
        .says("value=\"club\" checked");
    assert_eq!(
        asked::<i64>(&site, "SELECT COUNT(*) FROM sessions").await,
        1
    );
}

#[tokio::test]
async fn the_quick_form_stays_quick_while_all_to_be_mended_stands_on_it() {
    let site = with_water().await;
    let member = site.member().await;
    reported(&member, &ONE_WAY).await;
    type Case<'a> = (&'a [(&'a str, &'a str)], &'a str, &'a str);
    let cases: [Case<'_>; 4] = [
        (
            &[("carp_number", "four")],
            "not a whole number",
            "value=\"four\"",
        ),
        (
            &[("carp_weight", "12.8")],
            "two weights",
            "name=\"carp_weight_meant\"",
        ),
        (&[("end", "23:00")], "still to come", "value=\"23:00\""),
        (&[("peg", "99")], "no peg", "id=\"peg\""),
    ];
    for (changes, sentence, kept) in cases {
        quick(&member, changes)
            .await
            .asks(sentence)
            .says(kept)
            .says("name=\"quick\" value=\"on\"")
            .says("<title>Error:")
            .does_not_say("How you fished");
    }
    quick(&member, &[("method_1", "999")])
        .await
        .asks("Choose one from the list.")
        .says("How you fished")
        .says("name=\"carp_number\" value=\"3\"");
}

#[tokio::test]
async fn sent_again_from_behind_with_another_number_it_is_a_conflict_to_settle() {
    let site = with_water().await;
    let member = site.member().await;
    reported(&member, &ONE_WAY).await;
    let first = quick(&member, &[]).await.taken();
    assert_eq!(quick(&member, &[]).await.taken(), first);
    let other = quick(&member, &[("carp_number", "5")]).await;
    assert_eq!(other.status, StatusCode::CONFLICT);
    other
        .says("saved before, and now says something else")
        .says("/edit\"")
        .says("name=\"carp_number\" value=\"5\"");
}
