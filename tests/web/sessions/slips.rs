//! What contradicts itself, or has not happened yet, is named instead of being dropped.

use super::{asked, form, report, reported, with_water};

/// One spell of which nothing is said.
const UNSAID: [(&str, &str); 8] = [
    ("spells", "1"),
    ("from_1", ""),
    ("to_1", ""),
    ("method_1", ""),
    ("line_1", ""),
    ("from_2", ""),
    ("to_2", ""),
    ("method_2", ""),
];

#[tokio::test]
async fn two_rods_are_kept_where_nothing_else_is_said_of_the_spell() {
    let site = with_water().await;
    let member = site.member().await;
    let address = reported(&member, &[&UNSAID[..], &[("rods_1", "2")][..]].concat()).await;
    member
        .get(&address)
        .await
        .shown()
        .says("method unknown, 2 rods")
        .says("<dt>Rod-hours</dt><dd>10.0</dd>");
    let one = [
        ("key", "the-second-form-001"),
        ("date", "2026-11-12"),
        ("rods_1", "1"),
    ];
    reported(&member, &[&UNSAID[..], &one[..]].concat()).await;
    let uncovered = "SELECT COUNT(*) FROM spells WHERE uncovered = 1 AND rods = 1";
    assert_eq!(asked::<i64>(&site, uncovered).await, 1);
}

#[tokio::test]
async fn a_weight_is_not_dropped_by_the_tick_that_nothing_was_caught() {
    let site = with_water().await;
    let member = site.member().await;
    let blank = |weight| {
        let changes = [
            ("blank", "on"),
            ("carp_number", "0"),
            ("carp_weight", weight),
            ("silvers_weight", ""),
        ];
        let mut fields = form(&changes);
        fields.retain(|(name, _)| *name != "silvers_number_unknown");
        fields
    };
    member
        .submit("/report", &blank("31-4"))
        .await
        .asks("Carp: you ticked that you caught nothing.")
        .says("href=\"#carp_weight\"")
        .says("name=\"carp_weight\" value=\"31-4\"");
    member.submit("/report", &blank("0")).await.taken();
}

#[tokio::test]
async fn named_fish_are_never_more_than_the_whole_of_their_group() {
    let site = with_water().await;
    let member = site.member().await;
    let two = [("named", "2"), ("fish_1", "1"), ("fish_2", "1")];
    report(&member, &[&two[..], &[("carp_number", "1")][..]].concat())
        .await
        .asks("Named fish 2: with it more of Carp are named than the 1 above. Mend one of the two.")
        .says("href=\"#fish_2\"");
    let weights = [("fish_weight_1", "20-0"), ("fish_weight_2", "12-0")];
    report(&member, &[&two[..], &weights[..]].concat())
        .await
        .asks("Named fish 2: with the fish named before it, that is more than the whole of Carp above, 31 lb 4 oz.")
        .says("href=\"#fish_weight_2\"");
    let none = [("fish_1", "1"), ("carp_number", "0"), ("carp_weight", "")];
    report(&member, &none)
        .await
        .asks("Named fish 1: no Carp were caught, as is said above.");
    let all = [("fish_weight_1", "20-0"), ("fish_weight_2", "11-4")];
    reported(&member, &[&two[..], &all[..]].concat()).await;
}

#[tokio::test]
async fn a_spell_or_a_fish_that_is_still_to_come_is_named_without_the_sessions_hours() {
    let site = with_water().await;
    let member = site.member().await;
    let today = [("date", "2026-11-14"), ("start", ""), ("end", "")];
    let spells = [("to_1", "11:30"), ("from_2", "11:30"), ("to_2", "13:00")];
    report(&member, &[&today[..], &spells[..]].concat())
        .await
        .asks("Spell 2, to: that is still to come. Report when you have packed up.")
        .says("href=\"#to_2\"");
    let fish = [("fish_1", "1"), ("fish_time_1", "18:00")];
    report(&member, &[&today[..], &UNSAID[..], &fish[..]].concat())
        .await
        .asks("Named fish 1: that is still to come. Check the time.")
        .says("href=\"#fish_time_1\"");
}

#[tokio::test]
async fn hours_that_are_not_those_between_from_and_to_are_named() {
    let site = with_water().await;
    let member = site.member().await;
    report(&member, &[("hours_1", "5")])
        .await
        .asks("Spell 1: from and to make 2 hours 30 minutes. Leave the hours empty, or mend one of them.")
        .says("href=\"#hours_1\"")
        .says("name=\"hours_1\" value=\"5\"");
    reported(&member, &[("hours_1", "2:30")]).await;
}
