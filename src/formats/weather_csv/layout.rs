//! The app's own layout of weather, written so that it reads back the same.

use crate::domain::dates::Day;
use crate::domain::weather::{Cloud, DailyWeather, Ice, Snow, WindFrom};

/// The heading of the app's own layout.
pub const LAYOUT: [&str; 10] = [
    "date",
    "min_c",
    "max_c",
    "rain_mm",
    "wind_ms",
    "wind_from",
    "pressure_hpa",
    "cloud",
    "snow",
    "ice",
];

/// One day as a row of the app's own layout. Figures are written in full, so that they read
/// back the same.
pub fn layout_row(day: Day, weather: &DailyWeather) -> [String; 10] {
    let figure = |value: Option<f64>| value.map(|v| v.to_string()).unwrap_or_default();
    let wind_from = match weather.wind_from {
        Some(WindFrom::Degrees(degrees)) => figure(Some(degrees)),
        Some(from) => from.to_string(),
        None => String::new(),
    };
    [
        day.to_string(),
        figure(weather.min_c),
        figure(weather.max_c),
        if weather.rain_trace {
            "trace".to_owned()
        } else {
            figure(weather.rain_mm)
        },
        figure(weather.wind_ms),
        wind_from,
        figure(weather.pressure_hpa),
        weather.cloud.map_or("", Cloud::slug).to_owned(),
        weather.snow.map_or("", Snow::slug).to_owned(),
        weather.ice.map_or("", Ice::slug).to_owned(),
    ]
}
