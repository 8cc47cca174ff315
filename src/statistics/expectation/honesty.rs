//! The honesty line: would knowing the weather have told more than season and form?

use rand::Rng;
use serde::{Deserialize, Serialize};

use super::{WalkForward, Window, walk_forward::FIRST_LEARNT};
use crate::numerics::{quantiles, resample};

/// Fortnights without which no interval is given and nothing is claimed.
pub const FEWEST_WINDOWS: usize = 12;
/// Resamples behind the percentiles.
pub const RESAMPLES: usize = 9_999;

/// Share of the deviance that a way of foretelling takes off another's, with percentiles of
/// its bootstrap over fortnights. Negative is a legal answer: it did worse.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Skill {
    pub estimate: f64,
    /// 5th percentile.
    pub fifth: f64,
    /// 10th percentile, the one that decides a claim.
    pub tenth: f64,
    /// 95th percentile.
    pub ninety_fifth: f64,
}

/// What may be said first on the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Under 26 days, or under twelve fortnights foretold.
    TooFewDays,
    /// Knowing the weather would not have told more than season and form.
    WeatherToldNoMore,
    /// It would have.
    WeatherTold,
}

/// How well foretelling has done here.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Honesty {
    pub verdict: Verdict,
    /// Fished days given.
    pub days: usize,
    /// Fished days foretold.
    pub days_foretold: usize,
    /// Fortnights foretold.
    pub windows: usize,
    /// Weather over season and form; `None` under twelve fortnights.
    pub weather: Option<Skill>,
    /// Form over season; `None` under twelve fortnights.
    pub form: Option<Skill>,
}

impl WalkForward {
    /// `1 − ΣD(season, form, weather) / ΣD(season, form)` over all windows; `None` without any.
    pub fn weather_skill(&self) -> Option<f64> {
        pooled(&self.windows, weather)
    }

    /// `1 − ΣD(season, form) / ΣD(season)` over all windows; `None` without any.
    pub fn form_skill(&self) -> Option<f64> {
        pooled(&self.windows, form)
    }

    /// Percentiles of the weather's skill over resampled windows, however few they are.
    pub fn weather_bootstrap(&self, times: usize, generator: &mut impl Rng) -> Option<Skill> {
        bootstrap(&self.windows, weather, times, generator)
    }

    /// What may be claimed: skill only where its tenth percentile is above nought over at
    /// least twelve fortnights.
    pub fn honesty(&self, generator: &mut impl Rng) -> Honesty {
        let enough = self.days >= FIRST_LEARNT && self.windows.len() >= FEWEST_WINDOWS;
        let windows = if enough { self.windows.as_slice() } else { &[] };
        let by_weather = bootstrap(windows, weather, RESAMPLES, generator);
        let verdict = match by_weather {
            None => Verdict::TooFewDays,
            Some(skill) if skill.tenth > 0.0 => Verdict::WeatherTold,
            Some(_) => Verdict::WeatherToldNoMore,
        };
        Honesty {
            verdict,
            days: self.days,
            days_foretold: self.foretold.len(),
            windows: self.windows.len(),
            weather: by_weather,
            form: bootstrap(windows, form, RESAMPLES, generator),
        }
    }
}

/// Deviance with the weather, and without.
fn weather(window: &Window) -> (f64, f64) {
    (window.deviances.all, window.deviances.season_and_form)
}

/// Deviance with form, and without.
fn form(window: &Window) -> (f64, f64) {
    (window.deviances.season_and_form, window.deviances.season)
}

type Pair = fn(&Window) -> (f64, f64);

fn pooled(windows: &[Window], pair: Pair) -> Option<f64> {
    let (with, without) = windows
        .iter()
        .map(pair)
        .fold((0.0, 0.0), |s, w| (s.0 + w.0, s.1 + w.1));
    (without > 0.0).then(|| 1.0 - with / without)
}

fn bootstrap(
    windows: &[Window],
    pair: Pair,
    times: usize,
    generator: &mut impl Rng,
) -> Option<Skill> {
    let estimate = pooled(windows, pair)?;
    let pairs: Vec<(f64, f64)> = windows.iter().map(pair).collect();
    let skills = resample::bootstrap(pairs.len(), times, generator, |drawn| {
        let (with, without) = drawn
            .iter()
            .zip(&pairs)
            .fold((0.0, 0.0), |sum, (times, pair)| {
                (
                    sum.0 + f64::from(*times) * pair.0,
                    sum.1 + f64::from(*times) * pair.1,
                )
            });
        1.0 - with / without
    });
    Some(Skill {
        estimate,
        fifth: quantiles::interpolated(&skills, 0.05)?,
        tenth: quantiles::interpolated(&skills, 0.10)?,
        ninety_fifth: quantiles::interpolated(&skills, 0.95)?,
    })
}
