//! How far each reading of the weather is believed; not at all is an answer, and a usual one.

use serde::{Deserialize, Serialize};

use super::Row;
use crate::numerics::negative_binomial::deviance;

/// Deviance that a whole unit of weight must earn.
const PRICE: f64 = 4.0;

/// Weights of the two log multipliers, in whole tenths; together at most ten.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Weights {
    pub like_days_tenths: u8,
    pub regression_tenths: u8,
}

impl Weights {
    pub fn like_days(self) -> f64 {
        f64::from(self.like_days_tenths) / 10.0
    }

    pub fn regression(self) -> f64 {
        f64::from(self.regression_tenths) / 10.0
    }

    /// Whether the weather is left out altogether.
    pub fn are_nought(self) -> bool {
        self == Self::default()
    }

    /// The joint log multiplier.
    pub fn join(self, like_days: f64, regression: f64) -> f64 {
        self.like_days() * like_days + self.regression() * regression
    }

    /// Least `ΣD + 4(w₁ + w₂)` over out-of-fold log multipliers; the first met on a tie, `w₁`
    /// in the outer loop.
    pub(super) fn choose(
        rows: &[Row],
        mu: &[f64],
        like_days: &[f64],
        regression: &[f64],
        theta: f64,
    ) -> Self {
        let mut best = Self::default();
        let mut least = f64::INFINITY;
        for like_days_tenths in 0..=10u8 {
            for regression_tenths in 0..=10 - like_days_tenths {
                let tried = Self {
                    like_days_tenths,
                    regression_tenths,
                };
                let total: f64 = (0..rows.len())
                    .map(|i| {
                        let log = tried.join(like_days[i], regression[i]);
                        deviance(rows[i].catch, mu[i] * log.exp(), theta)
                    })
                    .sum();
                let total = total + PRICE * (tried.like_days() + tried.regression());
                if total < least {
                    (least, best) = (total, tried);
                }
            }
        }
        best
    }
}
