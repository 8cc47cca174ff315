//! What was understood of a report, told before anything of it is saved.

use super::{
    asked, form, frost_cup,
    quick::{ONE_WAY, quick},
    report, reported, with_water,
};
use crate::support::TestSite;

const READ_BACK: (&str, &str) = ("do", "read-back");

async fn sessions(site: &TestSite) -> i64 {
    asked(site, "SELECT COUNT(*) FROM sessions").await
}

#[tokio::test]
async fn a_whole_report_is_read_back_with_its_weights_and_numbers_and_not_saved() {
    let site = with_water().await;
    let member = site.member().await;
    member
        .get("/report?venue=1")
        .await
        .shown()
        .says("value=\"read-back\">Read it back to me first")
        .does_not_say("Nothing is saved yet");
    let told = [
        ("from_1", ""),
        ("to_1", ""),
        ("hours_1", "2½"),
        ("line_1", "6 ft"),
        ("aim_1", "L1"),
        ("fish_1", "1"),
        ("fish_weight_1", "9-2"),
    ];
    report(&member, &[&told[..], &[READ_BACK][..]].concat())
        .await
        .shown()
        .says("Nothing is saved yet")
        .says("Understood: <b>Carp, 4 fish, 31\u{a0}lb\u{a0}4\u{a0}oz</b>")
        .says("Understood: <b>9\u{a0}lb\u{a0}2\u{a0}oz</b>")
        .says("Understood: <b>2 hours 30 minutes</b>")
        .says("Understood: <b>1.83 m</b>")
        .says("Understood: <b>1 m left</b>")
        .says("name=\"line_1\" value=\"6 ft\"")
        .says("value=\"club\" checked");
    assert_eq!(sessions(&site).await, 0);
    report(&member, &[READ_BACK, ("carp_weight", "12.8")])
        .await
        .asks("This could be two weights.")
        .does_not_say("Nothing is saved yet");
    report(&member, &told).await.taken();
    assert_eq!(sessions(&site).await, 1);
}

#[tokio::test]
async fn a_quick_report_is_read_back_and_stays_quick() {
    let site = with_water().await;
    let member = site.member().await;
    reported(&member, &ONE_WAY).await;
    quick(&member, &[READ_BACK, ("carp_weight", "12-8")])
        .await
        .shown()
        .says("Nothing is saved yet")
        .says("Understood: <b>Carp, 3 fish, 12\u{a0}lb\u{a0}8\u{a0}oz</b>")
        .says("name=\"quick\" value=\"on\"")
        .says("value=\"a-quick-form-000001\"")
        .does_not_say("How you fished");
    assert_eq!(sessions(&site).await, 1);
    quick(&member, &[("carp_weight", "12-8")]).await.taken();
}

#[tokio::test]
async fn a_change_is_read_back_and_changes_nothing_yet() {
    let site = with_water().await;
    let member = site.member().await;
    let address = reported(&member, &[]).await;
    let changed = form(&[("ver", "1"), ("carp_number", "5"), READ_BACK]);
    member
        .submit(&format!("{address}/edit"), &changed)
        .await
        .shown()
        .says("Change your report")
        .says("Nothing is saved yet")
        .says("Understood: <b>Carp, 5 fish")
        .says("name=\"ver\" value=\"1\"");
    member.get(&address).await.shown().says("4 fish");
}

#[tokio::test]
async fn everything_understood_is_listed_and_that_no_hours_mean_no_rate() {
    let site = with_water().await;
    let member = site.member().await;
    let told = [
        READ_BACK,
        ("bait_1", "8"),
        ("rods_1", "2"),
        ("peg_2", "15"),
        ("carp_tally", "1 0 2"),
        ("fish_1", "1"),
        ("fish_weight_1", "9-2"),
        ("fish_time_1", "12:10"),
    ];
    report(&member, &told)
        .await
        .shown()
        .says("<dt>Date</dt><dd>Friday 13 November 2026")
        .says("<dt>Fished</dt><dd>10:00 to 15:00")
        .says("<dt>Spell 1</dt><dd>10:00 to 12:30, pole, pellet, at 11 m, 2 rods, peg 14")
        .says("<dt>No spell</dt><dd>12:30 to 13:00 not written down, counted with one rod<")
        .says("<dt>Spell 2</dt><dd>13:00 to 15:00, ")
        .says(", peg 15<")
        .says("<dt>Hour by hour</dt><dd>Carp: 1 0 2 (")
        .says("9\u{a0}lb\u{a0}2\u{a0}oz, at 12:10")
        .says("<dt>Seen by</dt><dd>the club")
        .does_not_say("left out of the rates: nobody");
    let none = ["start", "end", "from_1", "to_1", "from_2", "to_2"].map(|name| (name, ""));
    report(&member, &[&none[..], &[READ_BACK][..]].concat())
        .await
        .shown()
        .says("Nothing is saved yet")
        .says("This session will be kept, but left out of the rates");
    assert_eq!(sessions(&site).await, 0);
}

#[tokio::test]
async fn reading_back_asks_what_saving_would_ask_and_saves_nothing() {
    let site = with_water().await;
    let member = site.member().await;
    // A first report makes the angler; one that is read back makes nobody.
    report(&member, &[READ_BACK]).await.shown();
    assert_eq!(asked::<i64>(&site, "SELECT COUNT(*) FROM anglers").await, 0);
    let first = reported(&member, &[("peg", "15"), ("visibility", "private")]).await;

    let second = ("key", "the-second-form-001");
    report(&member, &[second, READ_BACK])
        .await
        .asks("You have a report of those hours already.")
        .says(&format!("href=\"{first}\""))
        .does_not_say("Nothing is saved yet");
    let sure = ("start_sure", "2026-11-13 10:00 15:00");
    report(&member, &[second, READ_BACK, sure])
        .await
        .shown()
        .says("Nothing is saved yet")
        .says("name=\"start_sure\" value=\"2026-11-13 10:00 15:00\" checked");
    let kept = "SELECT default_visibility FROM anglers";
    assert_eq!(asked::<String>(&site, kept).await, "private");
    // Sent before: the answer it had then, not the promise that nothing is saved.
    report(
        &member,
        &[("peg", "15"), ("visibility", "private"), READ_BACK],
    )
    .await
    .taken();

    let before = [second, ("date", "2026-11-12")];
    let other = reported(&member, &before).await;
    let moved = form(&[("ver", "1"), READ_BACK]);
    member
        .submit(&format!("{other}/edit"), &moved)
        .await
        .asks("You have a report of those hours already.")
        .does_not_say("Nothing is saved yet");
    member.get(&other).await.shown().says("12 November 2026");
    assert_eq!(sessions(&site).await, 2);
}

#[tokio::test]
async fn reading_back_says_which_peg_was_drawn() {
    let site = with_water().await;
    let member = site.member().await;
    reported(
        &member,
        &[("key", "the-first-form-0001"), ("date", "2026-11-01")],
    )
    .await;
    frost_cup(&site, 2).await;
    report(&member, &[READ_BACK])
        .await
        .asks("You drew peg 15 in Frost Cup.")
        .does_not_say("Nothing is saved yet");
    report(&member, &[("peg", "15"), READ_BACK])
        .await
        .shown()
        .says("Nothing is saved yet");
    let reports = "SELECT COUNT(*) FROM sessions WHERE has_report = 1";
    assert_eq!(asked::<i64>(&site, reports).await, 1);
}
