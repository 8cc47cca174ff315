//! The band about an expectation, from how far off foretelling has been so far.

use serde::{Deserialize, Serialize};

use super::Foretold;
use crate::numerics::quantiles;

/// Days foretold without which there is no band.
pub const FEWEST_DAYS: usize = 20;

/// The middle four fifths of observed over expected on the days foretold so far.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Band {
    /// 10th percentile of observed over expected.
    pub lower: f64,
    /// 90th percentile.
    pub upper: f64,
    /// Days behind it.
    pub days: usize,
}

impl Band {
    /// The 10th and 90th percentiles, placed so that a next day, of the same kind as those
    /// foretold, falls between them four times in five whatever its law (Hyndman & Fan 1996,
    /// definition 6). `None` under twenty days.
    pub fn of(foretold: &[Foretold]) -> Option<Self> {
        if foretold.len() < FEWEST_DAYS {
            return None;
        }
        let mut ratios: Vec<f64> = foretold
            .iter()
            .map(|day| day.catch / day.expected)
            .collect();
        ratios.sort_by(f64::total_cmp);
        Some(Self {
            lower: quantiles::foretelling(&ratios, 0.1)?,
            upper: quantiles::foretelling(&ratios, 0.9)?,
            days: foretold.len(),
        })
    }

    /// The band about an expected catch or rate, in its unit.
    pub fn about(&self, expected: f64) -> (f64, f64) {
        (self.lower * expected, self.upper * expected)
    }
}
