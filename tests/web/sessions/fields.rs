//! Every field of both forms: what is wrong with it is named there and nowhere else, its box is tied
//! to the sentence, and what was typed is still in it.

use super::{
    quick::{ONE_WAY, quick},
    report, reported, with_water,
};
use crate::support::Answer;

/// A field, and what is typed wrongly there, last, with what that needs beside it.
type Slip<'a> = (&'a str, &'a [(&'static str, &'static str)]);

const LONG_NAME: &str = "Coppleway-Nethermoor-Sallowby-Nettlecombe-Fallowes-Hazelpatch-Marlpit";

/// One sentence, at this field alone. `boxed`: what was typed is the value of its box.
#[track_caller]
fn names(answer: Answer, field: &str, boxed: Option<&str>) -> Answer {
    let answer = answer.asks("One thing is needed");
    answer
        .says("<title>Error:")
        .says(&format!("href=\"#{field}\""))
        .says(&format!("id=\"{field}\""))
        .says(&format!("id=\"{field}-problem\""))
        .says(&format!("aria-describedby=\"{field}-problem"));
    if let Some(typed) = boxed {
        answer.says(&format!("name=\"{field}\" value=\"{typed}\""));
    }
    answer
}

#[tokio::test]
async fn each_typed_field_of_the_whole_form_names_what_is_wrong_and_keeps_it() {
    let site = with_water().await;
    let member = site.member().await;
    let slips: [Slip; 34] = [
        ("given", &[("surname", ""), ("given", "7")]),
        ("surname", &[("surname", LONG_NAME)]),
        ("peg", &[("peg", "99")]),
        ("date", &[("date", "soon")]),
        ("start", &[("start", "half ten")]),
        ("end", &[("end", "late")]),
        ("peg_1", &[("peg_1", "98")]),
        ("from_1", &[("from_1", "early")]),
        ("to_1", &[("to_1", "late")]),
        (
            "hours_1",
            &[("from_1", ""), ("to_1", ""), ("hours_1", "a while")],
        ),
        ("depth_1", &[("depth_1", "deep")]),
        ("line_1", &[("line_1", "far")]),
        ("aim_1", &[("aim_1", "over there")]),
        ("rods_1", &[("rods_1", "nine")]),
        ("rods_2", &[("rods_2", "nine")]),
        ("carp_number", &[("carp_number", "four")]),
        ("carp_weight", &[("carp_weight", "lots")]),
        ("carp_tally", &[("carp_tally", "many")]),
        ("silvers_number", &[("silvers_number", "four")]),
        ("silvers_weight", &[("silvers_weight", "lots")]),
        ("silvers_tally", &[("silvers_tally", "many")]),
        ("f1s_number", &[("f1s_number", "four")]),
        ("f1s_weight", &[("f1s_weight", "lots")]),
        ("f1s_tally", &[("f1s_tally", "many")]),
        ("predators_number", &[("predators_number", "four")]),
        ("predators_weight", &[("predators_weight", "lots")]),
        ("predators_tally", &[("predators_tally", "many")]),
        ("other_number", &[("other_number", "four")]),
        ("other_weight", &[("other_weight", "lots")]),
        ("other_tally", &[("other_tally", "many")]),
        (
            "fish_weight_1",
            &[("fish_1", "1"), ("fish_weight_1", "lots")],
        ),
        (
            "fish_time_1",
            &[("fish_1", "1"), ("fish_time_1", "noonish")],
        ),
        (
            "fish_weight_2",
            &[("named", "2"), ("fish_2", "1"), ("fish_weight_2", "lots")],
        ),
        (
            "fish_time_2",
            &[("named", "2"), ("fish_2", "1"), ("fish_time_2", "noonish")],
        ),
    ];
    for (field, changes) in slips {
        let typed = changes.last().map(|(_, typed)| *typed);
        names(report(&member, changes).await, field, typed).says("Quiet until the sun came round.");
    }
}

