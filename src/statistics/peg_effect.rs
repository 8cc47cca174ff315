//! What a peg gives beside the others of the same match.
//!
//! Only drawn pegs can tell peg from angler, so the caller passes drawn matches only. The
//! anglers themselves are not adjusted for here, nor is chance among many pegs.

use serde::{Deserialize, Serialize};

use super::rates::COVERAGE;
use crate::numerics::ratio::{Cluster, ratio_of_totals};

/// Matches' worth of "like any other peg" that the record must outweigh.
const PRIOR_MATCHES: f64 = 4.0;
/// Matches without which no interval is given: fewer hardly show how much they vary.
pub const FEWEST_MATCHES: usize = 5;

/// A drawn match in which the peg was fished.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct DrawnMatch {
    /// Catch a rod-hour of the angler on the peg.
    pub rate: f64,
    /// Mean of the rates of all who fished the match, the same unit.
    pub mean_rate: f64,
}

/// A peg's multiplier.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct PegEffect {
    /// `ln[(Σρ + 4)/(n + 4)]`; 0 without a match.
    pub ln_multiplier: f64,
    /// 95 per cent limits of the same, matches apart; `None` under five, and where the peg has
    /// given nothing at all.
    pub limits: Option<(f64, f64)>,
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
}

/// The peg's multiplier over its drawn matches.
///
/// `ρ = rate / mean rate of the match`; `ln multiplier = ln[(Σρ + 4)/(n + 4)]`, `n` matches in
/// which anything was caught. Limits: with `ρ̄` the mean of ρ and `s` its standard deviation,
/// `ρ̄·e^(∓t·s/(ρ̄√n))`, `t` Student's at `n − 1` degrees, each shrunk as `ρ̄` is; so they hold
/// an even peg exactly when those of `ρ̄` do. Percentiles of resampled matches are too narrow
/// for few matches, and too low for catches, whose ρ is skewed.
///
/// Source: Hedges, Gurevitch & Curtis (1999), Ecology 80, for the doubt of the log of a mean.
pub fn peg_effect(matches: &[DrawnMatch]) -> PegEffect {
    let ratios: Vec<f64> = matches
        .iter()
        .filter(|drawn| drawn.mean_rate > 0.0)
        .map(|drawn| drawn.rate / drawn.mean_rate)
        .collect();
    let n = ratios.len() as f64;
    let shrunk = |sum: f64| ((sum + PRIOR_MATCHES) / (n + PRIOR_MATCHES)).ln();
    let limits = (ratios.len() >= FEWEST_MATCHES).then(|| limits_of_mean(&ratios));
    PegEffect {
        ln_multiplier: shrunk(ratios.iter().sum()),
        limits: limits
            .flatten()
            .map(|(lower, upper)| (shrunk(n * lower), shrunk(n * upper))),
        matches: ratios.len(),
        left_out: matches.len() - ratios.len(),
    }
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
