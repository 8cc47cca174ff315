//! To which date each figure of a source counts: the one on which its period began.

use crate::domain::dates::Day;
use crate::domain::weather::{DailyWeather, WeatherDays};

/// Days by which a source's printed date differs from the date on which each period began.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Shifts {
    pub min: i64,
    pub max: i64,
    pub rain: i64,
}

/// Credits each element to the date on which its period began, given the printed dates.
/// Rain read at nine in the morning, for one, belongs to the day before (WMO climatological
/// day as used in the United Kingdom; Observers' Handbook, from memory).
pub fn credit<'a>(
    days: impl IntoIterator<Item = (Day, &'a DailyWeather)>,
    shifts: Shifts,
) -> WeatherDays {
    let mut credited = WeatherDays::new();
    for (printed, weather) in days {
        let mut on = |shift: i64, put: &dyn Fn(&mut DailyWeather)| {
            put(credited.entry(printed.plus(shift)).or_default())
        };
        if weather.min_c.is_some() {
            on(shifts.min, &|day| day.min_c = weather.min_c);
        }
        if weather.max_c.is_some() {
            on(shifts.max, &|day| day.max_c = weather.max_c);
        }
        if weather.rain_mm.is_some() || weather.rain_trace {
            on(shifts.rain, &|day| {
                (day.rain_mm, day.rain_trace) = (weather.rain_mm, weather.rain_trace)
            });
        }
        let rest = DailyWeather {
            min_c: None,
            max_c: None,
            rain_mm: None,
            rain_trace: false,
            ..*weather
        };
        if !rest.is_empty() {
            on(0, &|day| {
                *day = DailyWeather {
                    min_c: day.min_c,
                    max_c: day.max_c,
                    rain_mm: day.rain_mm,
                    rain_trace: day.rain_trace,
                    ..rest
                }
            });
        }
    }
    credited
}
