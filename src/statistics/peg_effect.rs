//! What a peg gives beside the others of the same match.
//!
//! Only drawn pegs can tell peg from angler, so the caller passes drawn matches only. The
//! anglers themselves are not adjusted for here, nor is chance among many pegs: of even ones up to
//! about one in twenty stands clear of chance.

use rand::{SeedableRng, rngs::ChaCha8Rng};
use serde::{Deserialize, Serialize};

use super::rates::COVERAGE;
use crate::numerics::{
    randomise::{Tails, tails_of_sum},
    ratio::{Cluster, ratio_of_totals},
};

/// Matches' worth of "like any other peg" that the record must outweigh.
const PRIOR_MATCHES: f64 = 4.0;
/// Matches without which no interval is given: fewer hardly show how much they vary.
pub const FEWEST_MATCHES: usize = 5;
/// Most that the draw alone may give as much, either way, where a peg is called clear of chance.
const MOST_CHANCE: f64 = 0.05;
/// Times that every match's catches are dealt out anew.
const DEALS: usize = 1_999;
/// One seed for every peg, so that an answer can be had again.
const SEED: u64 = 1_999;

/// A drawn match in which the peg was fished.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrawnMatch<'a> {
    /// Catch a rod-hour of the angler on the peg.
    pub rate: f64,
    /// Mean of the rates of all who fished the match, the same unit.
    pub mean_rate: f64,
    /// Rates of all its drawn entries, the peg's own among them.
    pub drawn_rates: &'a [f64],
}

/// What may be said of a peg beside an even one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// More than an even peg, clear of chance.
    Adds,
    /// Less, clear of chance.
    TakesAway,
    /// The limits hold no even peg, but the draw alone would often give as much.
    LuckOfTheDraw,
    /// The limits hold an even peg.
    CannotTell,
}

impl Standing {
    /// The end of a sentence that has said what the peg gave.
    pub fn words(self) -> &'static str {
        match self {
            Self::Adds | Self::TakesAway => "which is clear of chance",
            Self::LuckOfTheDraw => "which could still be the luck of the draw",
            Self::CannotTell => "which cannot be told from an even peg",
        }
    }
}

/// A peg's multiplier.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct PegEffect {
    /// `ln[(Σρ + 4)/(n + 4)]`; 0 without a match.
    pub ln_multiplier: f64,
    /// 95 per cent limits of the same, matches apart; `None` under five, and where the peg has
    /// given nothing at all.
    pub limits: Option<(f64, f64)>,
    /// Chance that the draw alone gives an even peg so much or so little; asked only where the
    /// limits hold no even peg.
    pub chance: Option<Tails>,
    /// Matches behind it.
    pub matches: usize,
    /// Matches left out because nobody caught: they tell no peg from another.
    pub left_out: usize,
}

impl PegEffect {
    /// `(Σρ + 4)/(n + 4)`: 1.2 is a fifth more than the match's mean.
    pub fn multiplier(&self) -> f64 {
        self.ln_multiplier.exp()
    }

    /// Is the peg clear of chance? Only where its limits hold no even peg and the draw alone
    /// would give as much at most one time in twenty, either way. `None` without limits.
    pub fn standing(&self) -> Option<Standing> {
        let (lower, upper) = self.limits?;
        let seldom = |tail: f64| 2.0 * tail <= MOST_CHANCE;
        Some(match self.chance {
            _ if lower <= 0.0 && upper >= 0.0 => Standing::CannotTell,
            Some(chance) if lower > 0.0 && seldom(chance.high) => Standing::Adds,
            Some(chance) if upper < 0.0 && seldom(chance.low) => Standing::TakesAway,
            _ => Standing::LuckOfTheDraw,
        })
    }
}

/// The peg's multiplier over its drawn matches.
///
/// `ρ = rate / mean rate of the match`; `ln multiplier = ln[(Σρ + 4)/(n + 4)]`, `n` matches in
/// which anything was caught. Limits: with `ρ̄` the mean of ρ and `s` its standard deviation,
/// `ρ̄·e^(∓t·s/(ρ̄√n))`, `t` Student's at `n − 1` degrees, each shrunk as `ρ̄` is; so they hold
/// an even peg exactly when those of `ρ̄` do. Percentiles of resampled matches are too narrow
/// for few matches, and too low for catches, whose ρ is skewed.
///
/// Where most who fish catch nothing such limits are too narrow for few matches. So a peg whose
/// limits hold no even peg is asked besides: would the draw alone have given as much? Were the
/// peg even, its ρ in a match would be any one of the ρ of that match's drawn entries, each as
/// likely; so Σρ is set beside 1,999 sums of one such draw a match, whatever shape catches have.
/// Assumes that anglers were drawn over all pegs of the match alike and matches apart; sections
/// drawn by themselves are not known here.
///
/// Source: Hedges, Gurevitch & Curtis (1999), Ecology 80, for the doubt of the log of a mean;
/// Phipson & Smyth (2010), Statistical Applications in Genetics and Molecular Biology 9:39, for
/// the chance.
pub fn peg_effect(matches: &[DrawnMatch<'_>]) -> PegEffect {
    let told: Vec<&DrawnMatch<'_>> = matches
        .iter()
        .filter(|drawn| drawn.mean_rate > 0.0)
        .collect();
    let ratios: Vec<f64> = told
        .iter()
        .map(|drawn| drawn.rate / drawn.mean_rate)
        .collect();
    let n = ratios.len() as f64;
    let sum: f64 = ratios.iter().sum();
    let shrunk = |sum: f64| ((sum + PRIOR_MATCHES) / (n + PRIOR_MATCHES)).ln();
    let limits = (ratios.len() >= FEWEST_MATCHES)
        .then(|| limits_of_mean(&ratios))
        .flatten()
        .map(|(lower, upper)| (shrunk(n * lower), shrunk(n * upper)));
    let uneven = limits.is_some_and(|(lower, upper)| lower > 0.0 || upper < 0.0);
    PegEffect {
        ln_multiplier: shrunk(sum),
        limits,
        chance: uneven.then(|| chance_of_draw(sum, &told)).flatten(),
        matches: ratios.len(),
        left_out: matches.len() - ratios.len(),
    }
}

/// Of an even peg in the same matches, the chance of a `Σρ` so low and of one so high.
fn chance_of_draw(sum: f64, matches: &[&DrawnMatch<'_>]) -> Option<Tails> {
    let pools: Vec<Vec<f64>> = matches
        .iter()
        .map(|drawn| {
            let rates = drawn.drawn_rates.iter();
            rates.map(|rate| rate / drawn.mean_rate).collect()
        })
        .collect();
    tails_of_sum(sum, &pools, DEALS, &mut ChaCha8Rng::seed_from_u64(SEED))
}

/// Limits of the mean, on the log scale: of totals over exposures that are all alike.
fn limits_of_mean(ratios: &[f64]) -> Option<(f64, f64)> {
    let matches: Vec<_> = ratios
        .iter()
        .map(|&total| Cluster {
            total,
            exposure: 1.0,
        })
        .collect();
    ratio_of_totals(&matches)?.limits_by_log(COVERAGE)
}
