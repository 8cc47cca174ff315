//! Weather of a made-up place, a day at a time: a season, an anomaly that remembers the day
//! before, rain in spells, pressure that falls before rain, wind that follows the pressure.

use rand::{RngExt, rngs::ChaCha8Rng};

use super::normal;
use crate::domain::dates::Day;

/// One day. Wind in m/s and degrees, pressure in hPa. A gap is a day nobody wrote down.
#[derive(Clone, Debug)]
pub struct DemoWeather {
    pub day: Day,
    pub min_c: f64,
    pub max_c: f64,
    pub rain_mm: f64,
    pub wind_ms: f64,
    pub wind_from_deg: f64,
    pub pressure_hpa: f64,
    /// Degrees of the daily mean above its season.
    pub anomaly_c: f64,
    pub ice: bool,
    pub gap: bool,
}

/// The mean air temperature of the season, °C.
fn season_c(day: Day) -> f64 {
    9.8 - 6.4 * (std::f64::consts::TAU * (f64::from(day.day_of_year()) - 20.0) / 365.25).cos()
}

/// Days from `first` up to the day before `today`.
pub fn days(first: Day, today: Day, rng: &mut ChaCha8Rng) -> Vec<DemoWeather> {
    let (mut anomaly, mut pressure, mut bearing, mut wet) = (0.0, 0.0, 225.0, false);
    (0..today.days_since(first))
        .map(|ahead| {
            let day = first.plus(ahead);
            anomaly = 0.8 * anomaly + 1.75 * normal(rng);
            wet = rng.random::<f64>() < if wet { 0.62 } else { 0.28 };
            pressure = 0.75 * pressure + 6.0 * normal(rng) - if wet { 2.5 } else { -1.5 };
            bearing = (bearing + 45.0 * normal(rng) + 0.1 * (225.0 - bearing)).rem_euclid(360.0);
            let rain = if wet {
                -4.2 * (1.0 - rng.random::<f64>()).ln()
            } else {
                0.0
            };
            let mean = season_c(day) + anomaly;
            let half_range = (if wet { 2.6 } else { 4.2 }) + 0.6 * rng.random::<f64>();
            DemoWeather {
                day,
                min_c: tenth(mean - half_range),
                max_c: tenth(mean + half_range),
                rain_mm: tenth(rain),
                wind_ms: tenth((4.0 - 0.08 * pressure + 1.6 * normal(rng)).clamp(0.2, 20.0)),
                wind_from_deg: bearing.floor(),
                pressure_hpa: tenth(1013.5 + pressure),
                anomaly_c: anomaly,
                ice: mean < -0.5,
                gap: rng.random::<f64>() < 0.01,
            }
        })
        .collect()
}

/// A thermometer dipped about every ninth day: smoothed air and a little error.
pub fn readings(weather: &[DemoWeather], rng: &mut ChaCha8Rng) -> Vec<(Day, f64)> {
    let mut water = weather.first().map_or(8.0, |w| (w.min_c + w.max_c) / 2.0);
    let pull = 1.0 - (-1.0_f64 / 5.0).exp();
    let mut list = Vec::new();
    for w in weather {
        water += pull * ((w.min_c + w.max_c) / 2.0 - water);
        if rng.random::<f64>() < 0.11 {
            list.push((w.day, tenth((water + 0.4 + 0.4 * normal(rng)).max(0.5))));
        }
    }
    list
}

fn tenth(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}
