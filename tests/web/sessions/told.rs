//! How a session's page tells what was reported.

use super::{reported, slips::UNSAID, with_water};

#[tokio::test]
async fn spells_are_told_in_the_order_of_the_day() {
    let site = with_water().await;
    let member = site.member().await;
    let address = reported(
        &member,
        &[
            ("from_1", "13:00"),
            ("to_1", "15:00"),
            ("from_2", "10:00"),
            ("to_2", "12:30"),
        ],
    )
    .await;
    let page = member.get(&address).await.shown();
    let at = |words: &str| page.body.find(words).expect("each spell is told");
    let order = ["10:00 to 12:30", "12:30 to 13:00", "13:00 to 15:00"].map(at);
    assert!(order.is_sorted(), "{order:?}");
    page.says("<dt>Spell 1</dt><dd>10:00 to 12:30")
        .says("<dt>No spell</dt><dd>12:30 to 13:00 not written down")
        .says("<dt>Spell 2</dt><dd>13:00 to 15:00")
        .does_not_say("Spell 3");
}

/// Else its rod-hours do not add up: two hours of two rods and three of nobody knows what are seven.
#[tokio::test]
async fn time_that_no_spell_covers_says_how_it_counts_beside_spells_of_more_rods() {
    let site = with_water().await;
    let member = site.member().await;
    let ends = [
        ("to_1", "11:00"),
        ("from_2", "14:00"),
        ("rods_1", "2"),
        ("rods_2", "2"),
    ];
    let address = reported(&member, &ends).await;
    member
        .get(&address)
        .await
        .shown()
        .says("<dd>11:00 to 14:00 not written down, counted with one rod, peg 14")
        .says("<dt>Rod-hours</dt><dd>7.0</dd>");
    let one_rod = [("key", "the-second-form-001"), ("date", "2026-11-12")];
    let address = reported(&member, &one_rod).await;
    member
        .get(&address)
        .await
        .shown()
        .says("12:30 to 13:00 not written down, peg 14")
        .does_not_say("counted with one rod");
}

#[tokio::test]
async fn of_a_session_without_spells_it_is_said_once_that_none_is_written_down() {
    let site = with_water().await;
    let member = site.member().await;
    let address = reported(&member, &UNSAID).await;
    member
        .get(&address)
        .await
        .shown()
        .says("<dt>Spells</dt><dd>none written down, peg 14")
        .does_not_say("No spell")
        .does_not_say("<dt>Spell 1</dt>");
}

#[tokio::test]
async fn the_list_says_what_is_known_of_some_fish_and_not_of_others() {
    let site = with_water().await;
    let member = site.member().await;
    let some = [
        ("carp_number", "9"),
        ("carp_weight", ""),
        ("carp_weight_unknown", "on"),
        ("predators_number", ""),
    ];
    reported(&member, &some).await;
    member
        .get("/sessions")
        .await
        .shown()
        .says("data-says=\"Fish, your count\">carp 9; silvers not counted<")
        .says("data-says=\"Weight\">silvers 12\u{a0}lb\u{a0}8\u{a0}oz; carp not known<");
}

#[tokio::test]
async fn remarks_keep_their_lines() {
    let site = with_water().await;
    let member = site.member().await;
    let address = reported(&member, &[("remarks", "Quiet at first.\nThen silvers.")]).await;
    member
        .get(&address)
        .await
        .shown()
        .says("<dd class=\"remarks\">Quiet at first.\nThen silvers.</dd>");
    let sheet = include_str!("../../../static/css/parts/words.css");
    assert!(sheet.contains(".remarks { white-space: pre-line;"));
}

#[tokio::test]
async fn hours_that_were_not_written_are_said_to_be_not_noted() {
    let site = with_water().await;
    let member = site.member().await;
    let short = [
        ("end", "15:30"),
        ("carp_tally", "2 0 1 1"),
        ("silvers_tally", "1 1 1 1 1 1"),
    ];
    let said =
        "four hours written of a session of 5 hours 30 minutes; the rest is kept as not noted";
    super::report(&member, &[&short[..], &[("visibility", "")][..]].concat())
        .await
        .asks("Choose who may see")
        .says(said);
    let address = reported(&member, &short).await;
    member
        .get(&address)
        .await
        .shown()
        .says(&format!("Carp: 2 0 1 1 ({said})"))
        .says("Silvers: 1 1 1 1 1 1</dd>");
}

/// Fifty sessions of eight lines each are a phone's whole afternoon.
#[test]
fn a_session_of_the_list_is_two_lines_on_a_phone() {
    let list = include_str!("../../../templates/sessions/mine.html");
    assert!(list.contains("class=\"stack brief\""));
    let sheet = include_str!("../../../static/css/parts/tables.css");
    let (_, phone) = sheet
        .split_once("@media (max-width: 40rem)")
        .expect("a rule for phones");
    assert!(phone.contains("&.brief tbody tr { display: flex; flex-wrap: wrap;"));
    assert!(phone.contains("&.brief tbody td:nth-child(n + 4) { order: 2;"));
}
