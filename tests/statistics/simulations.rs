//! A few seeds of the simulations, done again in every run, so that a change that moves the
//! figures of DEVELOPERS.md is seen. The long form is
//! `cargo test --release --test long -- --nocapture simulations`.

use super::{
    simulated_answers::{Outcome, Truth, outcome, truth_beside_interval},
    simulated_club::{Club, Days, WEEKLY},
};

fn outcomes(club: &Club, seeds: std::ops::Range<u64>) -> Vec<Outcome> {
    seeds.map(|seed| outcome(club, seed)).collect()
}

#[test]
fn clubs_without_an_effect_give_the_figures_that_were_recorded() {
    let club = Club {
        match_days: 52,
        every: WEEKLY,
        form_spread: 0.3,
        effect: 0.0,
    };
    let all = outcomes(&club, 0..12);
    let claimed = all.iter().filter(|outcome| outcome.claimed).count();
    let banded: usize = all.iter().map(|outcome| outcome.banded).sum();
    let within: usize = all.iter().map(|outcome| outcome.within).sum();
    assert_eq!((claimed, banded, within), (0, 72, 57));
}

#[test]
fn a_strong_planted_effect_is_found_in_the_seeds_that_were_recorded() {
    let club = Club {
        match_days: 104,
        every: WEEKLY,
        form_spread: 0.3,
        effect: 0.7,
    };
    let all = outcomes(&club, 0..4);
    assert_eq!(all.iter().filter(|outcome| outcome.claimed).count(), 4);
    assert!(all.iter().all(|outcome| outcome.skill > 0.1), "{all:?}");
}

#[test]
fn rates_hold_the_truth_as_often_as_was_recorded() {
    let days = Days {
        rate: 1.2,
        rods: (10, 25),
    };
    let counts = [8, 20, 60].map(|number| {
        let seeds = 0..200;
        let held = |seed| truth_beside_interval(&days, number, seed) == Truth::Within;
        seeds.filter(|seed| held(*seed)).count()
    });
    assert_eq!(counts, [179, 186, 193]);
    let none = Days {
        rate: 1e-9,
        rods: (1, 1),
    };
    assert_eq!(truth_beside_interval(&none, 8, 0), Truth::NotAsked);
}
