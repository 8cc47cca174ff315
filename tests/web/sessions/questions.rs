//! What is asked before it is saved, what is refused, and that every problem is named at once.

use super::{asked, report, reported, tell, with_water};

/// Changes to a good report.
type Changes<'a> = &'a [(&'static str, &'static str)];

/// One spell without times, so that the session's own hours are the ones read.
const UNTIMED: [(&str, &str); 6] = [
    ("spells", "1"),
    ("from_1", ""),
    ("to_1", ""),
    ("from_2", ""),
    ("to_2", ""),
    ("method_2", ""),
];

#[tokio::test]
async fn a_wild_value_is_asked_about_at_its_field_and_saved_once_it_is_ticked() {
    let site = with_water().await;
    let member = site.member().await;
    tell(
        &site,
        "INSERT INTO peg_closures (peg_id, from_on, to_on, reason) VALUES (1, '2026-11-13', '2026-11-13', 'bank works')",
    )
    .await;
    // What is changed, the tick and its words, and words of the question.
    let cases: [(Changes, &str, &str, &str); 11] = [
        (
            &[("key", "a-wild-form-000001"), ("date", "2006-11-13")],
            "date_sure",
            "2006-11-13",
            "more than ten years ago",
        ),
        (
            &[
                ("key", "a-wild-form-000002"),
                ("date", "2026-11-01"),
                ("carp_weight", "260-0"),
            ],
            "carp_weight_sure",
            "4/260-0",
            "Carp: that makes 65 lb a fish",
        ),
        (
            &[
                ("key", "a-wild-form-000003"),
                ("date", "2026-11-02"),
                ("carp_number", "20"),
                ("carp_weight", "301-0"),
            ],
            "carp_weight_sure",
            "20/301-0",
            "Carp: 301 lb is more than 300 lb",
        ),
        (
            &[
                ("key", "a-wild-form-000004"),
                ("date", "2026-11-05"),
                ("end", "9:00"),
            ],
            "end_sure",
            "10:00 9:00",
            "That makes 23 hours",
        ),
        (
            &[("key", "a-wild-form-000005")],
            "peg_sure",
            "14 2026-11-13",
            "Peg 14 is closed that day: bank works.",
        ),
        (
            &[
                ("key", "a-wild-form-000006"),
                ("date", "2026-11-06"),
                ("end", "13:00"),
                ("carp_number", "200"),
                ("carp_weight", "150-0"),
            ],
            "carp_number_sure",
            "200/3.00",
            "Carp: 200 fish make 67 an hour for each rod.",
        ),
        (
            &[
                ("key", "a-wild-form-000007"),
                ("date", "2026-11-07"),
                ("carp_number", "100"),
                ("carp_weight", "2 oz"),
            ],
            "carp_weight_sure",
            "100/2 oz",
            "Carp: that makes 0.02 oz a fish.",
        ),
        (
            &[
                ("key", "a-wild-form-000008"),
                ("date", "2026-11-08"),
                ("f1s_number", "1"),
                ("f1s_weight", "20-0"),
            ],
            "f1s_weight_sure",
            "1/20-0",
            "F1s: that makes 20 lb a fish.",
        ),
        (
            &[
                ("key", "a-wild-form-000009"),
                ("date", "2026-11-09"),
                ("silvers_weight", "40-0"),
                ("fish_1", "6"),
                ("fish_weight_1", "30-0"),
            ],
            "fish_weight_1_sure",
            "6/30-0",
            "Named fish 1: 30 lb is far above any Roach.",
        ),
        (
            &[
                ("key", "a-wild-form-000010"),
                ("date", "2026-11-10"),
                ("line_1", "130"),
            ],
            "line_1_sure",
            "130",
            "Spell 1: 130 m is a very long line.",
        ),
        (
            &[
                ("key", "a-wild-form-000011"),
                ("date", "2026-11-11"),
                ("depth_1", "25"),
            ],
            "depth_1_sure",
            "25",
            "Spell 1: 25 m is very deep water.",
        ),
    ];
    for (changes, tick, about, question) in cases {
        let field = tick.trim_end_matches("_sure");
        let changes = [changes, &UNTIMED[..]].concat();
        report(&member, &changes)
            .await
            .asks(question)
            .says(&format!("href=\"#{field}\""))
            .says(&format!("name=\"{tick}\" value=\"{about}\""))
            .says("Yes, that is right");
        let of_others = [&changes[..], &[(tick, "of something else")][..]].concat();
        report(&member, &of_others).await.asks(question);
        let ticked = [&changes[..], &[(tick, about)][..]].concat();
        report(&member, &ticked).await.taken();
    }
}

