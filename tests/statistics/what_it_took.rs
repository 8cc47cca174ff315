//! What it took: which matches are like a given one, and what their weights were.

use peglore::{
    domain::{
        groups::{Group, GroupSet},
        ids::{MatchId, SectionId},
        units::Scale,
    },
    statistics::what_it_took::{Asked, Fished, PastMatch, Showing, WhatItTook},
};
use proptest::prelude::*;

use super::weather_days::day;

const LB: f64 = 453.592_37;
const ASKED: Asked = Asked {
    groups: GroupSet::ALL,
    hours: 5.0,
    field: 12,
};

fn angler(showing: Showing) -> Fished {
    Fished {
        section: None,
        showing,
        carp_g: None,
        silvers_g: None,
    }
}

fn a_match(id: i64, showings: &[Showing]) -> PastMatch {
    PastMatch {
        match_id: MatchId(id),
        day: day("2026-01-01").plus(7 * id),
        groups: GroupSet::ALL,
        hours: Some(5.0),
        frame: Some(3),
        anglers: showings.iter().copied().map(angler).collect(),
    }
}

/// Twelve anglers with `top`, `top − 1` … pounds.
fn twelve(id: i64, top: f64) -> PastMatch {
    let showings: Vec<_> = (0..12)
        .map(|place| Showing::Weighed((top - f64::from(place)) * LB))
        .collect();
    a_match(id, &showings)
}

#[test]
fn only_matches_with_the_same_groups_a_like_length_and_a_like_field_count() {
    let other_groups = PastMatch {
        groups: Group::Silvers.into(),
        ..twelve(1, 20.0)
    };
    let too_long = PastMatch {
        hours: Some(6.1),
        ..twelve(2, 20.0)
    };
    let an_hour_longer = PastMatch {
        hours: Some(6.0),
        ..twelve(3, 20.0)
    };
    let no_length = PastMatch {
        hours: None,
        ..twelve(4, 20.0)
    };
    let field = |id, anglers| a_match(id, &vec![Showing::Weighed(LB); anglers]);
    let matches = [
        other_groups,
        too_long,
        an_hour_longer,
        no_length,
        field(5, 8),
        field(6, 16),
        field(7, 7),
        field(8, 17),
    ];
    let found = WhatItTook::of(ASKED, &matches);
    let ids: Vec<_> = found.matches.iter().map(|took| took.match_id.0).collect();
    assert_eq!(ids, [6, 5, 3], "the latest first");
    assert_eq!(found.without_length, 1);
}

#[test]
fn the_latest_ten_say_what_won_framed_and_was_ordinary() {
    let matches: Vec<_> = (1..=14).map(|id| twelve(id, 20.0 + id as f64)).collect();
    let found = WhatItTook::of(ASKED, &matches);
    assert_eq!(found.matches.len(), 10);
    assert_eq!(found.matches[0].match_id, MatchId(14));
    // Winners 25 to 34 lb; third places 23 to 32; middles five and a half pounds below the top.
    assert_eq!(
        found.sentence(Scale::Drams),
        "In the last ten matches that counted all fish, of 4 to 6 hours, with 8 to 16 anglers, \
         29 lb 8 oz (25 lb to 34 lb) won it and 27 lb 8 oz (23 lb to 32 lb) was the last weight in the frame. \
         The middle angler had 24 lb (19 lb 8 oz to 28 lb 8 oz). None of 120 blanked."
    );
}

#[test]
fn the_frame_is_as_stated_or_by_custom_one_place_for_eight_anglers() {
    let stated = WhatItTook::of(ASKED, &[twelve(1, 20.0)]);
    assert_eq!(
        (stated.matches[0].frame, stated.matches[0].frame_by_custom),
        (3, false)
    );
    let custom = PastMatch {
        frame: None,
        ..twelve(1, 20.0)
    };
    let took = &WhatItTook::of(ASKED, &[custom]).matches[0];
    assert_eq!((took.frame, took.frame_by_custom), (1, true));
    assert_eq!(took.framed, took.winning);
}

