//! The parts put together, in their order.

use super::{
    Fit, FitError, Layout, PastDay, Row,
    anomalies::Anomalies,
    form::Form,
    layout,
    likeness::{Past, Scratch},
    ridge::{self, Regression},
    season::Season,
    weights::Weights,
};
use crate::numerics::negative_binomial::Workspace;

/// Learns season, form and weather from the rows, all of them past.
///
/// Rows are fished days of one series in ascending order, effort above 0. Fails when there is
/// none, when nothing at all was caught, or when a fit does not settle.
///
/// Season, form and anomalies are fitted once on all rows, also for the inner folds.
pub fn fit(rows: &[Row], layout: &Layout) -> Result<Fit, FitError> {
    layout::check(rows)?;
    let mut work = Workspace::default();
    let season = Season::fit(rows, &mut work)?;
    let theta = season.theta;
    let by_season: Vec<f64> = rows
        .iter()
        .map(|row| season.expected(row.doy, row.effort))
        .collect();
    let form = Form::choose(rows, &by_season, theta);
    let by_form = form.apply(rows, &by_season, theta);
    let anomalies = Anomalies::fit(rows, layout);
    let past: Vec<PastDay> = (0..rows.len())
        .map(|i| PastDay {
            day: rows[i].day,
            day_of_year: rows[i].doy,
            effort: rows[i].effort,
            catch: rows[i].catch,
            season: by_season[i],
            season_and_form: by_form[i],
            anomalies: anomalies.of(rows[i].doy, &rows[i].features),
        })
        .collect();
    let (regression, weights) = weather(rows, layout, &past, &by_form, theta, &mut work)?;
    Ok(Fit {
        layout: *layout,
        season,
        form,
        anomalies,
        regression,
        weights,
        past,
    })
}

/// The two readings of the weather and how far each is believed.
fn weather(
    rows: &[Row],
    layout: &Layout,
    past: &[PastDay],
    mu: &[f64],
    theta: f64,
    work: &mut Workspace,
) -> Result<(Regression, Weights), FitError> {
    let mut x = Vec::with_capacity(rows.len() * layout.terms());
    for day in past {
        ridge::columns(layout, day.day_of_year, &day.anomalies, &mut x);
    }
    let (regression, by_regression) = ridge::fit(rows, mu, &x, theta, work)?;
    let days = laid_out(layout, theta, past);
    let mut scratch = Scratch::default();
    let mut by_like_days = Vec::with_capacity(rows.len());
    for fold in ridge::folds(rows.len()) {
        for day in &past[fold.clone()] {
            let evidence = days.evidence(&day.anomalies, &fold, &mut scratch);
            by_like_days.push(evidence.ln_multiplier);
        }
    }
    let weights = Weights::choose(rows, mu, &by_like_days, &by_regression, theta);
    Ok((regression, weights))
}

/// The past as the like days read it.
pub(super) fn laid_out(layout: &Layout, theta: f64, past: &[PastDay]) -> Past {
    let mut days = Past::new(layout, theta);
    for day in past {
        days.push(day.day, day.catch, day.season_and_form, &day.anomalies);
    }
    days
}