#[tokio::test]
async fn spells_that_share_time_are_asked_about_and_their_rod_hours_are_told() {
    let site = with_water().await;
    let member = site.member().await;
    let both = [("from_2", "10:00"), ("to_2", "12:30")];
    report(&member, &both)
        .await
        .asks("Spell 2 overlaps spell 1 by 2 hours 30 minutes. Were two rods out at once? Tick if so, or mend the hours.")
        .says("href=\"#from_2\"")
        .says("name=\"from_2_sure\" value=\"10:00 12:30 10:00 12:30\"");
    assert_eq!(
        asked::<i64>(&site, "SELECT COUNT(*) FROM sessions").await,
        0
    );
    let ticked = [&both[..], &[("from_2_sure", "10:00 12:30 10:00 12:30")][..]].concat();
    let address = reported(&member, &ticked).await;
    member
        .get(&address)
        .await
        .shown()
        .says("<dt>Rod-hours</dt><dd>7.5</dd>");
    // One that begins as the other ends shares no time.
    let after = [
        ("key", "the-second-form-001"),
        ("date", "2026-11-12"),
        ("from_2", "12:30"),
    ];
    reported(&member, &after).await;
}

#[tokio::test]
async fn a_second_report_of_the_same_hours_is_asked_about() {
    let site = with_water().await;
    let member = site.member().await;
    let first = reported(&member, &[]).await;
    let second = ("key", "the-second-form-001");
    report(&member, &[second])
        .await
        .asks("You have a report of those hours already.")
        .says(&format!("href=\"{first}\""))
        .says("This is another");
    let afterwards = [
        &[second, ("start", "15:00"), ("end", "17:00")][..],
        &UNTIMED[..],
    ]
    .concat();
    report(&member, &afterwards).await.taken();
    let another = [
        ("key", "the-third-form-0001"),
        ("start_sure", "2026-11-13 10:00 15:00"),
    ];
    report(&member, &another).await.taken();
    assert_eq!(
        asked::<i64>(&site, "SELECT COUNT(*) FROM sessions").await,
        3
    );
}

#[tokio::test]
async fn the_same_hours_are_asked_about_together_with_what_else_is_to_be_mended() {
    let site = with_water().await;
    let member = site.member().await;
    let first = reported(&member, &[]).await;
    let unclear = [("carp_weight", "12.8"), ("visibility", "")];
    let second = [&unclear[..], &[("key", "the-second-form-001")][..]].concat();
    report(&member, &second)
        .await
        .asks("This could be two weights.")
        .says("You have a report of those hours already.")
        .says(&format!("href=\"{first}\""));
    let said = [&second[..], &[("start_sure", "2026-11-13 10:00 15:00")][..]].concat();
    report(&member, &said)
        .await
        .asks("This could be two weights.")
        .does_not_say("You have a report of those hours already.");
    // The first form itself, sent once more, does not overlap what it became.
    report(&member, &unclear)
        .await
        .asks("This could be two weights.")
        .does_not_say("You have a report of those hours already.");

    let before = [("key", "the-third-form-0001"), ("date", "2026-11-12")];
    let other = reported(&member, &before).await;
    let moved = super::form(&[("ver", "1"), ("carp_weight", "12.8")]);
    member
        .submit(&format!("{other}/edit"), &moved)
        .await
        .asks("This could be two weights.")
        .says("You have a report of those hours already.");
}

#[tokio::test]
async fn a_named_fish_heavier_than_all_of_its_group_is_refused_at_its_field() {
    let site = with_water().await;
    let member = site.member().await;
    report(&member, &[("fish_1", "1"), ("fish_weight_1", "32-0")])
        .await
        .asks("Named fish 1: that is more than the whole of Carp above, 31 lb 4 oz.")
        .says("href=\"#fish_weight_1\"");
}