#[tokio::test]
async fn each_list_and_the_remarks_name_what_is_wrong_and_keep_the_rest() {
    let site = with_water().await;
    let member = site.member().await;
    let long: &'static str = "word ".repeat(900).leak();
    let slips: [Slip; 5] = [
        ("method_1", &[("method_1", "999")]),
        ("bait_1", &[("bait_1", "999")]),
        ("fish_1", &[("fish_1", "999")]),
        ("visibility", &[("visibility", "nobody")]),
        ("remarks", &[("remarks", long)]),
    ];
    for (field, changes) in slips {
        let answer = names(report(&member, changes).await, field, None);
        answer.says("name=\"carp_weight\" value=\"31-4\"");
        let remarks = match field {
            "remarks" => long,
            _ => "Quiet until the sun came round.",
        };
        answer.says(remarks);
    }
}

#[tokio::test]
async fn each_field_of_the_quick_form_names_what_is_wrong_on_the_quick_form() {
    let site = with_water().await;
    let member = site.member().await;
    reported(&member, &ONE_WAY).await;
    let slips: [Slip; 8] = [
        ("date", &[("date", "soon")]),
        ("start", &[("start", "half ten")]),
        ("end", &[("end", "late")]),
        ("peg", &[("peg", "99")]),
        ("carp_number", &[("carp_number", "four")]),
        ("carp_weight", &[("carp_weight", "lots")]),
        ("silvers_number", &[("silvers_number", "four")]),
        ("silvers_weight", &[("silvers_weight", "lots")]),
    ];
    for (field, changes) in slips {
        let typed = changes.last().map(|(_, typed)| *typed);
        let sent = [&[("silvers_number", "6")][..], changes].concat();
        names(quick(&member, &sent).await, field, typed)
            .says("name=\"quick\" value=\"on\"")
            .says("name=\"line_1\" value=\"11\"")
            .says("value=\"club\" checked")
            .does_not_say("How you fished");
    }
    let unseen = [("visibility", "nobody")];
    names(quick(&member, &unseen).await, "visibility", None)
        .says("<details class=\"seen-by\" open>")
        .says("name=\"carp_number\" value=\"3\"");
}

/// With a problem at the number, the box for the weight stands alone in its row on a phone; the ticks
/// would both fill the room beside it, the first under no box of its own.
#[tokio::test]
async fn the_ticks_of_a_group_keep_their_columns_on_a_phone() {
    let site = with_water().await;
    let member = site.member().await;
    let mut fields = super::form(&[("silvers_number", "three")]);
    fields.retain(|(name, _)| *name != "silvers_number_unknown");
    member
        .submit("/report", &fields)
        .await
        .asks("“three” ")
        .says("<div class=\"half under-first\"><label class=\"pick\"><input type=\"checkbox\" name=\"silvers_number_unknown\"")
        .says("<div class=\"half under-second\"><label class=\"pick\"><input type=\"checkbox\" name=\"silvers_weight_unknown\"");
    let sheet = include_str!("../../../static/css/parts/fields.css");
    assert!(sheet.contains(".fields > .half.under-first { grid-column: 1 / span 3; }"));
    assert!(sheet.contains(".fields > .half.under-second { grid-column: 4 / span 3; }"));
}

#[tokio::test]
async fn what_is_wrong_with_a_spells_hours_says_which_spell() {
    let site = with_water().await;
    let member = site.member().await;
    let slips: [Slip; 5] = [
        (
            "Spell 2: enter both, from and to, or neither.",
            &[("from_2", "")],
        ),
        (
            "Spell 2: Nought is no time at all.",
            &[("from_2", ""), ("to_2", ""), ("hours_2", "0")],
        ),
        (
            "Spell 2: “a while” cannot be read as a length of time.",
            &[("from_2", ""), ("to_2", ""), ("hours_2", "a while")],
        ),
        (
            "Spell 2 reaches beyond the session: to 16:00, and you packed up at 15:00.",
            &[("to_2", "16:00")],
        ),
        // One with its times and one without are asked about as two without.
        (
            "Spell 2: the spells come to 6 hours together, the session to 5 hours.",
            &[
                ("to_1", "14:00"),
                ("from_2", ""),
                ("to_2", ""),
                ("hours_2", "2"),
            ],
        ),
    ];
    for (sentence, typed) in slips {
        report(&member, typed).await.asks(sentence);
    }
    let ticked = [slips[4].1, &[("hours_2_sure", "360/300")][..]].concat();
    reported(&member, &ticked).await;
}
