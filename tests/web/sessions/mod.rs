//! Reports: what a good form does, what a bad one says, who sees what.

use axum::http::StatusCode;

use crate::support::{
    Actor, Answer, TestSite,
    record::{asked, tell},
    reports::{KEY, a_report, with_water},
};

mod another_water;
mod changing;
mod fields;
mod meanwhile;
mod questions;
mod quick;
mod read_back;
mod refused;
mod seen;
mod slips;
mod told;

/// A good report of the day before, with changes.
fn form(changes: &[(&'static str, &'static str)]) -> Vec<(&'static str, &'static str)> {
    let told = [
        ("peg", "14"),
        ("spells", "2"),
        ("from_1", "10:00"),
        ("to_1", "12:30"),
        ("method_1", "1"),
        ("line_1", "11"),
        ("from_2", "13:00"),
        ("to_2", "15:00"),
        ("method_2", "5"),
        ("carp_number", "4"),
        ("carp_weight", "31-4"),
        ("silvers_number_unknown", "on"),
        ("silvers_weight", "12 lb 8 oz"),
        ("predators_number", "0"),
        ("remarks", "Quiet until the sun came round."),
    ];
    a_report(&[&told[..], changes].concat())
}

async fn report(actor: &Actor, changes: &[(&'static str, &'static str)]) -> Answer {
    actor.submit("/report", &form(changes)).await
}

/// The address of the session a good report became.
async fn reported(actor: &Actor, changes: &[(&'static str, &'static str)]) -> String {
    let to = report(actor, changes).await.taken();
    to.split('?').next().expect("an address").to_owned()
}

/// The match of those hours, posted: the only angler on record blanked on this peg.
async fn frost_cup(site: &TestSite, peg: i64) {
    let posted = format!(
        "INSERT INTO matches (id, pid, name, venue_id, on_date, zone, start_utc, finish_utc, pegs_allotted, scale, step, state)
           VALUES (1, '00000000000000000000000002', 'Frost Cup', 1, '2026-11-13', 'Europe/London', 1794564000, 1794582000, 'bag', 'dr', 16, 'published');
         INSERT INTO match_net_kinds (match_id, group_set) VALUES (1, 1);
         INSERT INTO entries (id, match_id, number, angler_id, peg_id, outcome) VALUES (1, 1, 1, (SELECT id FROM anglers), {peg}, 'blank');
         INSERT INTO posted_matches (match_id, name, on_date, start_utc, finish_utc, pegs_allotted) SELECT id, name, on_date, start_utc, finish_utc, pegs_allotted FROM matches;
         INSERT INTO posted_entries (entry_id, outcome, peg_id) VALUES (1, 'blank', {peg});
         INSERT INTO posted_nets (entry_id, group_set, weight_g) VALUES (1, 1, 0);
         INSERT INTO sessions (id, pid, kind, angler_id, venue_id, fished_on, zone, start_utc, end_utc, effort_source, entry_id, visibility, entered_utc)
           VALUES (90, '00000000000000000000000003', 'match', (SELECT id FROM anglers), 1, '2026-11-13', 'Europe/London', 1794564000, 1794582000, 'match hours', 1, 'club', 1794582000);"
    );
    let mut writing = site.site.db.write().await.expect("the writer is free");
    sqlx::raw_sql(sqlx::AssertSqlSafe(posted))
        .execute(&mut *writing)
        .await
        .expect("fits the schema");
    writing.commit().await.expect("kept");
}

#[tokio::test]
async fn a_good_report_is_saved_and_shown_with_what_was_understood() {
    let site = with_water().await;
    let member = site.member().await;
    member
        .get("/report?venue=1")
        .await
        .shown()
        .says("Add a spell")
        .says("Who you are");
    let address = reported(
        &member,
        &[
            ("carp_tally", "1 0 2"),
            ("fish_1", "1"),
            ("fish_weight_1", "9-2"),
            ("fish_time_1", "12:10"),
        ],
    )
    .await;
    let page = member.get(&address).await.shown();
    page.says("Quillet Water, Friday 13 November 2026")
        .says("Jem Coppleway")
        .says("Carp: 4 fish, 31\u{a0}lb\u{a0}4\u{a0}oz")
        .says("Silvers: number not known, 12\u{a0}lb\u{a0}8\u{a0}oz")
        .says("Predators: none")
        .says("12:30 to 13:00 not written down")
        .says("Carp: 1 0 2")
        .says("9\u{a0}lb\u{a0}2\u{a0}oz, at 12:10");
    assert_eq!(
        asked::<f64>(&site, "SELECT SUM(rods * minutes) / 60 FROM spells").await,
        5.0
    );
    assert_eq!(
        asked::<i64>(
            &site,
            "SELECT COUNT(*) FROM spells WHERE uncovered = 1 AND method_id IS NULL"
        )
        .await,
        1
    );
    let differ = "SELECT COUNT(*) FROM (SELECT session_id, group_set, weight_g, fish_count, official, peg_id, rod_hours FROM session_catches_worked
                  EXCEPT SELECT session_id, group_set, weight_g, fish_count, official, peg_id, rod_hours FROM session_catches)";
    assert_eq!(asked::<i64>(&site, differ).await, 0);
    assert_eq!(
        asked::<i64>(&site, "SELECT COUNT(*) FROM session_catches").await,
        4
    );
    member
        .get("/sessions")
        .await
        .shown()
        .says(&address)
        .says("Fri 13 Nov 2026");
}

