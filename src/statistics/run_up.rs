//! The run-up: features of the whole days before a session, and of its season.
//!
//! Windows are days before the session date, D−7 to D−1. A feature is absent when over a third
//! of its days are missing; sums and counts over the days present are scaled to the window.
//! Nothing whose period began on the session date enters, nor a water reading taken on it: only
//! last night's minimum, kept apart and only where it fell before the start.

use std::f64::consts::TAU;

use serde::{Deserialize, Serialize};

use super::{
    daylight,
    water_temperature::{self, WaterReading, WaterTemperature},
};
use crate::{
    domain::{
        cautions::Around,
        customs::Conditions,
        dates::Day,
        weather::{DailyWeather, WeatherDays},
    },
    numerics::{circular, robust},
};

/// Below this steadiness a wind has no bearing worth naming: it is "variable".
pub const VARIABLE_BELOW: f64 = 0.2;
/// How far back ice is looked for, days.
const ICE_WINDOW: i64 = 14;
/// Names of [`RunUp::features`], in order, each with its unit or scale.
pub const FEATURE_NAMES: [&str; 8] = [
    "mean temperature over 3 days (°C)",
    "change of the daily mean over 7 days (°C a day)",
    "frost nights in 7",
    "ln(1 + rain mm) over 3 days",
    "westerly wind over 3 days (m/s)",
    "southerly wind over 3 days (m/s)",
    "pressure of the day before (hPa)",
    "change of pressure over 3 days (hPa)",
];

/// What a run-up is worked out from.
#[derive(Clone, Copy, Debug)]
pub struct Surroundings<'a> {
    /// The venue's observed days.
    pub weather: &'a WeatherDays,
    /// The venue's water readings; empty where none are wanted.
    pub water: &'a [WaterReading],
    /// Degrees, north positive.
    pub latitude: Option<f64>,
    /// Whether the night's minimum came before the session began (by custom: it began after
    /// sunrise).
    pub night_is_over: bool,
}

impl<'a> Surroundings<'a> {
    /// The weather alone, for a session that begins after sunrise.
    pub fn weather_only(weather: &'a WeatherDays) -> Self {
        Self {
            weather,
            water: &[],
            latitude: None,
            night_is_over: true,
        }
    }
}

/// The features of the days before one session date.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct RunUp {
    /// The session date, D.
    pub day: Day,
    /// Mean air temperature of D−1, °C.
    pub mean_1d_c: Option<f64>,
    /// Mean air temperature over D−3 to D−1, °C.
    pub mean_3d_c: Option<f64>,
    /// Mean air temperature over D−7 to D−1, °C.
    pub mean_7d_c: Option<f64>,
    /// Change of the daily mean over D−7 to D−1, °C a day (Theil–Sen slope).
    pub change_c_per_day: Option<f64>,
    /// Nights of D−7 to D−1 with a minimum below 0 °C, scaled to seven.
    pub frost_nights: Option<f64>,
    /// Last night's minimum (that of D), °C, where it fell before the start.
    pub last_night_min_c: Option<f64>,
    /// Days since ice was last seen on the water, edges included: 1 is yesterday; absent when
    /// none was seen within 14 days.
    pub days_since_ice: Option<i64>,
    /// Of those 14 days, how many say whether there was ice.
    pub ice_days_known: usize,
    /// Rain of D−1, mm.
    pub rain_1d_mm: Option<f64>,
    /// Rain of D−3 to D−1, mm.
    pub rain_3d_mm: Option<f64>,
    /// Rain of D−7 to D−1, mm.
    pub rain_7d_mm: Option<f64>,
    /// Wind of D−3 to D−1.
    pub wind: Option<WindRunUp>,
    /// Pressure of D−1, hPa.
    pub pressure_hpa: Option<f64>,
    /// Pressure of D−1 less that of D−2, hPa.
    pub pressure_change_1d_hpa: Option<f64>,
    /// Pressure of D−1 less that of D−4, hPa.
    pub pressure_change_3d_hpa: Option<f64>,
    /// Water temperature of D−1.
    pub water: Option<WaterTemperature>,
    /// From sunrise to sunset on D, hours.
    pub day_length_h: Option<f64>,
    /// `sin(2π·day of year/365.25)` of D.
    pub season_sine: f64,
    /// `cos(2π·day of year/365.25)` of D.
    pub season_cosine: f64,
}

