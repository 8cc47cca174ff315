//! Days of weather for tests: from the reference files, and made by hand.

use peglore::domain::{
    dates::Day,
    weather::{DailyWeather, WeatherDays},
};

use crate::tables::{number, rows};

pub use crate::support::days::day;

/// Seattle, 2012 to 2015 (vega-datasets; data NOAA, public domain). Its wind has no bearing.
pub fn seattle() -> WeatherDays {
    rows("seattle-weather.csv")
        .iter()
        .map(|row| {
            let weather = DailyWeather {
                min_c: number(row, "temp_min"),
                max_c: number(row, "temp_max"),
                rain_mm: number(row, "precipitation"),
                ..Default::default()
            };
            (day(&row["date"]), weather)
        })
        .collect()
}

/// Days running up to the eve of `session`, the last of `means` being that eve, each day 3 °C
/// either side of its mean.
pub fn with_means(session: Day, means: &[f64]) -> WeatherDays {
    let first = session.plus(-(means.len() as i64));
    means
        .iter()
        .enumerate()
        .map(|(place, mean)| {
            let weather = DailyWeather {
                min_c: Some(mean - 3.0),
                max_c: Some(mean + 3.0),
                ..Default::default()
            };
            (first.plus(place as i64), weather)
        })
        .collect()
}
