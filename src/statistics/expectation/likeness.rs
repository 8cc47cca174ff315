//! How alike two days' weather is, and what days alike say.
//!
//! The difference of two days is the sum over families of the mean squared difference, in
//! steps, over the features that both have; a family that either lacks counts 2, which is what
//! two days picked at random differ by when a step is a standard deviation.

use std::ops::Range;

use serde::{Deserialize, Serialize};

use super::{FAMILIES, FEATURES, Family, Features, Layout};
use crate::numerics::weighted;

/// What a family counts when it cannot be compared.
const UNKNOWN: f64 = 2.0;
/// Difference over which likeness falls to `1/e`.
const REACH: f64 = 4.0;
/// Days' worth of "nothing unusual" that the days alike must outweigh.
const PRIOR_DAYS: f64 = 6.0;
/// Days in a block; days of one block share their luck.
const BLOCK_DAYS: i64 = 14;

/// Difference of two days by family: the mean squared difference in steps, `None` where no
/// feature of the family is known on both.
pub fn difference(layout: &Layout, one: &Features, other: &Features) -> [Option<f64>; FAMILIES] {
    Family::ALL.map(|family| {
        let mut sum = 0.0;
        let mut known = 0u32;
        for feature in (0..FEATURES).filter(|&f| layout.families[f] == family) {
            if let (Some(a), Some(b)) = (one[feature], other[feature]) {
                sum += (a - b).powi(2);
                known += 1;
            }
        }
        (known > 0).then(|| sum / f64::from(known))
    })
}

/// Sum over the families, unknown ones counting 2.
pub fn total_difference(families: &[Option<f64>; FAMILIES]) -> f64 {
    families
        .iter()
        .map(|family| family.unwrap_or(UNKNOWN))
        .sum()
}

/// Weight of a day that differs by `total`: `e^(−Δ/4)`.
pub fn kernel(total: f64) -> f64 {
    (-total / REACH).exp()
}

/// What the days alike in weather say.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Evidence {
    /// `A`: observed over expected (season and form) on days alike; 1 with no past.
    pub observed_over_expected: f64,
    /// How many independent, fully informative days they are worth.
    pub effective_days: f64,
    /// `ln[(n_eff · A + 6) / (n_eff + 6)]`.
    pub ln_multiplier: f64,
}

/// The past, laid out for comparing one day with all of it.
pub(super) struct Past {
    /// Features of one family side by side.
    families: Vec<Vec<usize>>,
    /// Anomalies by feature, 0 where missing.
    anomalies: [Vec<f64>; FEATURES],
    /// 1 where the anomaly is known, else 0.
    known: [Vec<f64>; FEATURES],
    /// Whether the anomaly is known on every day.
    complete: [bool; FEATURES],
    block: Vec<i64>,
    /// `W c`.
    observed: Vec<f64>,
    /// `W μ`; over `θ` it is the day's information.
    expected: Vec<f64>,
    theta: f64,
}

/// Space for comparing, reused from day to day.
#[derive(Default)]
pub(super) struct Scratch {
    weight: Vec<f64>,
    sum: Vec<f64>,
    count: Vec<f64>,
    blocks: Vec<f64>,
}

impl Past {
    pub(super) fn new(layout: &Layout, theta: f64) -> Self {
        let of = |family| {
            (0..FEATURES)
                .filter(|&f| layout.families[f] == family)
                .collect()
        };
        Self {
            families: Family::ALL.map(of).to_vec(),
            anomalies: Default::default(),
            known: Default::default(),
            complete: [true; FEATURES],
            block: Vec::new(),
            observed: Vec::new(),
            expected: Vec::new(),
            theta,
        }
    }

    /// Adds a day on which `catch` was had where season and form gave `mu`.
    pub(super) fn push(&mut self, day: i64, catch: f64, mu: f64, anomalies: &Features) {
        let weight = 1.0 / (1.0 + mu / self.theta);
        for (feature, anomaly) in anomalies.iter().enumerate() {
            self.anomalies[feature].push(anomaly.unwrap_or(0.0));
            self.known[feature].push(f64::from(u8::from(anomaly.is_some())));
            self.complete[feature] &= anomaly.is_some();
        }
        self.block.push(day.div_euclid(BLOCK_DAYS));
        self.observed.push(weight * catch);
        self.expected.push(weight * mu);
    }