/// Vector-mean wind of the three days before.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct WindRunUp {
    /// Length of the mean vector, m/s.
    pub speed_ms: f64,
    /// Plain mean of the daily speeds, m/s.
    pub scalar_speed_ms: f64,
    /// `speed_ms / scalar_speed_ms`; absent when all was calm.
    pub steadiness: Option<f64>,
    /// Speed-weighted bearing it came from, degrees; absent when steadiness is under 0.2.
    pub from_deg: Option<f64>,
    /// Flow towards the east, m/s: a west wind is positive.
    pub westerly_ms: f64,
    /// Flow towards the north, m/s: a south wind is positive.
    pub southerly_ms: f64,
}

impl RunUp {
    /// The run-up to `day`. Anything dated `day` or later, last night's minimum apart, is
    /// never read.
    pub fn of(day: Day, from: &Surroundings<'_>) -> Self {
        let before = Before {
            weather: from.weather,
            day,
        };
        let (days_since_ice, ice_days_known) = before.ice();
        let (pressure_hpa, angle) = (before.pressure(1), season_angle(day));
        let less = |days| Some(pressure_hpa? - before.pressure(days)?);
        Self {
            day,
            mean_1d_c: before.mean(1, DailyWeather::mean_c),
            mean_3d_c: before.mean(3, DailyWeather::mean_c),
            mean_7d_c: before.mean(7, DailyWeather::mean_c),
            change_c_per_day: before.change(),
            frost_nights: before.sum(7, |today| today.frost().map(|f| f64::from(u8::from(f)))),
            last_night_min_c: from
                .weather
                .get(&day)
                .filter(|_| from.night_is_over)
                .and_then(|today| today.min_c),
            days_since_ice,
            ice_days_known,
            rain_1d_mm: before.sum(1, DailyWeather::rain),
            rain_3d_mm: before.sum(3, DailyWeather::rain),
            rain_7d_mm: before.sum(7, DailyWeather::rain),
            wind: before.wind(3),
            pressure_hpa,
            pressure_change_1d_hpa: less(2),
            pressure_change_3d_hpa: less(4),
            water: water_temperature::before(day, from.weather, from.water),
            day_length_h: from
                .latitude
                .map(|latitude| daylight::day_length_min(day, latitude) / 60.0),
            season_sine: angle.sin(),
            season_cosine: angle.cos(),
        }
    }

    /// The eight features that expectations are made from, in the order of [`FEATURE_NAMES`];
    /// rain as `ln(1 + mm)`.
    pub fn features(&self) -> [Option<f64>; 8] {
        [
            self.mean_3d_c,
            self.change_c_per_day,
            self.frost_nights,
            self.rain_3d_mm.map(f64::ln_1p),
            self.wind.map(|wind| wind.westerly_ms),
            self.wind.map(|wind| wind.southerly_ms),
            self.pressure_hpa,
            self.pressure_change_3d_hpa,
        ]
    }

    /// What the customs of how boldly to begin ask of the days before; `usual` as from
    /// [`usual_temperature`].
    pub fn conditions(&self, usual: Option<Usual>) -> Conditions {
        Conditions {
            days_since_ice: self.days_since_ice,
            ice_days_known: self.ice_days_known,
            frost_nights: self.frost_nights,
            change_c_per_day: self.change_c_per_day,
            rain_3d_mm: self.rain_3d_mm,
            mean_3d_c: self.mean_3d_c,
            season_mean_c: usual.map(|usual| usual.mean_c),
            wind_from_deg: self.wind.and_then(|wind| wind.from_deg),
            wind_steadiness: self.wind.and_then(|wind| wind.steadiness),
        }
    }

    /// What the cautions ask of the day and the days before.
    pub fn around(&self) -> Around {
        Around {
            day: self.day,
            days_since_ice: self.days_since_ice,
            frost_nights: self.frost_nights,
            last_night_min_c: self.last_night_min_c,
            mean_3d_c: self.mean_3d_c,
            mean_7d_c: self.mean_7d_c,
            water_c: self.water.map(|water| water.temp_c()),
            rain_1d_mm: self.rain_1d_mm,
            rain_3d_mm: self.rain_3d_mm,
            rain_7d_mm: self.rain_7d_mm,
        }
    }
}

/// `2π·day of year/365.25`.
pub fn season_angle(day: Day) -> f64 {
    TAU * f64::from(day.day_of_year()) / 365.25
}

