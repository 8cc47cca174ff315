//! How it fishes: how often the 95 per cent interval holds the true rate.

use crate::{
    simulated_answers::{Truth, truth_beside_interval},
    simulated_club::Days,
};

const SEEDS: u64 = 2_000;

/// Kinds of days asked about.
const KINDS: [(&str, Days); 2] = [
    (
        "match days, 10 to 25 anglers, 1.2 fish an hour",
        Days {
            rate: 1.2,
            rods: (10, 25),
        },
    ),
    (
        "days of one to three anglers, 0.4 fish an hour",
        Days {
            rate: 0.4,
            rods: (1, 3),
        },
    ),
];

/// Prints, as rows of a table, how often the interval held the truth.
#[test]
fn simulations_of_how_it_fishes() {
    println!("\n| days | number | seeds | held the truth, % | lay above it, % | lay below it, % |");
    println!("|---|---|---|---|---|---|");
    for (name, days) in KINDS {
        for number in [8, 20, 60] {
            let all: Vec<Truth> = (0..SEEDS)
                .map(|seed| truth_beside_interval(&days, number, seed))
                .collect();
            let asked = all
                .iter()
                .filter(|truth| **truth != Truth::NotAsked)
                .count();
            let share = |what: Truth| {
                100.0 * all.iter().filter(|truth| **truth == what).count() as f64 / asked as f64
            };
            println!(
                "| {name} | {number} | {asked} | {:.1} | {:.1} | {:.1} |",
                share(Truth::Within),
                share(Truth::Below),
                share(Truth::Above),
            );
            assert!(
                share(Truth::Within) > 80.0,
                "an interval that misses one time in five"
            );
        }
    }
}
