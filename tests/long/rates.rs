//! How it fishes: how often the 95 per cent interval holds the true rate.

use crate::{
    shared_out,
    simulated_answers::{Truth, kept_rates, same_as_kept, truth_beside_interval},
    simulated_club::Days,
};

const SEEDS: u64 = 2_000;

/// Prints, as rows of a table, how often the interval held the truth.
#[test]
fn simulations_of_how_it_fishes() {
    println!(
        "\n| days | number | intervals given, of {SEEDS} seeds | held the truth | % | lay above it | \
         lay below it | seconds of one core |\n|---|---|---|---|---|---|---|---|"
    );
    for (name, days) in Days::KINDS {
        for number in [8, 20, 60] {
            let ask = |seed| truth_beside_interval(&days, number, seed);
            let (all, seconds) = shared_out::of_seeds(SEEDS, ask);
            let count = |what| all.iter().filter(|truth| **truth == what).count();
            let given = all.len() - count(Truth::NotAsked);
            let share = 100.0 * count(Truth::Within) as f64 / given as f64;
            println!(
                "| {name} | {number} | {given} | {} | {share:.1} | {} | {} | {seconds:.1} |",
                count(Truth::Within),
                count(Truth::Below),
                count(Truth::Above),
            );
            assert!(share > 80.0, "an interval that misses one time in five");
        }
    }
}

#[test]
fn simulations_of_kept_intervals_are_as_kept() {
    same_as_kept(&kept_rates(), include_str!("../data/simulated_rates.csv"));
}