/// The temperature usual for the season at a venue.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Usual {
    /// °C.
    pub mean_c: f64,
    /// Days behind it.
    pub days: usize,
}

/// Days either side of the date that count as its season.
const SEASON_HALF_WIDTH: i64 = 15;
/// Fewest days from which a season's temperature is taken.
const FEWEST_SEASON_DAYS: usize = 20;
/// Years looked back.
const YEARS_BACK: i16 = 40;

/// The mean daily temperature within 15 days of the date in earlier years, from the venue's own
/// weather; `None` under 20 such days. A plain mean, so that it can be checked by hand.
pub fn usual_temperature(weather: &WeatherDays, day: Day) -> Option<Usual> {
    let (month, date) = (day.0.month(), day.0.day());
    let (mut sum, mut days) = (0.0, 0_usize);
    for year in (day.year() - YEARS_BACK)..day.year() {
        // 29 February stands on the 28th in other years.
        let Some(centre) = Day::new(year, month, date).or_else(|| Day::new(year, month, 28)) else {
            continue;
        };
        let season = centre.plus(-SEASON_HALF_WIDTH)..=centre.plus(SEASON_HALF_WIDTH);
        for mean in weather.range(season).filter_map(|(_, d)| d.mean_c()) {
            sum += mean;
            days += 1;
        }
    }
    (days >= FEWEST_SEASON_DAYS).then(|| Usual {
        mean_c: sum / days as f64,
        days,
    })
}

/// The days before one date.
struct Before<'a> {
    weather: &'a WeatherDays,
    day: Day,
}

impl Before<'_> {
    /// The values of D−`days` to D−1 with their place in the window (D−1 is −1); `None` when
    /// over a third of the days are missing.
    fn window<T>(
        &self,
        days: i64,
        element: impl Fn(&DailyWeather) -> Option<T>,
    ) -> Option<Vec<(f64, T)>> {
        let range = self.day.plus(-days)..self.day;
        let present: Vec<_> = self
            .weather
            .range(range)
            .filter_map(|(day, today)| Some((day.days_since(self.day) as f64, element(today)?)))
            .collect();
        let missing = days - present.len() as i64;
        (3 * missing <= days).then_some(present)
    }

    fn mean(&self, days: i64, element: impl Fn(&DailyWeather) -> Option<f64>) -> Option<f64> {
        let values = self.window(days, element)?;
        Some(values.iter().map(|(_, value)| value).sum::<f64>() / values.len() as f64)
    }

    /// The sum over the days present, scaled to the window.
    fn sum(&self, days: i64, element: impl Fn(&DailyWeather) -> Option<f64>) -> Option<f64> {
        let values = self.window(days, element)?;
        // Multiplied before it is divided, so that a full window gives the plain sum.
        let sum: f64 = values.iter().map(|(_, value)| value).sum();
        Some(sum * days as f64 / values.len() as f64)
    }

    fn change(&self) -> Option<f64> {
        let means = self.window(7, DailyWeather::mean_c)?;
        robust::theil_sen(&means).map(|line| line.slope)
    }

    fn pressure(&self, days_ago: i64) -> Option<f64> {
        self.weather.get(&self.day.plus(-days_ago))?.pressure_hpa
    }

    /// Days since ice, and how many days say.
    fn ice(&self) -> (Option<i64>, usize) {
        let range = self.day.plus(-ICE_WINDOW)..self.day;
        let said: Vec<_> = self
            .weather
            .range(range)
            .filter_map(|(day, today)| Some((self.day.days_since(*day), today.ice?)))
            .collect();
        let last = said
            .iter()
            .filter(|(_, ice)| ice.any())
            .map(|(ago, _)| *ago);
        (last.min(), said.len())
    }

    fn wind(&self, days: i64) -> Option<WindRunUp> {
        let winds: Vec<_> = self
            .window(days, DailyWeather::wind)?
            .into_iter()
            .map(|(_, wind)| (wind.from, wind.speed_ms))
            .collect();
        let mean = circular::vector_mean(&winds)?;
        let steady = mean.steadiness.is_some_and(|s| s >= VARIABLE_BELOW);
        Some(WindRunUp {
            speed_ms: mean.speed,
            scalar_speed_ms: mean.scalar_speed,
            steadiness: mean.steadiness,
            from_deg: mean.from_degrees.filter(|_| steady),
            westerly_ms: mean.eastward,
            southerly_ms: mean.northward,
        })
    }
}
