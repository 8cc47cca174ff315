//! How far a sum stands from what chance draws would give.

use rand::{Rng, RngExt};
use serde::{Deserialize, Serialize};

/// Sums closer than this share of the one observed are the same but for rounding.
const ROUNDING: f64 = 1e-9;

/// The chance of a sum at least as far out as the one observed, either way.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Tails {
    /// Of a sum as low or lower.
    pub low: f64,
    /// Of a sum as high or higher.
    pub high: f64,
}

/// Is `observed` a sum that one even draw from each of `pools` would give?
///
/// `p = (b + 1)/(n + 1)` of each tail: `n = times` sums of one independent even draw a pool, `b`
/// of them at least as far out as `observed`. An equal sum counts in both tails. `p` is never
/// nought, and where `observed` is itself such a sum `P(p ≤ α) ≤ α` for every `α`, whatever
/// shape the pools have; two-sided is twice the smaller. `None` without a pool, and when one is empty.
///
/// Source: Phipson & Smyth (2010), Statistical Applications in Genetics and Molecular Biology
/// 9:39.
pub fn tails_of_sum(
    observed: f64,
    pools: &[Vec<f64>],
    times: usize,
    generator: &mut impl Rng,
) -> Option<Tails> {
    if pools.is_empty() || pools.iter().any(Vec::is_empty) {
        return None;
    }
    let slack = ROUNDING * observed.abs().max(1.0);
    let (mut low, mut high) = (0_usize, 0_usize);
    for _ in 0..times {
        let sum: f64 = pools
            .iter()
            .map(|pool| pool[generator.random_range(0..pool.len())])
            .sum();
        low += usize::from(sum <= observed + slack);
        high += usize::from(sum >= observed - slack);
    }
    let p = |as_far: usize| (as_far + 1) as f64 / (times + 1) as f64;
    Some(Tails {
        low: p(low),
        high: p(high),
    })
}
