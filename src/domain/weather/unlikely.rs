//! Figures of a day so far from usual that whoever typed them is asked once more.
//!
//! A low or a high is held against the days on record beside it and against its season here; rain,
//! wind and pressure against what a day hardly ever has. All bounds: common practice, no source.

use std::ops::RangeInclusive;

use super::{
    DailyWeather, WeatherDays,
    sources::Element,
    units::{PressureUnit, RainUnit, SpeedUnit, TemperatureUnit},
};
use crate::domain::dates::Day;

/// Degrees outside the lows or the highs of other days from which one is asked about.
const FAR_C: f64 = 20.0;
/// A low or a high that nothing on record can be held against, °C.
const ANYWHERE_C: RangeInclusive<f64> = -30.0..=45.0;
/// Rain of a day, mm.
const MUCH_RAIN_MM: f64 = 100.0;
/// Mean wind of a day, m/s.
const STRONG_WIND_MS: f64 = 25.0;
/// Pressure at sea level, hPa.
const PRESSURE_HPA: RangeInclusive<f64> = 940.0..=1055.0;
/// Days either side that are beside a day.
const BESIDE: i64 = 5;
/// Days either side of the date that count as its season in other years.
const SEASON_HALF_WIDTH: i64 = 15;
/// Fewest days that tell what is usual in a season.
const FEWEST_SEASON_DAYS: usize = 20;

/// What is asked of one element as typed for `day`, before it is saved; `None` where nothing is.
/// `unit` is the reader's for wind.
pub fn question(
    element: Element,
    typed: &DailyWeather,
    day: Day,
    record: &WeatherDays,
    unit: SpeedUnit,
) -> Option<String> {
    let asks = match element {
        Element::Min => far_off(typed.min_c?, "lows", day, record, |day| day.min_c)?,
        Element::Max => far_off(typed.max_c?, "highs", day, record, |day| day.max_c)?,
        Element::Rain => {
            let mm = typed.rain_mm.filter(|mm| *mm >= MUCH_RAIN_MM)?;
            let shown = RainUnit::Millimetres.held(mm);
            format!("{shown} is far more rain than one day usually brings.")
        }
        Element::Wind => {
            let speed = typed.wind_ms.filter(|speed| *speed > STRONG_WIND_MS)?;
            let shown = unit.held(speed);
            format!("{shown} is far from usual as the mean of a whole day; a gust is not meant.")
        }
        Element::Pressure => {
            let hpa = typed
                .pressure_hpa
                .filter(|hpa| !PRESSURE_HPA.contains(hpa))?;
            let shown = PressureUnit::Hectopascals.held(hpa);
            format!("{shown} is far from usual at sea level.")
        }
        Element::Cloud | Element::Snow | Element::Ice => return None,
    };
    Some(format!("{asks} Mend it, or tick that it is right."))
}

fn far_off(
    celsius: f64,
    what: &str,
    day: Day,
    record: &WeatherDays,
    of: impl Fn(&DailyWeather) -> Option<f64>,
) -> Option<String> {
    let others: Vec<(Day, f64)> = record
        .iter()
        .filter(|(other, _)| **other != day)
        .filter_map(|(other, weather)| Some((*other, of(weather)?)))
        .collect();
    let where_it = |is: &dyn Fn(Day) -> bool| -> Vec<f64> {
        let kept = others.iter().filter(|(other, _)| is(*other));
        kept.map(|(_, celsius)| *celsius).collect()
    };
    let beside = range(&where_it(&|other: Day| {
        other.days_since(day).abs() <= BESIDE
    }));
    let season = where_it(&|other: Day| is_in_season(other, day));
    let season = range(&season).filter(|_| season.len() >= FEWEST_SEASON_DAYS);
    let far = |(low, high): &(f64, f64)| celsius < low - FAR_C || celsius > high + FAR_C;
    let unit = TemperatureUnit::Celsius;
    let shown = unit.held(celsius);
    let from_to = |(low, high): (f64, f64)| format!("{} to {}", unit.held(low), unit.held(high));
    if let Some(found) = beside.filter(far) {
        return Some(format!(
            "{shown} is far from usual: the {what} of the days beside it are {}.",
            from_to(found)
        ));
    }
    if let Some(found) = season.filter(far) {
        return Some(format!(
            "{shown} is far from usual: the {what} of this season here have been {}.",
            from_to(found)
        ));
    }
    let alone = beside.is_none() && season.is_none();
    (alone && !ANYWHERE_C.contains(&celsius)).then(|| format!("{shown} is far from usual."))
}

/// Whether `other` lies within the season of `day` in another year.
fn is_in_season(other: Day, day: Day) -> bool {
    let apart = i64::from(other.day_of_year() - day.day_of_year()).rem_euclid(365);
    other.days_since(day).abs() > 180 && apart.min(365 - apart) <= SEASON_HALF_WIDTH
}

/// The lowest and the highest; `None` of none.
fn range(values: &[f64]) -> Option<(f64, f64)> {
    let low = values.iter().copied().reduce(f64::min)?;
    let high = values.iter().copied().reduce(f64::max)?;
    Some((low, high))
}