#[tokio::test]
async fn every_problem_is_named_at_once_and_one_at_each_field() {
    let site = with_water().await;
    let member = site.member().await;
    let bad = [
        ("date", "soon"),
        ("peg", "99"),
        ("carp_number", "four"),
        ("rods_1", "9"),
    ];
    let answer = report(&member, &bad).await.asks("Four things are needed");
    for field in ["date", "peg", "carp_number", "rods_1"] {
        answer.says(&format!("href=\"#{field}\""));
    }
    let unread = [
        &[("start", "half ten"), ("carp_tally", "1 1")][..],
        &UNTIMED[..],
    ]
    .concat();
    report(&member, &unread)
        .await
        .asks("not a time of day")
        .does_not_say("enter when you started and packed up");
}

#[tokio::test]
async fn what_is_wrong_with_a_catch_names_its_fish() {
    let site = with_water().await;
    let member = site.member().await;
    let cases: [(Changes, &str); 7] = [
        (
            &[("carp_number", "four")],
            "Carp: “four” is not a whole number.",
        ),
        (
            &[("silvers_weight", "lots")],
            "Silvers: “lots” cannot be read as a weight.",
        ),
        (
            &[("carp_number_unknown", "on")],
            "Carp: you typed a number and ticked “not counted”.",
        ),
        (
            &[("blank", "on")],
            "Silvers: you ticked that you caught nothing.",
        ),
        (
            &[("silvers_tally", "1 1 1 1 1 1")],
            "Silvers: 6 hours are written, but you fished 5 hours.",
        ),
        (
            &[("fish_1", "1"), ("fish_weight_1", "lots")],
            "Named fish 1: “lots” cannot be read as a weight.",
        ),
        (&[("carp_number", "3")], "Understood: <b>Carp, 3 fish, 31"),
    ];
    for (changes, sentence) in cases {
        let changes = [changes, &[("visibility", "")][..]].concat();
        report(&member, &changes).await.asks(sentence);
    }
}

#[tokio::test]
async fn the_answer_about_a_weight_stays_while_a_spell_or_a_fish_is_added() {
    let site = with_water().await;
    let member = site.member().await;
    let asks = report(&member, &[("silvers_weight", "12.8")]).await;
    let choice = "name=\"silvers_weight_meant\" value=\"";
    let (_, after) = asks.body.split_once(choice).expect("a choice");
    let chosen: &'static str = after.split('"').next().expect("a value").to_owned().leak();
    let kept = format!("{choice}{chosen}\" checked");
    for act in ["add-spell", "add-fish"] {
        let answered = [
            ("silvers_weight", "12.8"),
            ("silvers_weight_meant", chosen),
            ("do", act),
        ];
        report(&member, &answered).await.shown().says(&kept);
    }
    let address = reported(&member, &[]).await;
    let edit = [
        ("silvers_weight", "12.8"),
        ("silvers_weight_meant", chosen),
        ("do", "add-spell"),
        ("ver", "1"),
    ];
    let edited = member
        .submit(&format!("{address}/edit"), &super::form(&edit))
        .await;
    edited.shown().says(&kept);
}

#[tokio::test]
async fn nothing_is_said_of_a_weight_that_is_asked_about_or_unread() {
    let site = with_water().await;
    let member = site.member().await;
    let asks = report(&member, &[("carp_weight", "12.8")])
        .await
        .asks("This could be two weights.");
    asks.says("neither: mend the weight above first")
        .does_not_say("several weights");
    asks.says("Understood: <b>Carp, 4 fish; the weight is asked about below</b>")
        .does_not_say("Carp, 4 fish, weight not known");
    // The question stands directly under the box, before the ticks.
    let at = |words: &str| asks.body.find(words).expect("it is on the page");
    assert!(at("name=\"carp_weight\"") < at("name=\"carp_weight_meant\""));
    assert!(at("name=\"carp_weight_meant\"") < at("name=\"carp_number_unknown\""));
    report(&member, &[("carp_weight", "lots")])
        .await
        .asks("cannot be read as a weight")
        .says("Understood: <b>Carp, 4 fish</b>");
    report(&member, &[("carp_number", "four")])
        .await
        .asks("not a whole number")
        .says("Understood: <b>Carp, 31\u{a0}lb\u{a0}4\u{a0}oz</b>");
}
