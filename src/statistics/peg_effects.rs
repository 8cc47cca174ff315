//! What each peg of a water gives beside the others of the same matches: the reed line.
//!
//! Everybody in a match is taken to have fished its whole length, so weights compare as rates
//! do. Who did not weigh stands as nothing caught. Only drawn pegs can tell peg from angler.

use std::collections::BTreeMap;

use rand::{SeedableRng, rngs::ChaCha8Rng};
use serde::{Deserialize, Serialize};

use super::peg_effect::{DrawnMatch, PegEffect, peg_effect};
use crate::domain::ids::{MatchId, PegId};

/// How the figures are worked out, for the page.
pub const FORMULA: &str = "(sum of ρ + 4) ÷ (n + 4), ρ being the weight from the peg over the mean weight of its match, \
    n the drawn matches in which anything was caught. Interval: percentile bootstrap over matches, 95 %, from five matches.";
/// Where the method is published.
pub const SOURCE: &str = "Efron (1979), Annals of Statistics 7, for the interval; the four matches’ worth of “like any \
    other peg” is our own choice. The angler is not adjusted for";

/// Somebody who fished a drawn match.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct DrawnEntry {
    pub match_id: MatchId,
    /// The peg drawn, where it is known.
    pub peg: Option<PegId>,
    /// Grams; 0 for a blank and for who did not weigh.
    pub weight_g: f64,
}

/// The effect of every peg that was drawn at least once. The same entries give the same
/// interval: each peg's resamples come from a generator of its own, seeded with its number.
pub fn of_every_peg(entries: &[DrawnEntry]) -> BTreeMap<PegId, PegEffect> {
    let mut sums = BTreeMap::<MatchId, (f64, f64)>::new();
    for entry in entries {
        let (sum, anglers) = sums.entry(entry.match_id).or_default();
        *sum += entry.weight_g;
        *anglers += 1.0;
    }
    let mut drawn = BTreeMap::<PegId, Vec<DrawnMatch>>::new();
    for entry in entries {
        if let (Some(peg), Some((sum, anglers))) = (entry.peg, sums.get(&entry.match_id)) {
            drawn.entry(peg).or_default().push(DrawnMatch {
                rate: entry.weight_g,
                mean_rate: sum / anglers,
            });
        }
    }
    drawn
        .into_iter()
        .map(|(peg, matches)| {
            let mut generator = ChaCha8Rng::seed_from_u64(peg.0.unsigned_abs());
            (peg, peg_effect(&matches, &mut generator))
        })
        .collect()
}
