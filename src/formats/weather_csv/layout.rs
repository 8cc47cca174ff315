//! The app's own layout of weather, written so that it reads back the same.

use crate::domain::dates::Day;
use crate::domain::weather::units::hundredths;
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

/// The heading of a venue's whole weather: the layout, then where a row comes from. Dates are
/// those on which each period began; the credits say what was added to the source's printed
/// dates to come to them.
pub const EXPORT: [&str; 15] = [
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
    "source",
    "day_ends_at",
    "min_credit_days",
    "max_credit_days",
    "rain_credit_days",
];

/// In the column `source`: the day as the venue's ranks and choices leave it.
pub const WHAT_STANDS: &str = "what stands";

/// Where a row of [`EXPORT`] comes from.
pub struct SourceCells {
    pub name: String,
    pub day_ends_at: String,
    /// Days added to the printed date for the low, the high and the rain.
    pub credits: [String; 3],
}

impl SourceCells {
    /// A row that is no source's own.
    pub fn named(name: &str) -> Self {
        Self {
            name: name.to_owned(),
            day_ends_at: String::new(),
            credits: Default::default(),
        }
    }
}

/// One day as a row of [`EXPORT`].
pub fn export_row(day: Day, weather: &DailyWeather, source: &SourceCells) -> Vec<String> {
    let mut row = layout_row(day, weather).to_vec();
    row.extend([source.name.clone(), source.day_ends_at.clone()]);
    row.extend(source.credits.clone());
    row
}

/// One day as a row of the app's own layout. Figures are written to the hundredth: read back over
/// the day they came from, they change nothing.
pub fn layout_row(day: Day, weather: &DailyWeather) -> [String; 10] {
    let figure = |value: Option<f64>| value.map(|v| hundredths(v).to_string()).unwrap_or_default();
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
