//! The negative binomial with fixed size, mean `μ` and variance `μ + μ²/θ` (NB2): deviance,
//! and ridge-penalised log-linear fits by scoring. `θ` is the size, not its inverse; a huge
//! `θ` gives the Poisson. Counts may be any number from 0 up: with `θ` held fixed the criterion
//! is a pseudo-likelihood, right in the mean whatever the law of the counts
//! (Gourieroux, Monfort & Trognon 1984, Econometrica 52). Estimating `θ` belongs elsewhere.

use std::ops::Range;

use super::cholesky;

/// Steps allowed; a fit from a sensible start takes three to fifteen.
const MOST_STEPS: usize = 100;
/// Halvings of one step before it is given up.
const MOST_HALVINGS: usize = 40;
/// Squared length of the next step, in units of the information, below which that step is the
/// last. Newton's method squares its error, so what is left is below rounding.
const CLOSE_ENOUGH: f64 = 1e-10;
/// Rows added to the information together: their products meet in one pass over a line of it.
const TOGETHER: usize = 4;
/// Rounding noise allowed in the criterion, relative; without it halving stalls at the optimum.
const NOISE: f64 = 1e-11;

/// Deviance of one count: `2[y ln(y/μ) − (y + θ) ln((y + θ)/(μ + θ))]`, with `0 ln 0 = 0`.
///
/// - `y`: count, 0 or more
/// - `mu`: its expected value, above 0
/// - `theta`: size, above 0
pub fn deviance(y: f64, mu: f64, theta: f64) -> f64 {
    let first = if y > 0.0 { y * (y / mu).ln() } else { 0.0 };
    2.0 * (first - (y + theta) * ((y - mu) / (mu + theta)).ln_1p())
}

/// A fit that did not settle: more than a hundred steps, or a singular information matrix.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the fit did not settle")]
pub struct NotSettled;

/// What is fitted: `ln μ = offset + x β`, minimising `½ΣD + ½Σ penalty·β²`.
pub struct LogLinear<'a> {
    /// Design, `n × p`, row-major.
    pub x: &'a [f64],
    /// Known part of `ln μ`, length `n`.
    pub offset: &'a [f64],
    /// Counts, length `n`.
    pub y: &'a [f64],
    /// Size `θ`.
    pub theta: f64,
    /// Ridge penalty of each coefficient, length `p`; 0 leaves it free.
    pub penalty: &'a [f64],
}

/// Where a fit begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Start {
    /// Anywhere sensible: the first step is by the expected information.
    Afar,
    /// At the minimum of a criterion much like this one: all steps are by the observed.
    Near,
}

/// Space for a fit, reused from one to the next.
#[derive(Default)]
pub struct Workspace {
    information: Vec<f64>,
    step: Vec<f64>,
    trial: Vec<f64>,
    mu: Vec<f64>,
}

