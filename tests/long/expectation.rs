//! What to expect: how often skill is claimed, rightly and wrongly, and how often the band
//! holds the day.

use crate::{
    shared_out,
    simulated_answers::{Outcome, kept_clubs, outcome, same_as_kept},
    simulated_club::{Club, WEEKLY},
};

/// Seeds over which claims are counted where there is no effect.
const SEEDS: usize = 400;
/// The most claims allowed among them.
const MOST_FALSE_CLAIMS: usize = 29;
/// Seeds over which the band is counted.
const BAND_SEEDS: u64 = 2_000;
/// Seeds of a club with a planted effect.
const EFFECT_SEEDS: u64 = 200;

fn claims(outcomes: &[Outcome]) -> usize {
    outcomes.iter().filter(|outcome| outcome.claimed).count()
}

/// Walks through the clubs of the seeds from 0 and prints their row of the table.
fn row(match_days: usize, form_spread: f64, effect: f64, seeds: u64) -> Vec<Outcome> {
    let club = Club {
        match_days,
        every: WEEKLY,
        form_spread,
        effect,
    };
    let (all, seconds) = shared_out::of_seeds(seeds, |seed| outcome(&club, seed));
    let first = &all[..all.len().min(SEEDS)];
    let banded: usize = all.iter().map(|outcome| outcome.banded).sum();
    let within: usize = all.iter().map(|outcome| outcome.within).sum();
    let skill = all.iter().map(|outcome| outcome.skill).sum::<f64>() / all.len() as f64;
    println!(
        "| {match_days} | {form_spread} | {effect} | {} of {} | {} of {seeds} | {skill:.3} | \
         {within} of {banded} | {:.1} | {seconds:.0} |",
        claims(first),
        first.len(),
        claims(&all),
        100.0 * within as f64 / banded as f64,
    );
    all
}

/// Prints, as rows of a table, what clubs of each kind show; fails when a club with no effect
/// is claimed too often.
#[test]
fn simulations_of_what_to_expect() {
    println!(
        "\n| match days | spread of form | weather's effect | claimed | of all seeds | mean skill | \
         days within the band | % | seconds of one core |\n|---|---|---|---|---|---|---|---|---|"
    );
    let mut too_many = Vec::new();
    for match_days in [52, 104] {
        for form_spread in [0.0, 0.3] {
            let all = row(match_days, form_spread, 0.0, BAND_SEEDS);
            let false_claims = claims(&all[..SEEDS]);
            if false_claims > MOST_FALSE_CLAIMS {
                too_many.push((match_days, form_spread, false_claims));
            }
        }
    }
    for match_days in [52, 104, 208] {
        for effect in [0.35, 0.7] {
            row(match_days, 0.3, effect, EFFECT_SEEDS);
        }
    }
    assert!(too_many.is_empty(), "claimed too often: {too_many:?}");
}

#[test]
fn simulations_of_the_kept_seeds_are_as_kept() {
    same_as_kept(&kept_clubs(), include_str!("../data/simulated_clubs.csv"));
}
