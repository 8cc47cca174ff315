//! What a peg gives beside the others of the same match.
//!
//! Only drawn pegs can tell peg from angler, so the caller passes drawn matches only. The
//! anglers themselves are not adjusted for here, nor is chance among many pegs.

use rand::Rng;
use serde::{Deserialize, Serialize};

use crate::numerics::{quantiles, resample};

/// Matches' worth of "like any other peg" that the record must outweigh.
const PRIOR_MATCHES: f64 = 4.0;
/// Matches without which no interval is given: resamples of fewer repeat each other.
pub const FEWEST_MATCHES: usize = 5;
const RESAMPLES: usize = 9_999;

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
    /// 95 per cent limits of the same, resampling matches; `None` under five.
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
/// which anything was caught. Limits: percentile bootstrap over matches (Efron 1979).
pub fn peg_effect(matches: &[DrawnMatch], generator: &mut impl Rng) -> PegEffect {
    let ratios: Vec<f64> = matches
        .iter()
        .filter(|drawn| drawn.mean_rate > 0.0)
        .map(|drawn| drawn.rate / drawn.mean_rate)
        .collect();
    let n = ratios.len() as f64;
    let shrunk = |sum: f64| ((sum + PRIOR_MATCHES) / (n + PRIOR_MATCHES)).ln();
    let limits = (ratios.len() >= FEWEST_MATCHES).then(|| {
        let values = resample::bootstrap(ratios.len(), RESAMPLES, generator, |drawn| {
            shrunk(
                drawn
                    .iter()
                    .zip(&ratios)
                    .map(|(times, r)| f64::from(*times) * r)
                    .sum(),
            )
        });
        let lower = quantiles::interpolated(&values, 0.025)?;
        Some((lower, quantiles::interpolated(&values, 0.975)?))
    });
    PegEffect {
        ln_multiplier: shrunk(ratios.iter().sum()),
        limits: limits.flatten(),
        matches: ratios.len(),
        left_out: matches.len() - ratios.len(),
    }
}
