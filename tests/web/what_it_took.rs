//! What it took: the same answer as the statistics give on planted data; a form that keeps what was typed.

use std::collections::BTreeMap;

use axum::http::StatusCode;
use peglore::{
    domain::{
        groups::{Group, GroupSet},
        units::Scale,
    },
    statistics::{
        what_it_took::{Asked, Fished, PastMatch, Showing, WhatItTook},
        wording,
    },
    web::figures::weights_held,
};

use crate::support::{
    TestSite,
    planted::{Planted, bare_water},
};

/// The planted matches as the statistics take them; section ids play no part in the sentence.
fn past(planted: &Planted) -> Vec<PastMatch> {
    let mut matches = BTreeMap::<_, PastMatch>::new();
    for one in &planted.weighed {
        let entry = matches.entry(one.match_id).or_insert_with(|| PastMatch {
            match_id: one.match_id,
            day: one.day,
            groups: both(),
            hours: Some(5.0),
            frame: None,
            anglers: Vec::new(),
        });
        entry.anglers.push(Fished {
            section: None,
            showing: one.grams().map_or(Showing::DidNotWeigh, Showing::Weighed),
            carp_g: None,
            silvers_g: None,
        });
    }
    matches.into_values().collect()
}

fn both() -> GroupSet {
    GroupSet::of([Group::Carp, Group::Silvers]).expect("two groups")
}

#[tokio::test]
async fn the_sentence_is_that_of_the_statistics() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let asked = Asked {
        groups: both(),
        hours: 5.0,
        field: 6,
    };
    let answer = WhatItTook::of(asked, &past(&planted));

    let page = site
        .visitor()
        .get(&format!("{}/what-it-took", planted.path))
        .await
        .shown();

    assert_eq!(answer.matches.len(), 8);
    page.says(&weights_held(&answer.sentence(planted.scale())))
        .says(&format!(
            "{}</p>",
            wording::sentence(&answer.behind.words())
        ))
        .says("For a match like the latest here")
        .says(&format!(
            "of {} who fished; {} of the {0} did not weigh",
            answer.anglers, answer.did_not_weigh
        ))
        .does_not_say("more did not weigh")
        .does_not_say("The middle match of those")
        .says("those who did not weigh stand below every weight")
        .says("<b>In the frame</b>: the last weight in the frame, the paid overall places.")
        .says(", of eight sections)")
        .says("Frost Cup, round 8")
        .says("one place by custom")
        .says("data-says=\"Most carp / most silvers\"")
        .says("Eight matches are eight days’ weather and eight fields. It says")
        .does_not_say("is not known</b>")
        .says("data-says=\"Lowest\">a blank</td>")
        .says("data-says=\"Fished\"")
        .does_not_say("data-says=\"Anglers\"");
}

#[tokio::test]
async fn a_match_of_another_length_field_or_kind_of_fish_is_not_like() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let ask = async |query: &str| {
        let path = format!("{}/what-it-took?{query}", planted.path);
        site.visitor().get(&path).await.shown()
    };

    ask("groups=3&hours=5&field=6")
        .await
        .says("last eight matches");
    ask("groups=3&hours=6:00&field=8")
        .await
        .says("last eight matches");
    ask("groups=3&hours=6.5&field=6")
        .await
        .says("No match here yet");
    ask("groups=3&hours=5&field=20")
        .await
        .says("No match here yet")
        .says("The nearest in size had six anglers. In the last eight matches");
    ask("groups=1&hours=5&field=6")
        .await
        .says("No match here yet");
}

