//! Form: how the venue has fished lately, beyond its season.

use serde::{Deserialize, Serialize};

use super::Row;
use crate::numerics::negative_binomial::deviance;

/// Days over which form fades to `1/e`; the first is kept when two do equally well.
const FADING: [f64; 3] = [10.0, 30.0, 90.0];
/// Share of the form that is believed.
const STRENGTHS: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];
/// Rows that only teach: form is judged on the rows after them.
const UNJUDGED: usize = 10;

/// How form fades and how far it is believed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Form {
    /// `τ`, days.
    pub fading_days: f64,
    /// 0 to 1.
    pub strength: f64,
}

/// What is remembered of earlier days, fading:
/// `form = ln[(Σ ω W c + 2θ) / (Σ ω W μ + 2θ)]`, `ω = e^(−age/τ)`, `W = 1/(1 + μ/θ)`,
/// `μ` from season alone.
#[derive(Clone, Copy, Debug)]
pub(super) struct Memory {
    fading_days: f64,
    theta: f64,
    day: i64,
    observed: f64,
    expected: f64,
}

impl Memory {
    pub(super) fn new(fading_days: f64, theta: f64) -> Self {
        Self {
            fading_days,
            theta,
            day: 0,
            observed: 0.0,
            expected: 0.0,
        }
    }

    /// Form on `day`, not before the last day learnt; 0 when nothing was learnt.
    pub(super) fn form_on(&self, day: i64) -> f64 {
        let kept = self.kept(day);
        let prior = 2.0 * self.theta;
        ((kept * self.observed + prior) / (kept * self.expected + prior)).ln()
    }

    /// Learns that `catch` was had on `day` where season alone gave `mu`.
    pub(super) fn learn(&mut self, day: i64, catch: f64, mu: f64) {
        let kept = self.kept(day);
        let weight = 1.0 / (1.0 + mu / self.theta);
        self.observed = kept * self.observed + weight * catch;
        self.expected = kept * self.expected + weight * mu;
        self.day = day;
    }

    fn kept(&self, day: i64) -> f64 {
        (-((day - self.day) as f64) / self.fading_days).exp()
    }
}

impl Form {
    /// Chooses `τ` and strength by the least deviance over the rows from the 11th on.
    ///
    /// `season[i]` is the catch season alone gives for `rows[i]`.
    pub(super) fn choose(rows: &[Row], season: &[f64], theta: f64) -> Self {
        let mut best = Self {
            fading_days: FADING[0],
            strength: STRENGTHS[0],
        };
        let mut least = f64::INFINITY;
        for fading_days in FADING {
            let forms = forms(rows, season, fading_days, theta);
            for strength in STRENGTHS {
                let total: f64 = (UNJUDGED..rows.len())
                    .map(|i| {
                        let mu = season[i] * (strength * forms[i]).exp();
                        deviance(rows[i].catch, mu, theta)
                    })
                    .sum();
                if total < least {
                    least = total;
                    best = Self {
                        fading_days,
                        strength,
                    };
                }
            }
        }
        best
    }

    /// Season and form together for each row: `μ · exp(strength · form)`.
    pub(super) fn apply(&self, rows: &[Row], season: &[f64], theta: f64) -> Vec<f64> {
        let forms = forms(rows, season, self.fading_days, theta);
        season
            .iter()
            .zip(forms)
            .map(|(mu, form)| mu * (self.strength * form).exp())
            .collect()
    }
}

/// The form each row met, from the rows before it.
fn forms(rows: &[Row], season: &[f64], fading_days: f64, theta: f64) -> Vec<f64> {
    let mut memory = Memory::new(fading_days, theta);
    rows.iter()
        .zip(season)
        .map(|(row, &mu)| {
            let form = memory.form_on(row.day);
            memory.learn(row.day, row.catch, mu);
            form
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::Memory;

    #[test]
    fn form_fades_as_worked_by_hand() {
        // θ = 1, one day of 3 where 1 was expected: W = 1/2; ten days on, τ = 10: ω = 1/e.
        let mut memory = Memory::new(10.0, 1.0);
        assert_eq!(memory.form_on(5), 0.0);
        memory.learn(100, 3.0, 1.0);
        let faded = (-1.0f64).exp();
        let by_hand = ((1.5 * faded + 2.0) / (0.5 * faded + 2.0)).ln();
        assert!((memory.form_on(110) - by_hand).abs() < 1e-15);
    }
}
