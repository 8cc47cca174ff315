//! What a peg adds: how often the limits hold an even peg, how often one is called clear of
//! chance, and how often a peg that gives more is.

use crate::{
    shared_out,
    simulated_answers::same_as_kept,
    simulated_pegs::{Record, Shown, Water, kept_pegs, shown},
};

const SEEDS: u64 = 1_000;
/// The most of a hundred even pegs that may be called clear of chance.
const MOST_CLEAR: f64 = 5.0;

/// Prints, as rows of a table, what pegs were said to add; fails when even pegs are called clear
/// of chance too often.
#[test]
fn simulations_of_peg_limits() {
    println!(
        "\n| water | matches | even pegs given limits, of {SEEDS} seeds | limits held an even peg | % | \
         called clear of chance | % | peg that gives × 1.5 found | × 2.5 found | seconds of one core \
         |\n|---|---|---|---|---|---|---|---|---|---|"
    );
    let mut too_many = Vec::new();
    for (name, water) in Water::KINDS {
        for record in Record::KINDS {
            let ask = |seed| shown(&water, &record, seed);
            let (all, seconds) = shared_out::of_seeds(SEEDS, ask);
            let sum = |what: fn(&Shown) -> usize| all.iter().map(what).sum::<usize>();
            let (given, held) = (sum(|one| one.given), sum(|one| one.held));
            let clear = sum(|one| one.clear);
            let per_cent = |count: usize| 100.0 * count as f64 / given as f64;
            println!(
                "| {name} | {} | {given} | {held} | {:.1} | {clear} | {:.1} | {} of {SEEDS} | \
                 {} of {SEEDS} | {seconds:.0} |",
                record.matches,
                per_cent(held),
                per_cent(clear),
                sum(|one| one.half_more_found.into()),
                sum(|one| one.much_more_found.into()),
            );
            if per_cent(clear) > MOST_CLEAR {
                too_many.push((name, record.matches, per_cent(clear)));
            }
        }
    }
    assert!(too_many.is_empty(), "claimed too often: {too_many:?}");
}

#[test]
fn simulations_of_kept_pegs_are_as_kept() {
    same_as_kept(&kept_pegs(), include_str!("../data/simulated_pegs.csv"));
}