    /// What the past, without the days of `left_out`, says of a day with these anomalies.
    ///
    /// `A = ΣKWc / ΣKWμ`; information `I = Wμ/θ`;
    /// `n_eff = (ΣS)²/ΣS² · ΣKI/ΣK`, `S` the sum of `KI` within a block of 14 days.
    pub(super) fn evidence(
        &self,
        asked: &Features,
        left_out: &Range<usize>,
        scratch: &mut Scratch,
    ) -> Evidence {
        self.weigh(asked, scratch);
        scratch.blocks.clear();
        let (mut weights, mut observed, mut expected) = (0.0, 0.0, 0.0);
        let mut block = None;
        let n = self.block.len();
        for i in (0..left_out.start.min(n)).chain(left_out.end.min(n)..n) {
            let k = scratch.weight[i];
            let informed = k * self.expected[i];
            weights += k;
            observed += k * self.observed[i];
            expected += informed;
            if block == Some(self.block[i]) {
                if let Some(last) = scratch.blocks.last_mut() {
                    *last += informed;
                }
            } else {
                scratch.blocks.push(informed);
                block = Some(self.block[i]);
            }
        }
        if expected <= 0.0 {
            return Evidence {
                observed_over_expected: 1.0,
                effective_days: 0.0,
                ln_multiplier: 0.0,
            };
        }
        let ratio = observed / expected;
        let blocks = weighted::effective_size(scratch.blocks.iter().copied());
        let effective = blocks * expected / self.theta / weights;
        Evidence {
            observed_over_expected: ratio,
            effective_days: effective,
            ln_multiplier: ((effective * ratio + PRIOR_DAYS) / (effective + PRIOR_DAYS)).ln(),
        }
    }

    /// Fills `scratch.weight` with the kernel of every day of the past, feature by feature so
    /// that the loops run side by side.
    fn weigh(&self, asked: &Features, scratch: &mut Scratch) {
        let n = self.block.len();
        scratch.weight.clear();
        scratch.weight.resize(n, 0.0);
        for family in &self.families {
            if family
                .iter()
                .all(|&f| self.complete[f] && asked[f].is_some())
            {
                self.weigh_known(family, asked, &mut scratch.weight);
                continue;
            }
            scratch.sum.clear();
            scratch.sum.resize(n, 0.0);
            scratch.count.clear();
            scratch.count.resize(n, 0.0);
            for &feature in family {
                let Some(value) = asked[feature] else {
                    continue;
                };
                let past = self.anomalies[feature].iter().zip(&self.known[feature]);
                let into = scratch.sum.iter_mut().zip(&mut scratch.count);
                for ((sum, count), (other, known)) in into.zip(past) {
                    *sum += known * (value - other) * (value - other);
                    *count += known;
                }
            }
            let into = scratch
                .weight
                .iter_mut()
                .zip(&scratch.sum)
                .zip(&scratch.count);
            for ((total, sum), count) in into {
                *total += if *count > 0.0 { sum / count } else { UNKNOWN };
            }
        }
        scratch
            .weight
            .iter_mut()
            .for_each(|total| *total = kernel(*total));
    }

    /// Adds the mean squared difference over a family of which nothing is missing.
    fn weigh_known(&self, family: &[usize], asked: &Features, totals: &mut [f64]) {
        let share = 1.0 / family.len() as f64;
        for &feature in family {
            let value = asked[feature].unwrap_or(0.0);
            for (total, other) in totals.iter_mut().zip(&self.anomalies[feature]) {
                *total += share * (value - other) * (value - other);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_family_that_either_day_lacks_counts_two() {
        let layout = Layout::RUN_UP;
        let one = [
            Some(1.0),
            None,
            Some(0.5),
            None,
            Some(0.0),
            Some(2.0),
            None,
            None,
        ];
        let other = [
            Some(0.0),
            Some(9.0),
            Some(0.5),
            Some(1.0),
            Some(1.0),
            Some(0.0),
            None,
            None,
        ];
        let families = difference(&layout, &one, &other);
        assert_eq!(families, [Some(1.0), Some(0.0), None, Some(2.5), None]);
        assert_eq!(total_difference(&families), 7.5);
    }

    #[test]
    fn one_day_alike_says_what_it_can_by_hand() {
        // θ = 1, μ = 1, c = 3: W = 1/2, I = 1/2, so n_eff = 1/2 whatever its kernel; A = 3.
        let mut past = Past::new(&Layout::RUN_UP, 1.0);
        past.push(3, 3.0, 1.0, &[Some(0.0); FEATURES]);
        let evidence = past.evidence(&[Some(1.0); FEATURES], &(0..0), &mut Scratch::default());
        assert!((evidence.observed_over_expected - 3.0).abs() < 1e-15);
        assert!((evidence.effective_days - 0.5).abs() < 1e-15);
        assert!((evidence.ln_multiplier - (7.5f64 / 6.5).ln()).abs() < 1e-15);
    }
}