#[tokio::test]
async fn the_next_match_is_asked_about_with_the_field_its_name_usually_draws() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let venue = planted.venue.to_string();
    let made = site
        .organiser()
        .await
        .submit(
            "/matches/new",
            &[
                ("name", "Frost Cup, round 9"),
                ("venue", venue.as_str()),
                ("on", "2026-11-21"),
                ("start", "10:00"),
                ("finish", "15:00"),
                ("pegs_allotted", "bag"),
                ("ranking", "0"),
                ("group-carp", "together"),
                ("group-silvers", "together"),
                ("sections", "A"),
            ],
        )
        .await;
    let entries = made.taken();
    let id = entries.split('/').nth(2).expect("the number of the match");

    for (query, is_known) in [
        (String::new(), true),
        (format!("?match={id}"), true),
        ("?match=x".to_owned(), false),
        ("?match=9999".to_owned(), false),
    ] {
        let path = format!("{}/what-it-took{query}", planted.path);
        let page = site.visitor().get(&path).await.shown();
        let unknown = "<b>That match is not known</b> among those to come at this water. What follows is not for it.";
        assert_eq!(page.body.contains(unknown), !is_known, "{query}");
        page.says("In the last eight matches")
            .says("The field is taken as six, the middle of the last eight matches of this name; nobody has entered yet.");
    }
}

#[tokio::test]
async fn a_form_that_cannot_be_read_says_how_to_mend_it_and_keeps_what_was_typed() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let path = format!(
        "{}/what-it-took?groups=3&hours=all+day&field=six",
        planted.path
    );

    let page = site.visitor().get(&path).await;

    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    page.says("value=\"all day\"")
        .says("value=\"six\"")
        .says("<title>Error: ");
}

#[tokio::test]
async fn rows_sort_by_their_headings_and_leave_as_a_file() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let path = format!("{}/what-it-took", planted.path);

    let up = site
        .visitor()
        .get(&format!("{path}?sort=day&order=up"))
        .await
        .shown();
    let file = site
        .visitor()
        .get(&format!("{path}.csv?groups=3&hours=5&field=6"))
        .await
        .shown();

    let at = |body: &str, name: &str| body.find(name).expect("the match is listed");
    assert!(at(&up.body, "round 1<") < at(&up.body, "round 8<"));
    up.says("aria-sort=\"ascending\"");
    assert_eq!(file.body.lines().count(), 1 + 8);
    file.says("day,match,anglers,rod_hours,winning_g,framed_g,frame,sections_won_g,median_g");
}

#[tokio::test]
async fn weights_are_read_in_the_unit_that_the_reader_chooses() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let (own, other) = match planted.scale() {
        Scale::Drams => (Scale::Drams, "kg"),
        Scale::Grams => (Scale::Grams, "lb"),
    };
    let asked = Asked {
        groups: both(),
        hours: 5.0,
        field: 6,
    };
    let answer = WhatItTook::of(asked, &past(&planted));
    let in_unit = |scale| weights_held(&answer.sentence(scale));
    let turned = Scale::ALL.into_iter().find(|scale| *scale != own);
    let turned = turned.expect("there are two");
    let path = format!("{}/what-it-took", planted.path);

    let before = site.visitor().get(&path).await.shown();
    before
        .says(&in_unit(own))
        .says(&format!("weights={other}\">In {}</a>", turned.words()));

    let query = format!("groups=3&hours=5&field=6&weights={other}");
    let after = site.visitor().get(&format!("{path}?{query}")).await.shown();
    after
        .says(&in_unit(turned))
        .does_not_say(&in_unit(own))
        .says(&format!("name=\"weights\" value=\"{other}\""))
        .says(&format!("In {}</a>", own.words()));
    assert!(
        after.body.contains(&format!("weights={other}&#38;sort="))
            || after.body.contains(&format!("weights={other}&amp;sort=")),
        "sorting keeps the unit"
    );
}

#[tokio::test]
async fn a_water_without_a_match_says_so() {
    let site = TestSite::new().await;
    bare_water(&site).await;
    site.visitor()
        .get("/venues/1/what-it-took")
        .await
        .shown()
        .says("No match is on record here yet")
        .does_not_say("What this cannot tell.")
        .does_not_say("Ten matches");
}