/// Fields as typed wrongly, the field that is named, and words of the sentence at it.
type BadEntry<'a> = (&'a [(&'a str, &'a str)], &'a str, &'a str);

#[tokio::test]
async fn each_bad_entry_is_named_at_its_field_and_everything_typed_is_kept() {
    let site = with_water().await;
    let member = site.member().await;
    let cases: [BadEntry; 14] = [
        (&[("date", "soon")], "date", "Enter the date you began"),
        (&[("date", "2026-11-20")], "date", "still to come"),
        (&[("peg", "99")], "peg", "no peg"),
        (&[("start", "half ten")], "start", "not a time of day"),
        (&[("end", "")], "end", "or neither"),
        (&[("to_2", "16:00")], "to_2", "beyond the session"),
        (&[("from_2", ""), ("to_2", "")], "from_2", "how many hours"),
        (&[("rods_1", "9")], "rods_1", "rods"),
        (&[("line_1", "far")], "line_1", "far"),
        (
            &[("carp_number", "four")],
            "carp_number",
            "not a whole number",
        ),
        (
            &[("carp_number", "0")],
            "carp_weight",
            "Carp: none caught, but 31 lb 4 oz weighed",
        ),
        (
            &[("carp_number_unknown", "on")],
            "carp_number",
            "not counted",
        ),
        (
            &[("carp_tally", "3 3")],
            "carp_tally",
            "more than the number above",
        ),
        (&[("visibility", "")], "visibility", "Choose who may see"),
    ];
    for (changes, field, sentence) in cases {
        let answer = report(&member, changes).await.asks(sentence);
        answer
            .says(&format!("href=\"#{field}\""))
            .says(&format!("id=\"{field}\""))
            .says("<title>Error:")
            .says("Quiet until the sun came round.");
    }
    assert_eq!(
        asked::<i64>(&site, "SELECT COUNT(*) FROM sessions").await,
        0
    );
}

#[tokio::test]
async fn a_weight_that_could_be_two_is_asked_about_and_the_answer_taken() {
    let site = with_water().await;
    let member = site.member().await;
    let asks = report(&member, &[("silvers_weight", "12.8")])
        .await
        .asks("This could be two weights.");
    asks.says("silvers_weight_meant")
        .says("12 lb 8 oz")
        .says("value=\"12.8\"");
    let (_, after) = asks
        .body
        .split_once("name=\"silvers_weight_meant\" value=\"")
        .expect("a choice");
    let chosen: &'static str = Box::leak(
        after
            .split('"')
            .next()
            .expect("a value")
            .to_owned()
            .into_boxed_str(),
    );
    reported(
        &member,
        &[("silvers_weight", "12.8"), ("silvers_weight_meant", chosen)],
    )
    .await;
    assert_eq!(
        asked::<i64>(&site, "SELECT weight FROM fish WHERE group_set = 2").await,
        3_200
    );
}

#[tokio::test]
async fn a_spell_is_added_without_saving_and_without_losing_a_word() {
    let site = with_water().await;
    let member = site.member().await;
    let page = report(&member, &[("do", "add-spell")]).await.shown();
    page.says("Spell 3")
        .says("id=\"spell-3\"")
        .says("formaction=\"/report#spell-4\"")
        .says("value=\"31-4\"")
        .says("Quiet until the sun came round.")
        .says(KEY);
    assert_eq!(
        asked::<i64>(&site, "SELECT COUNT(*) FROM sessions").await,
        0
    );
}

#[tokio::test]
async fn a_report_without_hours_is_kept_and_says_it_is_left_out_of_rates() {
    let site = with_water().await;
    let member = site.member().await;
    let none = ["start", "end", "from_1", "to_1", "from_2", "to_2"].map(|name| (name, ""));
    let address = reported(&member, &none).await;
    member
        .get(&address)
        .await
        .shown()
        .says("left out of the rates");
    assert_eq!(
        asked::<i64>(&site, "SELECT COUNT(*) FROM spells WHERE minutes IS NULL").await,
        2
    );
    assert_eq!(
        asked::<String>(&site, "SELECT effort_source FROM sessions").await,
        "unknown"
    );
}

#[tokio::test]
async fn a_night_past_midnight_when_clocks_go_back_is_an_hour_longer() {
    let site = with_water().await;
    let member = site.member().await;
    let night = [
        ("date", "2026-10-24"),
        ("start", "20:00"),
        ("end", "7:00"),
        ("spells", "1"),
        ("from_1", ""),
        ("to_1", ""),
        ("from_2", ""),
        ("to_2", ""),
        ("method_2", ""),
    ];
    let address = reported(&member, &night).await;
    member
        .get(&address)
        .await
        .shown()
        .says("Saturday 24 October 2026")
        .says("20:00 to 07:00 the next day");
    assert_eq!(
        asked::<f64>(&site, "SELECT SUM(minutes) FROM spells").await,
        720.0
    );
}

#[tokio::test]
async fn one_water_needs_no_choice_and_none_says_so() {
    let empty = TestSite::new().await;
    empty
        .member()
        .await
        .get("/report")
        .await
        .shown()
        .says("No water is on record yet");
    let site = with_water().await;
    assert_eq!(
        site.member().await.get("/report").await.taken(),
        "/report?venue=1"
    );
    assert_eq!(
        site.other_member()
            .await
            .get("/report?venue=77")
            .await
            .status,
        StatusCode::NOT_FOUND
    );
}