#[test]
fn blanks_those_who_did_not_weigh_and_the_disqualified_are_told_apart() {
    let showings = [
        Showing::Weighed(3000.0),
        Showing::Disqualified(Some(9000.0)),
        Showing::Weighed(2000.0),
        Showing::Weighed(1000.0),
        Showing::Weighed(0.0),
        Showing::Weighed(0.0),
        Showing::DidNotWeigh,
        Showing::DidNotWeigh,
        Showing::DidNotWeigh,
    ];
    let found = WhatItTook::of(Asked { field: 9, ..ASKED }, &[a_match(1, &showings)]);
    let took = &found.matches[0];
    assert_eq!(
        took.winning,
        Some(3000.0),
        "a disqualified weight wins nothing"
    );
    assert_eq!((took.blanks, took.did_not_weigh, took.anglers), (2, 3, 9));
    assert_eq!(
        took.median,
        Some(0.0),
        "fifth of nine, three standing below every weight"
    );
    assert_eq!(took.lowest, Some(0.0));
    let said = found.sentence(Scale::Grams);
    assert!(
        said.ends_with("2 of 9 blanked. 3 of the 9 did not weigh."),
        "{said}"
    );
}

#[test]
fn a_middle_among_those_who_did_not_weigh_is_not_known() {
    let showings = [
        Showing::Weighed(3000.0),
        Showing::DidNotWeigh,
        Showing::DidNotWeigh,
    ];
    let found = WhatItTook::of(Asked { field: 3, ..ASKED }, &[a_match(1, &showings)]);
    assert_eq!(found.matches[0].median, None);
    assert_eq!(found.median, None);
}

#[test]
fn sections_and_nets_apart_give_their_bests() {
    let mut past = twelve(1, 20.0);
    for (place, angler) in past.anglers.iter_mut().enumerate() {
        angler.section = Some(SectionId(place as i64 % 3));
        angler.carp_g = Some(100.0 * place as f64);
        angler.silvers_g = Some(50.0);
    }
    let took = &WhatItTook::of(ASKED, &[past.clone()]).matches[0];
    assert_eq!(took.section_winning, [20.0 * LB, 19.0 * LB, 18.0 * LB]);
    let apart = took.apart.expect("both nets of everyone");
    assert_eq!(
        (apart.best_carp, apart.best_silvers, apart.all_silvers),
        (1100.0, 50.0, 600.0)
    );

    past.anglers[0].carp_g = None;
    assert_eq!(WhatItTook::of(ASKED, &[past]).matches[0].apart, None);
}

#[test]
fn with_no_like_match_the_page_says_what_was_looked_for() {
    let found = WhatItTook::of(ASKED, &[]);
    assert_eq!(
        found.sentence(Scale::Drams),
        "No match here yet that counted all fish, of 4 to 6 hours, with 8 to 16 anglers."
    );
    let nobody_weighed = a_match(1, &[Showing::DidNotWeigh; 12]);
    let found = WhatItTook::of(ASKED, &[nobody_weighed]);
    assert_eq!(found.winning, None);
    assert!(
        found
            .sentence(Scale::Drams)
            .starts_with("In the last match that counted all fish"),
        "a match there was"
    );
    assert!(found.sentence(Scale::Drams).contains(", nobody weighed."));
}

#[test]
fn days_sessions_and_rod_hours_stand_behind_the_answer() {
    let matches: Vec<_> = (1..=3).map(|id| twelve(id, 20.0)).collect();
    let found = WhatItTook::of(ASKED, &matches);
    assert_eq!(
        found.behind.words(),
        "three days, 36 sessions, 180 rod-hours"
    );
}

proptest! {
    #[test]
    fn order_of_matches_and_anglers_changes_nothing(
        weights in prop::collection::vec(prop::collection::vec(0.0..20000.0_f64, 9..15), 1..14), turn in 0..9_usize,
    ) {
        let mut matches: Vec<_> = weights.iter().enumerate().map(|(id, weights)| {
            let showings: Vec<_> = weights.iter().map(|w| Showing::Weighed(*w)).collect();
            a_match(id as i64, &showings)
        }).collect();
        let found = WhatItTook::of(ASKED, &matches);
        matches.reverse();
        for past in &mut matches {
            past.anglers.rotate_left(turn);
        }
        prop_assert_eq!(&WhatItTook::of(ASKED, &matches), &found);
        for took in &found.matches {
            prop_assert!(took.winning >= took.framed && took.framed >= took.lowest);
            prop_assert!(took.winning >= took.median && took.median >= took.lowest);
        }
    }
}
