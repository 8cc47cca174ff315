//! Water temperature on a day: as measured, or estimated from the air of the days before and
//! the venue's own readings. A thermometer is always preferred.

use serde::{Deserialize, Serialize};

use crate::domain::{dates::Day, weather::WeatherDays};

/// Lags tried, days: a shallow pond follows the air in two or three, a deep lake in ten or more.
const LAGS_DAYS: [f64; 7] = [1.0, 2.0, 3.0, 5.0, 8.0, 12.0, 20.0];
/// How long before a day its smoothing starts, days.
const STARTED_BEFORE: i64 = 60;
/// Fewest readings from which an estimate is made.
const FEWEST_READINGS: usize = 8;

/// One thermometer reading in the water.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct WaterReading {
    /// Local date on which it was read.
    pub day: Day,
    /// °C.
    pub temp_c: f64,
}

/// The water's temperature on a day, and where the figure comes from.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum WaterTemperature {
    /// Read on the day; the mean where it was read more than once.
    Measured { temp_c: f64, readings: usize },
    Estimated {
        temp_c: f64,
        /// Mean absolute error, °C, of each reading foretold from the others.
        error_c: f64,
        /// Days with readings behind it.
        readings: usize,
        /// The lag chosen, days.
        lag_days: f64,
    },
}

impl WaterTemperature {
    /// °C.
    pub fn temp_c(&self) -> f64 {
        match self {
            Self::Measured { temp_c, .. } | Self::Estimated { temp_c, .. } => *temp_c,
        }
    }

    /// `6.4 °C, measured`; `about 6.4 °C, estimated from the air and the readings of 14 days, off by 0.8 °C on average`.
    pub fn words(&self) -> String {
        match self {
            Self::Measured { temp_c, .. } => format!("{temp_c:.1}\u{a0}°C, measured"),
            Self::Estimated {
                temp_c,
                error_c,
                readings,
                ..
            } => format!(
                "about {temp_c:.1}\u{a0}°C, estimated from the air and the readings of {readings} days, off by {error_c:.1}\u{a0}°C on average"
            ),
        }
    }

    /// The same, and beside an estimate what the thermometer last said before `session`:
    /// `…; last read 5.0 °C, on Wed 11 Nov 2026`.
    pub fn words_beside(&self, session: Day, readings: &[WaterReading]) -> String {
        let said = self.words();
        match (self, by_day(readings, session).last()) {
            (Self::Estimated { .. }, Some(last)) => format!(
                "{said}; last read {:.1}\u{a0}°C, on {}",
                last.temp_c,
                last.day.short()
            ),
            _ => said,
        }
    }
}

/// Water temperature on the day before `session`: measured if it was read that day, else
/// estimated, else `None`. Nothing dated `session` or later is looked at.
pub fn before(
    session: Day,
    weather: &WeatherDays,
    readings: &[WaterReading],
) -> Option<WaterTemperature> {
    let eve = session.plus(-1);
    let known = by_day(readings, session);
    if let Some(read) = known.iter().find(|read| read.day == eve) {
        let readings = readings.iter().filter(|r| r.day == eve).count();
        return Some(WaterTemperature::Measured {
            temp_c: read.temp_c,
            readings,
        });
    }
    let fit = WaterFit::of(weather, &known)?;
    Some(WaterTemperature::Estimated {
        temp_c: fit.at(smoothed(weather, eve, fit.lag_days)?),
        error_c: fit.error_c,
        readings: fit.readings,
        lag_days: fit.lag_days,
    })
}

/// One reading a day (the mean of the day's), before `session`, earliest first. Several readings
/// of one day would foretell one another and make the error look small.
fn by_day(readings: &[WaterReading], session: Day) -> Vec<WaterReading> {
    let mut days = std::collections::BTreeMap::<Day, (f64, f64)>::new();
    for reading in readings.iter().filter(|reading| reading.day < session) {
        let (sum, count) = days.entry(reading.day).or_default();
        *sum += reading.temp_c;
        *count += 1.0;
    }
    days.into_iter()
        .map(|(day, (sum, count))| WaterReading {
            day,
            temp_c: sum / count,
        })
        .collect()
}

