//! Whether anything dated the session day or later moves a prediction: never.

use crate::{
    shared_out,
    simulated_later::{Compared, moved_by_what_came_later},
};

const SEEDS: u64 = 100;

/// Prints, as rows of a table, how many predictions were made again; fails when one has moved.
#[test]
fn simulations_of_what_came_later() {
    println!(
        "\n| match days | seeds | predictions made again | moved | seconds of one core |\n|---|---|---|---|---|"
    );
    let mut moved = 0;
    for match_days in [52, 104] {
        let ask = |seed| moved_by_what_came_later(match_days, seed);
        let (all, seconds) = shared_out::of_seeds(SEEDS, ask);
        let sum = |what: fn(&Compared) -> usize| all.iter().map(what).sum::<usize>();
        let of_row = sum(|one| one.moved);
        println!(
            "| {match_days} | {SEEDS} | {} | {of_row} | {seconds:.0} |",
            sum(|one| one.predictions)
        );
        moved += of_row;
    }
    assert_eq!(moved, 0, "a prediction knew what came later");
}