impl LogLinear<'_> {
    /// Fits `beta` (length `p`) in place, from the values it holds, without the rows of
    /// `left_out`.
    ///
    /// Steps are by the expected information until near, then by the observed; each is halved
    /// until the criterion does not rise. The criterion is convex in `β`, so its minimum does not depend on the way there.
    pub fn fit(
        &self,
        left_out: Range<usize>,
        start: Start,
        beta: &mut [f64],
        work: &mut Workspace,
    ) -> Result<(), NotSettled> {
        let p = self.penalty.len();
        work.information.resize(p * p, 0.0);
        work.step.resize(p, 0.0);
        work.trial.resize(p, 0.0);
        work.mu.resize(self.y.len(), 0.0);
        let mut criterion = self.criterion(&left_out, beta, &mut work.mu);
        let mut near = start == Start::Near;
        for _ in 0..MOST_STEPS {
            self.assemble(&left_out, beta, near, work);
            let slope = work.trial.as_mut_slice();
            slope.copy_from_slice(&work.step);
            if !cholesky::factor(&mut work.information, p) {
                return Err(NotSettled);
            }
            cholesky::solve(&work.information, p, &mut work.step);
            let length: f64 = slope.iter().zip(&work.step).map(|(a, b)| a * b).sum();
            if near && length < CLOSE_ENOUGH {
                beta.iter_mut().zip(&work.step).for_each(|(b, s)| *b += s);
                return Ok(());
            }
            criterion = self.advance(&left_out, beta, criterion, work)?;
            near = length < 1.0;
        }
        Err(NotSettled)
    }

    /// Takes the step, halved until the criterion does not rise; returns the new criterion.
    fn advance(
        &self,
        left_out: &Range<usize>,
        beta: &mut [f64],
        before: f64,
        work: &mut Workspace,
    ) -> Result<f64, NotSettled> {
        let slack = NOISE * (1.0 + before.abs());
        let mut share = 1.0;
        for _ in 0..MOST_HALVINGS {
            for ((t, b), s) in work.trial.iter_mut().zip(&*beta).zip(&work.step) {
                *t = b + share * s;
            }
            let after = self.criterion(left_out, &work.trial, &mut work.mu);
            if after <= before + slack {
                beta.copy_from_slice(&work.trial);
                return Ok(after);
            }
            share *= 0.5;
        }
        Err(NotSettled)
    }

    /// `½ΣD + ½Σ penalty·β²` up to a constant, filling `mu` on the way.
    fn criterion(&self, left_out: &Range<usize>, beta: &[f64], mu: &mut [f64]) -> f64 {
        let p = beta.len();
        let mut sum = 0.0;
        for i in self.stretches(left_out).into_iter().flatten() {
            let row = &self.x[i * p..(i + 1) * p];
            let eta = self.offset[i] + row.iter().zip(beta).map(|(x, b)| x * b).sum::<f64>();
            mu[i] = eta.exp();
            sum += (self.y[i] + self.theta) * (mu[i] + self.theta).ln() - self.y[i] * eta;
        }
        let ridge: f64 = self.penalty.iter().zip(beta).map(|(l, b)| l * b * b).sum();
        sum + 0.5 * ridge
    }

    /// Information (lower triangle) and score at `beta`, whose means are in `work.mu`.
    fn assemble(
        &self,
        left_out: &Range<usize>,
        beta: &[f64],
        observed: bool,
        work: &mut Workspace,
    ) {
        let p = beta.len();
        work.information.fill(0.0);
        for (j, (penalty, slope)) in self.penalty.iter().zip(beta).enumerate() {
            work.information[j * p + j] = *penalty;
            work.step[j] = -penalty * slope;
        }
        for stretch in self.stretches(left_out) {
            let mut i = stretch.start;
            while i + TOGETHER <= stretch.end {
                self.add::<TOGETHER>(i, observed, work);
                i += TOGETHER;
            }
            while i < stretch.end {
                self.add::<1>(i, observed, work);
                i += 1;
            }
        }
    }

    /// Adds rows `first..first + N` to information and score.
    fn add<const N: usize>(&self, first: usize, observed: bool, work: &mut Workspace) {
        let p = self.penalty.len();
        let rows: [&[f64]; N] =
            std::array::from_fn(|r| &self.x[(first + r) * p..(first + r + 1) * p]);
        let (mut score, mut weight) = ([0.0; N], [0.0; N]);
        for r in 0..N {
            let (y, mu) = (self.y[first + r], work.mu[first + r]);
            let shrink = 1.0 / (1.0 + mu / self.theta);
            score[r] = (y - mu) * shrink;
            weight[r] = if observed {
                mu * shrink * shrink * (1.0 + y / self.theta)
            } else {
                mu * shrink
            };
        }
        for j in 0..p {
            let mut slope = 0.0;
            let mut weighed = [0.0; N];
            for r in 0..N {
                slope += score[r] * rows[r][j];
                weighed[r] = weight[r] * rows[r][j];
            }
            work.step[j] += slope;
            let line = &mut work.information[j * p..j * p + j + 1];
            let rows = rows.map(|row| &row[..line.len()]);
            for (k, sum) in line.iter_mut().enumerate() {
                for r in 0..N {
                    *sum += weighed[r] * rows[r][k];
                }
            }
        }
    }

    /// The rows that are not left out, in two stretches.
    fn stretches(&self, left_out: &Range<usize>) -> [Range<usize>; 2] {
        let n = self.y.len();
        [0..left_out.start.min(n), left_out.end.min(n)..n]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn deviance_is_nought_at_the_mean_and_handles_blanks() {
        assert_eq!(deviance(3.0, 3.0, 1.5), 0.0);
        // 2θ ln(1 + μ/θ) by hand for a blank: θ = 2, μ = 2.
        assert!((deviance(0.0, 2.0, 2.0) - 4.0 * 2f64.ln()).abs() < 1e-14);
    }

    #[test]
    fn a_free_mean_is_the_mean() {
        let y = [0.0, 3.0, 9.0];
        let fit = LogLinear {
            x: &[1.0; 3],
            offset: &[0.0; 3],
            y: &y,
            theta: 1.3,
            penalty: &[0.0],
        };
        let mut beta = [3.0];
        let settled = fit.fit(0..0, Start::Afar, &mut beta, &mut Workspace::default());
        assert_eq!(settled, Ok(()));
        assert!((beta[0] - 4f64.ln()).abs() < 1e-12);
        let settled = fit.fit(2..3, Start::Near, &mut beta, &mut Workspace::default());
        assert_eq!(settled, Ok(()));
        assert!((beta[0] - 1.5f64.ln()).abs() < 1e-12);
    }
}
