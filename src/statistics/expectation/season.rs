//! The season: what a day of the year gives, and how scattered days are about it.

use serde::{Deserialize, Serialize};

use super::{FitError, Row};
use crate::numerics::{
    harmonics::{SEASON_TERMS, season_terms},
    negative_binomial::{LogLinear, Start, Workspace},
};

/// Ridge on the harmonics; the intercept is free.
const PENALTY: [f64; SEASON_TERMS] = [0.0, 2.0, 2.0, 2.0, 2.0];
/// Rounds of season and size by turns.
const ROUNDS: usize = 3;
/// Bounds of `1/θ`: beyond them moments of few days are noise.
const INVERSE_SIZE: (f64, f64) = (0.02, 2.0);

/// Catch a rod-hour by day of the year.
///
/// `ln rate = β₀ + β₁ sin a + β₂ cos a + β₃ sin 2a + β₄ cos 2a`, `a = 2π · doy / 365.25`.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Season {
    /// Intercept, sin, cos, sin 2, cos 2.
    pub coefficients: [f64; SEASON_TERMS],
    /// Negative binomial size: a day's catch has variance `μ + μ²/θ`.
    pub theta: f64,
}

impl Season {
    /// Fits the season and `θ` by turns: `θ` starts at 1; three times the season at that `θ`
    /// (λ = 2), then `1/θ = mean of ((c − μ)² − μ) / (μ(μ + 1))`, kept within 0.02 and 2; then
    /// the season once more.
    ///
    /// Rows are as [`super::fit`] demands, something caught among them.
    pub(super) fn fit(rows: &[Row], work: &mut Workspace) -> Result<Self, FitError> {
        let x: Vec<f64> = rows.iter().flat_map(|row| season_terms(row.doy)).collect();
        let offset: Vec<f64> = rows.iter().map(|row| row.effort.ln()).collect();
        let y: Vec<f64> = rows.iter().map(|row| row.catch).collect();
        let caught: f64 = y.iter().sum();
        let fished: f64 = rows.iter().map(|row| row.effort).sum();
        let mut season = Self {
            coefficients: [0.0; SEASON_TERMS],
            theta: 1.0,
        };
        // From any other start scoring leaps and creeps for hundreds of steps.
        season.coefficients[0] = (caught / fished).ln();
        for round in 0..=ROUNDS {
            LogLinear {
                x: &x,
                offset: &offset,
                y: &y,
                theta: season.theta,
                penalty: &PENALTY,
            }
            .fit(0..0, Start::Afar, &mut season.coefficients, work)?;
            if round < ROUNDS {
                season.theta = season.size_by_moments(rows);
            }
        }
        Ok(season)
    }

    /// Catch expected on day of year `doy` with `effort` rod-hours.
    pub fn expected(&self, doy: i32, effort: f64) -> f64 {
        let terms = season_terms(doy);
        let log_rate: f64 = terms
            .iter()
            .zip(&self.coefficients)
            .map(|(x, b)| x * b)
            .sum();
        effort * log_rate.exp()
    }

    fn size_by_moments(&self, rows: &[Row]) -> f64 {
        let sum: f64 = rows
            .iter()
            .map(|row| {
                let mu = self.expected(row.doy, row.effort);
                ((row.catch - mu).powi(2) - mu) / (mu * (mu + 1.0))
            })
            .sum();
        let (least, most) = INVERSE_SIZE;
        1.0 / (sum / rows.len() as f64).clamp(least, most)
    }
}
