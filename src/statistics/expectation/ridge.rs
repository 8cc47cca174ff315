//! The weather read by a regression: ridge-penalised, on top of season and form.

use std::ops::Range;

use serde::{Deserialize, Serialize};

use super::{FEATURES, Features, FitError, Layout, Row};
use crate::numerics::{
    harmonics::wave_peaking_on,
    negative_binomial::{LogLinear, Start, Workspace, deviance},
};

/// Penalties tried; the first is kept when two do equally well.
const PENALTIES: [f64; 7] = [10.0, 20.0, 40.0, 80.0, 160.0, 320.0, 10_000.0];
/// Contiguous folds.
const FOLDS: usize = 5;
/// Day of the year on which winter is deepest: 20 January.
const MIDWINTER: i32 = 20;

/// `ln multiplier = Σ g β + Σ ½(g² − 1) γ + Σ g · winter · δ`, missing features left out;
/// `winter = cos(2π(doy − 20)/365.25)`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Regression {
    /// Chosen ridge penalty.
    pub penalty: f64,
    /// Eight features, the squares of those the layout names, eight features by winter.
    pub coefficients: Vec<f64>,
}

/// The regression's columns for one day.
pub(super) fn columns(layout: &Layout, doy: i32, anomalies: &Features, into: &mut Vec<f64>) {
    let winter = wave_peaking_on(MIDWINTER, doy);
    into.extend(anomalies.iter().map(|g| g.unwrap_or(0.0)));
    let squares = anomalies
        .iter()
        .zip(layout.squared)
        .filter(|(_, squared)| *squared);
    into.extend(squares.map(|(g, _)| g.map_or(0.0, |g| 0.5 * (g * g - 1.0))));
    into.extend(anomalies.iter().map(|g| g.map_or(0.0, |g| g * winter)));
}

impl Regression {
    /// Log multiplier of each feature on a day; their sum is the day's.
    pub fn by_feature(&self, layout: &Layout, doy: i32, anomalies: &Features) -> [f64; FEATURES] {
        let mut x = Vec::with_capacity(layout.terms());
        columns(layout, doy, anomalies, &mut x);
        let product = |column: usize| x[column] * self.coefficients[column];
        let mut square = FEATURES;
        let winters = layout.terms() - FEATURES;
        std::array::from_fn(|feature| {
            let mut sum = product(feature) + product(winters + feature);
            if layout.squared[feature] {
                sum += product(square);
                square += 1;
            }
            sum
        })
    }
}

/// Contiguous folds of `n` rows: row `i` (from 0) is in fold `⌊5i/n⌋`.
pub(super) fn folds(n: usize) -> [Range<usize>; FOLDS] {
    std::array::from_fn(|k| (k * n).div_ceil(FOLDS)..((k + 1) * n).div_ceil(FOLDS))
}

/// Chooses the penalty by the least deviance over five contiguous folds, then fits all rows.
///
/// - `x`: `n × p`, rows as [`columns`] makes them
/// - `mu`: season and form, length `n`
///
/// Returns the regression and, for each row, the log multiplier it had while its fold was
/// left out.
pub(super) fn fit(
    rows: &[Row],
    mu: &[f64],
    x: &[f64],
    theta: f64,
    work: &mut Workspace,
) -> Result<(Regression, Vec<f64>), FitError> {
    let n = rows.len();
    let p = x.len() / n;
    let offset: Vec<f64> = mu.iter().map(|mu| mu.ln()).collect();
    let y: Vec<f64> = rows.iter().map(|row| row.catch).collect();
    let at = |penalty: &[f64], left_out: Range<usize>, beta: &mut [f64], work: &mut Workspace| {
        LogLinear {
            x,
            offset: &offset,
            y: &y,
            theta,
            penalty,
        }
        .fit(left_out, Start::Near, beta, work)
    };
    let mut unseen = vec![vec![0.0; n]; PENALTIES.len()];
    for fold in folds(n) {
        // From the stiffest penalty down, each fit starting where the last ended.
        let mut beta = vec![0.0; p];
        for (which, penalty) in PENALTIES.iter().enumerate().rev() {
            at(&vec![*penalty; p], fold.clone(), &mut beta, work)?;
            for i in fold.clone() {
                let row = &x[i * p..(i + 1) * p];
                unseen[which][i] = row.iter().zip(&beta).map(|(x, b)| x * b).sum();
            }
        }
    }
    let mut chosen = 0;
    let mut least = f64::INFINITY;
    for (which, logs) in unseen.iter().enumerate() {
        let total: f64 = (0..n)
            .map(|i| deviance(y[i], mu[i] * logs[i].exp(), theta))
            .sum();
        if total < least {
            (least, chosen) = (total, which);
        }
    }
    let penalty = PENALTIES[chosen];
    let mut coefficients = vec![0.0; p];
    at(&vec![penalty; p], 0..0, &mut coefficients, work)?;
    Ok((
        Regression {
            penalty,
            coefficients,
        },
        unseen.swap_remove(chosen),
    ))
}

#[cfg(test)]
mod tests {
    use super::folds;

    #[test]
    fn folds_are_contiguous_and_take_every_row_once() {
        for n in [0, 1, 3, 5, 40, 104, 117] {
            for (k, fold) in folds(n).into_iter().enumerate() {
                assert!(fold.clone().all(|i| i * 5 / n == k));
            }
            assert_eq!(folds(n).map(|fold| fold.len()).iter().sum::<usize>(), n);
        }
    }
}
