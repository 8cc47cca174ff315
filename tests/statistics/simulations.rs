//! A few seeds of the simulations, done again in every run, so that a change that moves the
//! figures of DEVELOPERS.md is seen. The long form is
//! `cargo test --release --test long -- --nocapture simulations`.

use super::{
    simulated_answers::{Truth, kept_clubs, kept_rates, same_as_kept, truth_beside_interval},
    simulated_club::Days,
    simulated_later::{Compared, moved_by_what_came_later},
    simulated_pegs::kept_pegs,
};

#[test]
fn what_to_expect_gives_the_figures_kept_from_these_seeds() {
    same_as_kept(&kept_clubs(), include_str!("../data/simulated_clubs.csv"));
}

#[test]
fn how_it_fishes_gives_the_figures_kept_from_these_seeds() {
    same_as_kept(&kept_rates(), include_str!("../data/simulated_rates.csv"));
}

#[test]
fn what_a_peg_adds_gives_the_figures_kept_from_these_seeds() {
    same_as_kept(&kept_pegs(), include_str!("../data/simulated_pegs.csv"));
}

#[test]
fn nothing_dated_the_day_or_later_moves_a_prediction_of_these_seeds() {
    for seed in 0..3 {
        let compared = Compared {
            predictions: 50,
            moved: 0,
        };
        assert_eq!(moved_by_what_came_later(52, seed), compared, "seed {seed}");
    }
}

#[test]
fn days_without_a_fish_are_given_no_interval() {
    let none = Days {
        rate: 1e-9,
        rods: (1, 1),
        size: 2.0,
        spread: 0.4,
    };
    assert_eq!(truth_beside_interval(&none, 8, 0), Truth::NotAsked);
}
