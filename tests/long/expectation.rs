//! What to expect: how often skill is claimed, rightly and wrongly, and how often the band
//! holds the day.

use std::{thread, time::Instant};

use crate::{
    simulated_answers::{Outcome, outcome},
    simulated_club::{Club, WEEKLY},
};

/// Seeds over which claims are counted where there is no effect.
const SEEDS: u64 = 400;
/// The most claims allowed among them.
const MOST_FALSE_CLAIMS: usize = 29;
/// Seeds over which the band is counted.
const BAND_SEEDS: u64 = 2_000;
/// Seeds of a club with a planted effect.
const EFFECT_SEEDS: u64 = 200;

/// Outcomes of the seeds from 0, shared among the processors there are.
fn outcomes(club: &Club, seeds: u64) -> Vec<Outcome> {
    let workers = thread::available_parallelism().map_or(1, |n| n.get() as u64);
    let mut all: Vec<(u64, Outcome)> = thread::scope(|scope| {
        let handles: Vec<_> = (0..workers)
            .map(|worker| {
                scope.spawn(move || {
                    let mine = (worker..seeds).step_by(workers as usize);
                    mine.map(|seed| (seed, outcome(club, seed)))
                        .collect::<Vec<_>>()
                })
            })
            .collect();
        handles
            .into_iter()
            .flat_map(|handle| handle.join().expect("no seed fails"))
            .collect()
    });
    all.sort_by_key(|(seed, _)| *seed);
    all.into_iter().map(|(_, outcome)| outcome).collect()
}

fn claims(outcomes: &[Outcome]) -> usize {
    outcomes.iter().filter(|outcome| outcome.claimed).count()
}

fn band(outcomes: &[Outcome]) -> (usize, f64) {
    let banded: usize = outcomes.iter().map(|outcome| outcome.banded).sum();
    let within: usize = outcomes.iter().map(|outcome| outcome.within).sum();
    (banded, 100.0 * within as f64 / banded as f64)
}

fn mean_skill(outcomes: &[Outcome]) -> f64 {
    outcomes.iter().map(|outcome| outcome.skill).sum::<f64>() / outcomes.len() as f64
}

/// Prints, as rows of a table, what clubs of each kind show; fails when a club with no effect
/// is claimed too often.
#[test]
fn simulations_of_what_to_expect() {
    println!(
        "\n| match days | form | weather's effect | seeds | claimed | mean skill | band: days | within, % |"
    );
    println!("|---|---|---|---|---|---|---|---|");
    let begun = Instant::now();
    let mut too_many = Vec::new();
    for match_days in [52, 104] {
        for form_spread in [0.0, 0.3] {
            let club = Club {
                match_days,
                every: WEEKLY,
                form_spread,
                effect: 0.0,
            };
            let all = outcomes(&club, BAND_SEEDS);
            let first = &all[..SEEDS as usize];
            let (days, within) = band(&all);
            let (false_claims, all_claims) = (claims(first), claims(&all));
            println!(
                "| {match_days} | {form_spread} | none | {SEEDS} (of {BAND_SEEDS}) | \
                 {false_claims} (of {all_claims}) | {:.3} | {days} | {within:.1} |",
                mean_skill(&all),
            );
            if false_claims > MOST_FALSE_CLAIMS {
                too_many.push((club, false_claims));
            }
        }
    }
    for match_days in [52, 104, 208] {
        for effect in [0.35, 0.7] {
            let club = Club {
                match_days,
                every: WEEKLY,
                form_spread: 0.3,
                effect,
            };
            let all = outcomes(&club, EFFECT_SEEDS);
            let (days, within) = band(&all);
            println!(
                "| {match_days} | 0.3 | {effect} | {EFFECT_SEEDS} | {} | {:.3} | {days} | {within:.1} |",
                claims(&all),
                mean_skill(&all),
            );
        }
    }
    println!("\nTook {:.0} s.", begun.elapsed().as_secs_f64());
    assert!(too_many.is_empty(), "claimed too often: {too_many:?}");
}