/// Exponential smoothing `S` of the daily mean air temperature, through `day` itself, °C.
///
/// `S(i) = S(i−1) + k·(A(i) − S(i−1))`, `k = 1 − e^(−1/τ)`, τ = `lag_days`; started 60 days
/// before `day` at the first mean known; a missing day leaves `S` as it was. `None` when over a
/// third of the days are missing, as for every other feature of the days before.
///
/// Source: first-order heat exchange; the choice of τ is common practice, no source.
pub fn smoothed(weather: &WeatherDays, day: Day, lag_days: f64) -> Option<f64> {
    let share = 1.0 - (-1.0 / lag_days).exp();
    let (mut smooth, mut known) = (None, 0);
    for (_, today) in weather.range(day.plus(-STARTED_BEFORE)..=day) {
        let Some(mean) = today.mean_c() else { continue };
        known += 1;
        smooth = Some(smooth.map_or(mean, |s: f64| s + share * (mean - s)));
    }
    let missing = STARTED_BEFORE + 1 - known;
    smooth.filter(|_| 3 * missing <= STARTED_BEFORE + 1)
}

/// Level and slope of the venue's readings on the smoothed air.
#[derive(Clone, Copy, Debug, PartialEq)]
struct WaterFit {
    lag_days: f64,
    /// °C of water at 0 °C of smoothed air.
    level: f64,
    /// °C of water per °C of smoothed air.
    slope: f64,
    /// Mean absolute leave-one-out error, °C.
    error_c: f64,
    readings: usize,
}

impl WaterFit {
    /// The fit whose lag foretells each reading best from the others (least sum of squares; on a
    /// tie the shorter lag). `None` under eight usable readings, or when the air never varied.
    fn of(weather: &WeatherDays, readings: &[WaterReading]) -> Option<Self> {
        let mut best: Option<(f64, Self)> = None;
        for lag_days in LAGS_DAYS {
            let points: Vec<_> = readings
                .iter()
                .filter_map(|read| Some((smoothed(weather, read.day, lag_days)?, read.temp_c)))
                .collect();
            let Some((squares, fit)) = Self::with_lag(lag_days, &points) else {
                continue;
            };
            if best.as_ref().is_none_or(|(least, _)| squares < *least) {
                best = Some((squares, fit));
            }
        }
        best.map(|(_, fit)| fit)
    }

    /// Least squares of water on smoothed air, with the sum of squared leave-one-out errors.
    /// The prediction without reading i is `y − e/(1 − h)`, `h` its leverage.
    fn with_lag(lag_days: f64, points: &[(f64, f64)]) -> Option<(f64, Self)> {
        if points.len() < FEWEST_READINGS {
            return None;
        }
        let n = points.len() as f64;
        let mean_x = points.iter().map(|(x, _)| x).sum::<f64>() / n;
        let mean_y = points.iter().map(|(_, y)| y).sum::<f64>() / n;
        let spread: f64 = points.iter().map(|(x, _)| (x - mean_x).powi(2)).sum();
        if spread <= 1e-9 * n {
            return None;
        }
        let slope = points
            .iter()
            .map(|(x, y)| (x - mean_x) * (y - mean_y))
            .sum::<f64>()
            / spread;
        let mut fit = Self {
            lag_days,
            level: mean_y - slope * mean_x,
            slope,
            error_c: 0.0,
            readings: points.len(),
        };
        let mut squares = 0.0;
        for (x, y) in points {
            let residual = y - fit.level - slope * x;
            let leverage = 1.0 / n + (x - mean_x).powi(2) / spread;
            let error = y - (y - residual / (1.0 - leverage)).max(0.0);
            squares += error * error;
            fit.error_c += error.abs() / n;
        }
        // Were one reading alone to fix the slope, leaving it out would leave none.
        squares.is_finite().then_some((squares, fit))
    }

    /// Water, °C, at this smoothed air; never below freezing.
    fn at(&self, smooth: f64) -> f64 {
        (self.level + self.slope * smooth).max(0.0)
    }
}
