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

/// Degrees from the middle of the days beside it, or from its season's mean, above which a low or
/// a high is asked about: a mild or a cold spell stays within.
const FAR_C: f64 = 15.0;
/// Degrees between a low and a high of one day above which they are asked about.
const FAR_APART_C: f64 = 30.0;
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
    let said = remark(element, typed, day, record, unit)?;
    Some(format!("{said} Mend it, or tick that it is right."))
}

/// What is far from usual in one element as typed for `day`, in a sentence.
pub fn remark(
    element: Element,
    typed: &DailyWeather,
    day: Day,
    record: &WeatherDays,
    unit: SpeedUnit,
) -> Option<String> {
    Some(match element {
        Element::Min => far_off(typed.min_c?, "lows", day, record, |day| day.min_c)?,
        Element::Max => far_off(typed.max_c?, "highs", day, record, |day| day.max_c)
            .or_else(|| far_apart(typed))?,
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
    })
}

/// A low and a high of one day too far apart.
fn far_apart(typed: &DailyWeather) -> Option<String> {
    let (low, high) = typed.min_c.zip(typed.max_c)?;
    let unit = TemperatureUnit::Celsius;
    (high - low > FAR_APART_C).then(|| {
        format!(
            "{} is further above the low of {} than one day usually brings.",
            unit.held(high),
            unit.held(low)
        )
    })
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
    let beside = median(where_it(&|other: Day| {
        other.days_since(day).abs() <= BESIDE
    }));
    let season = where_it(&|other: Day| is_in_season(other, day));
    let season = (season.len() >= FEWEST_SEASON_DAYS)
        .then(|| season.iter().sum::<f64>() / season.len() as f64);
    let far = |usual: &f64| (celsius - usual).abs() > FAR_C;
    let unit = TemperatureUnit::Celsius;
    let shown = unit.held(celsius);
    if let Some(middle) = beside.filter(far) {
        return Some(format!(
            "{shown} is far from usual: the middle of the {what} of the days beside it is {}.",
            unit.held(middle)
        ));
    }
    if let Some(mean) = season.filter(far) {
        return Some(format!(
            "{shown} is far from usual: the {what} of this season here are {} on average.",
            unit.held(mean)
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

/// The middle value, or the mean of the two middle ones; `None` of none.
fn median(mut values: Vec<f64>) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    let last = values.len().checked_sub(1)?;
    Some((values[last / 2] + values[values.len() / 2]) / 2.0)
}
