//! The weather of the days before, as differences from what the time of year brings anyway.

use serde::{Deserialize, Serialize};

use super::{FEATURES, Features, Layout, Row};
use crate::numerics::{
    cholesky,
    harmonics::{SEASON_TERMS, season_terms},
};

/// Values a feature needs before its season can be told; with fewer it is missing throughout.
const FEWEST_VALUES: usize = 10;

/// The season of each feature, in the feature's unit, and its step.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Anomalies {
    /// Intercept, sin, cos, sin 2, cos 2 of each feature; `None` where it had too few values.
    pub seasons: [Option<[f64; SEASON_TERMS]>; FEATURES],
    pub steps: [f64; FEATURES],
}

impl Anomalies {
    /// Least squares of each feature on the season's terms over the rows that have it,
    /// minimising `Σe² + |b|²` with the intercept free of the penalty: over part of a year
    /// the plain fit is near singular.
    pub(super) fn fit(rows: &[Row], layout: &Layout) -> Self {
        let seasons = std::array::from_fn(|feature| {
            let values = rows
                .iter()
                .filter_map(|row| Some((row.doy, row.features[feature]?)));
            season_of(values)
        });
        Self {
            seasons,
            steps: layout.steps,
        }
    }

    /// `(feature − its season) / step` on day of year `doy`.
    pub fn of(&self, doy: i32, features: &Features) -> Features {
        let terms = season_terms(doy);
        std::array::from_fn(|feature| {
            let usual = at(&terms, &self.seasons[feature]?);
            Some((features[feature]? - usual) / self.steps[feature])
        })
    }

    /// What the time of year brings, in the feature's unit.
    pub fn usual(&self, feature: usize, doy: i32) -> Option<f64> {
        Some(at(&season_terms(doy), &self.seasons[feature]?))
    }
}

fn at(terms: &[f64; SEASON_TERMS], season: &[f64; SEASON_TERMS]) -> f64 {
    terms.iter().zip(season).map(|(x, b)| x * b).sum()
}

fn season_of(values: impl Iterator<Item = (i32, f64)>) -> Option<[f64; SEASON_TERMS]> {
    const P: usize = SEASON_TERMS;
    let mut normal = [0.0; P * P];
    let mut right = [0.0; P];
    let mut count = 0;
    for j in 1..P {
        normal[j * P + j] = 1.0;
    }
    for (doy, value) in values {
        let x = season_terms(doy);
        for j in 0..P {
            right[j] += x[j] * value;
            for k in 0..=j {
                normal[j * P + k] += x[j] * x[k];
            }
        }
        count += 1;
    }
    if count < FEWEST_VALUES || !cholesky::factor(&mut normal, P) {
        return None;
    }
    cholesky::solve(&normal, P, &mut right);
    Some(right)
}
