//! Walking forward: what would have been said of each past day from the days before it alone.

use std::ops::Range;

use serde::{Deserialize, Serialize};

use super::{FitError, Layout, Row, Weights, fitting::fit, form::Form, layout};
use crate::numerics::negative_binomial::deviance;

/// Rows learnt from before the first is foretold.
pub const FIRST_LEARNT: usize = 26;
/// Days of a window: everything is refitted at its start.
const WINDOW_DAYS: i64 = 14;
/// The latest windows that are walked; older ones tell little of the venue today.
const MOST_WINDOWS: usize = 60;

/// Summed negative binomial deviance of three ways of foretelling the same days.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Deviances {
    pub season: f64,
    pub season_and_form: f64,
    pub all: f64,
}

/// A fortnight foretold from the days before it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Window {
    /// Day number of its first fished day.
    pub first_day: i64,
    /// Fished days in it.
    pub days: usize,
    /// Size the fit before it gave; the window's deviances are by it.
    pub theta: f64,
    pub form: Form,
    pub weights: Weights,
    /// Ridge penalty chosen.
    pub penalty: f64,
    pub deviances: Deviances,
}

/// A past day as it would have been foretold.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Foretold {
    pub day: i64,
    pub effort: f64,
    /// What was caught.
    pub catch: f64,
    pub season: f64,
    pub season_and_form: f64,
    /// What would have been expected: season, form and weather.
    pub expected: f64,
}

/// Every prediction that could have been made from earlier days alone.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct WalkForward {
    /// Days given, those never foretold included.
    pub days: usize,
    /// Oldest first.
    pub windows: Vec<Window>,
    /// Oldest first.
    pub foretold: Vec<Foretold>,
    /// Windows that could not be foretold because nothing had been caught before them.
    pub skipped: usize,
}

/// Foretells the rows from the 27th on, fortnight by fortnight, the latest sixty at most.
///
/// A window holds the rows less than 14 days after its first. Everything is refitted on the
/// rows before the window; within it form alone goes on day by day. No row, nor anything after
/// it, enters its own prediction.
pub fn walk_forward(rows: &[Row], layout: &Layout) -> Result<WalkForward, FitError> {
    let mut walk = WalkForward {
        days: rows.len(),
        ..WalkForward::default()
    };
    if rows.is_empty() {
        return Ok(walk);
    }
    match layout::check(rows) {
        Err(FitError::NothingCaught) | Ok(()) => {}
        Err(error) => return Err(error),
    }
    let windows = fortnights(rows);
    let latest = windows.len().saturating_sub(MOST_WINDOWS);
    for window in &windows[latest..] {
        match walk.step(rows, layout, window.clone()) {
            Err(FitError::NothingCaught) => walk.skipped += 1,
            other => other?,
        }
    }
    Ok(walk)
}

impl WalkForward {
    fn step(
        &mut self,
        rows: &[Row],
        layout: &Layout,
        window: Range<usize>,
    ) -> Result<(), FitError> {
        let fit = fit(&rows[..window.start], layout)?;
        let theta = fit.season.theta;
        let mut outlook = fit.outlook();
        let mut sums = Deviances::default();
        for row in &rows[window.clone()] {
            let told = outlook.expect(&row.ahead());
            sums.season += deviance(row.catch, told.season, theta);
            sums.season_and_form += deviance(row.catch, told.season_and_form, theta);
            sums.all += deviance(row.catch, told.catch, theta);
            self.foretold.push(Foretold {
                day: row.day,
                effort: row.effort,
                catch: row.catch,
                season: told.season,
                season_and_form: told.season_and_form,
                expected: told.catch,
            });
            outlook.learn(row);
        }
        self.windows.push(Window {
            first_day: rows[window.start].day,
            days: window.len(),
            theta,
            form: fit.form,
            weights: fit.weights,
            penalty: fit.regression.penalty,
            deviances: sums,
        });
        Ok(())
    }
}

/// Windows of rows less than 14 days after their first, from the 27th row on.
fn fortnights(rows: &[Row]) -> Vec<Range<usize>> {
    let mut windows = Vec::new();
    let mut start = FIRST_LEARNT;
    while start < rows.len() {
        let after = rows[start].day + WINDOW_DAYS;
        let length = rows[start..].partition_point(|row| row.day < after);
        windows.push(start..start + length);
        start += length;
    }
    windows
}
