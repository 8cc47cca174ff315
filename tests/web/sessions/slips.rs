//! What contradicts itself, or has not happened yet, is named instead of being dropped.

use super::{asked, form, report, reported, with_water};

/// One spell of which nothing is said.
pub(super) const UNSAID: [(&str, &str); 8] = [
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

#[tokio::test]
async fn a_fish_weighed_on_other_scales_may_be_out_by_a_dram_and_is_told_in_those_of_the_whole() {
    let site = with_water().await;
    let member = site.member().await;
    let one = [
        ("carp_number", "1"),
        ("carp_weight", "850 g"),
        ("fish_1", "1"),
    ];
    // 1 lb 14 oz is 850.49 g.
    reported(
        &member,
        &[&one[..], &[("fish_weight_1", "1-14")][..]].concat(),
    )
    .await;
    let more = [("key", "the-second-form-001"), ("date", "2026-11-12")];
    let more = [&one[..], &more[..], &[("fish_weight_1", "1-15")][..]].concat();
    report(&member, &more)
        .await
        .asks("Named fish 1: that is 879\u{a0}g, more than the whole of Carp above, 850 g.");
}

#[tokio::test]
async fn an_aim_beyond_the_line_and_a_depth_no_water_has_are_named() {
    let site = with_water().await;
    let member = site.member().await;
    let far = ("aim_1", "20 left");
    report(&member, &[far])
        .await
        .asks("Spell 1: an aim of 20 m left is further than the line, 11 m.")
        .says("name=\"aim_1_sure\" value=\"11/20 left\"");
    report(&member, &[("depth_1", "31")])
        .await
        .asks("is more than 30 m. Check the depth")
        .says("href=\"#depth_1\"");
    reported(
        &member,
        &[
            far,
            ("aim_1_sure", "11/20 left"),
            ("depth_1", "30"),
            ("depth_1_sure", "30"),
        ],
    )
    .await;
}

#[tokio::test]
async fn a_time_or_a_date_that_cannot_be_is_told_with_what_was_typed_and_why() {
    let site = with_water().await;
    let member = site.member().await;
    let today = [("date", "2026-11-14"), ("start", "10:00"), ("end", "9:00")];
    report(&member, &[&today[..], &UNSAID[..]].concat())
        .await
        .asks("Packed up at 09:00 the next day, as you started at 10:00? That is still to come.")
        .says("href=\"#end\"");
    for (date, why) in [
        (
            "1826-11-13",
            "“1826-11-13” is before 1900. Enter the date you began",
        ),
        (
            "2926-11-13",
            "“2926-11-13” is still to come. Enter the date you began",
        ),
        (
            "2026-02-30",
            "“2026-02-30” is not a date. Enter the date you began",
        ),
    ] {
        report(&member, &[("date", date)]).await.asks(why);
    }
    let unread = [("start", "half ten"), ("end", "late")];
    report(&member, &[&unread[..], &UNSAID[..]].concat())
        .await
        .asks("Two things are needed")
        .does_not_say("leave both empty");
    report(&member, &[("carp_number", "four")])
        .await
        .asks("as a whole number in plain figures, for example 14.");
}

#[tokio::test]
async fn one_time_alone_is_asked_about_at_the_other_with_an_example() {
    let site = with_water().await;
    let member = site.member().await;
    for (missing, sentence) in [
        (
            "end",
            "Packed up is empty and Started is not. Enter when you packed up, for example 15:00, or leave both empty.",
        ),
        (
            "start",
            "Started is empty and Packed up is not. Enter when you started, for example 7:30, or leave both empty.",
        ),
    ] {
        report(&member, &[&UNSAID[..], &[(missing, "")]].concat())
            .await
            .asks(sentence)
            .says(&format!("href=\"#{missing}\""));
    }
}

#[tokio::test]
async fn a_spell_is_never_longer_than_its_session_however_many_rods_it_had() {
    let site = with_water().await;
    let member = site.member().await;
    let morning = [("start", "9:00"), ("end", "12:00"), ("rods_1", "4")];
    let spell = [&UNSAID[..], &morning[..]].concat();
    report(&member, &[&spell[..], &[("hours_1", "3.5")][..]].concat())
        .await
        .asks("Spell 1: 3 hours 30 minutes is longer than the session, 3 hours.")
        .says("href=\"#hours_1\"");
    let two = [
        &spell[..],
        &[("spells", "2"), ("hours_1", "2"), ("hours_2", "2")][..],
    ]
    .concat();
    report(&member, &two)
        .await
        .asks("Spell 1: the spells come to 4 hours together, the session to 3 hours.")
        .says("name=\"hours_1_sure\" value=\"240/180\"");
    reported(
        &member,
        &[&two[..], &[("hours_1_sure", "240/180")][..]].concat(),
    )
    .await;
    // One rod in each: asked about as spells that overlap on the clock are.
    let one_rod = [
        ("key", "the-third-form-0001"),
        ("rods_1", "1"),
        ("rods_2", "1"),
    ];
    report(&member, &[&two[..], &one_rod[..]].concat())
        .await
        .asks("Spell 1: the spells come to 4 hours together, the session to 3 hours.")
        .says("name=\"hours_1_sure\" value=\"240/180\"");
    let whole = [
        ("key", "the-second-form-001"),
        ("date", "2026-11-12"),
        ("hours_1", "3"),
    ];
    let address = reported(&member, &[&spell[..], &whole[..]].concat()).await;
    member
        .get(&address)
        .await
        .shown()
        .says("<dt>Rod-hours</dt><dd>12.0</dd>");
}

#[tokio::test]
async fn a_spell_outside_its_session_is_told_by_which_end_and_nothing_of_it_is_understood() {
    let site = with_water().await;
    let member = site.member().await;
    let morning = [&UNSAID[..], &[("start", "9:00"), ("end", "12:00")][..]].concat();
    let night = [&UNSAID[..], &[("start", "20:00"), ("end", "2:00")][..]].concat();
    for (session, from, to, field, sentence) in [
        (
            &morning,
            "11:00",
            "10:00",
            "to_1",
            "Spell 1 ends before it starts: from 11:00 to 10:00.",
        ),
        (
            &morning,
            "10:00",
            "10:00",
            "to_1",
            "Spell 1 ends when it starts: from 10:00 to 10:00.",
        ),
        (
            &morning,
            "8:00",
            "10:00",
            "from_1",
            "Spell 1 starts before the session: from 08:00, and you started at 09:00.",
        ),
        (
            &morning,
            "13:00",
            "14:00",
            "from_1",
            "Spell 1 starts when the session is over: from 13:00, and you packed up at 12:00.",
        ),
        (
            &morning,
            "10:00",
            "14:00",
            "to_1",
            "Spell 1 reaches beyond the session: to 14:00, and you packed up at 12:00.",
        ),
        (
            &night,
            "19:00",
            "23:00",
            "from_1",
            "Spell 1 starts before the session: from 19:00, and you started at 20:00.",
        ),
        (
            &night,
            "23:00",
            "3:00",
            "to_1",
            "Spell 1 reaches beyond the session: to 03:00, and you packed up at 02:00.",
        ),
    ] {
        let times = [("from_1", from), ("to_1", to)];
        report(&member, &[&session[..], &times[..]].concat())
            .await
            .asks(sentence)
            .says(&format!("href=\"#{field}\""))
            .does_not_say("id=\"to_1-echo\"");
    }
    // The length beside such times is read with them, not on the next go.
    let both = [("from_1", "11:00"), ("to_1", "10:00"), ("hours_1", "ages")];
    report(&member, &[&morning[..], &both[..]].concat())
        .await
        .asks("Spell 1 ends before it starts")
        .says("href=\"#hours_1\"");
    // Without the session's hours it may have been a day and a night.
    let alone = [
        ("start", ""),
        ("end", ""),
        ("from_1", "11:00"),
        ("to_1", "10:00"),
    ];
    report(&member, &[&UNSAID[..], &alone[..]].concat())
        .await
        .asks("Spell 1: from 11:00 to 10:00 the next day? That makes 23 hours.")
        .says("name=\"to_1_sure\" value=\"11:00 10:00\"");
}

#[tokio::test]
async fn a_named_fish_of_a_group_of_which_nothing_else_is_said_leaves_its_number_not_known() {
    let site = with_water().await;
    let member = site.member().await;
    let mut only = form(&[
        ("fish_1", "1"),
        ("fish_weight_1", "9-2"),
        ("carp_number", ""),
        ("carp_weight", ""),
        ("silvers_weight", ""),
        ("predators_number", ""),
    ]);
    only.retain(|(name, _)| *name != "silvers_number_unknown");
    let address = member.submit("/report", &only).await.taken();
    member
        .get(address.split('?').next().expect("an address"))
        .await
        .shown()
        .says("<dt>Caught</dt><dd>Carp: number not known, weight not known<")
        .says("9\u{a0}lb\u{a0}2\u{a0}oz");
}

#[tokio::test]
async fn a_named_fish_in_an_hour_without_one_is_asked_about() {
    let site = with_water().await;
    let member = site.member().await;
    let hours = [("carp_tally", "1 1 0 - 2"), ("fish_1", "1")];
    let at = |time| [&hours[..], &[("fish_time_1", time)][..]].concat();
    report(&member, &at("12:30"))
        .await
        .asks("Named fish 1: it came at 12:30, and no Carp are written for the hour from 12:00.")
        .says("href=\"#fish_time_1\"")
        .says("name=\"fish_time_1_sure\" value=\"12:30/1 1 0 - 2\"");
    let two = [("named", "2"), ("fish_2", "1"), ("fish_time_2", "11:40")];
    report(&member, &[&at("11:20")[..], &two[..]].concat())
        .await
        .asks("Named fish 2: it came at 11:40, and with it more of Carp are named than the 1 written for the hour from 11:00.");
    let dates = ["2026-11-01", "2026-11-02", "2026-11-03"];
    let keys = [
        "a-named-form-00001",
        "a-named-form-00002",
        "a-named-form-00003",
    ];
    // On the hour, in one that was not counted, and once it is said to be right.
    for ((time, date), key) in ["12:00", "13:30", "12:30"].into_iter().zip(dates).zip(keys) {
        let said = [
            ("date", date),
            ("key", key),
            ("fish_time_1_sure", "12:30/1 1 0 - 2"),
        ];
        reported(&member, &[&at(time)[..], &said[..]].concat()).await;
    }
}
