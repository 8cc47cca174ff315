//! What a file of days would change in what its source says, before anything is changed.
//!
//! A file only adds and corrects: where it is silent, what the source said before stays.

use std::collections::BTreeMap;

use super::{DailyWeather, WeatherDays, WindFrom, sources::Element, typed, units::hundredths};
use crate::domain::dates::Day;

/// One day of a file, and what saving it would do.
#[derive(Clone, Debug, PartialEq)]
pub struct Planned {
    pub day: Day,
    /// What the source says afterwards.
    pub after: DailyWeather,
    pub change: Change,
}

/// What becomes of a day.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// The source said nothing of it before.
    New,
    /// It is in the record already, just so.
    Same,
    /// It adds to, or differs from, what the source said.
    Corrected { before: DailyWeather },
    /// It cannot be kept; the sentence says why.
    Refused(String),
}

impl Planned {
    /// Is there anything to write?
    pub fn writes(&self) -> bool {
        matches!(self.change, Change::New | Change::Corrected { .. })
    }
}

/// Plans every day of `file` (already credited to the dates its periods began on) against what
/// the source said `before`. Days after `today` are refused: a forecast is no observation.
pub fn plan(file: &WeatherDays, before: &WeatherDays, today: Day) -> Vec<Planned> {
    file.iter()
        .map(|(day, weather)| one(*day, weather, before, today))
        .collect()
}

/// The same for days written by hand: a file of them fills gaps and overwrites nothing. A day of
/// which it says otherwise is refused whole, and told.
pub fn beside_the_written(planned: Vec<Planned>) -> Vec<Planned> {
    planned.into_iter().map(the_written_stands).collect()
}

fn the_written_stands(planned: Planned) -> Planned {
    let Change::Corrected { before } = planned.change else {
        return planned;
    };
    let (day, kept) = (planned.day, over(&planned.after, &before));
    let otherwise = differing(&kept, &planned.after);
    let change = if !otherwise.is_empty() {
        let labels: Vec<&str> = otherwise.into_iter().map(Element::label).collect();
        Change::Refused(format!(
            "{}: what is written by hand says otherwise of the {}, and stands. If the file is right, change the day by hand.",
            day.short(),
            labels.join(" and the ")
        ))
    } else if kept == before {
        Change::Same
    } else {
        Change::Corrected { before }
    };
    Planned {
        day,
        after: kept,
        change,
    }
}

fn one(day: Day, weather: &DailyWeather, before: &WeatherDays, today: Day) -> Planned {
    let known = before.get(&day).map(plain).unwrap_or_default();
    let after = over(&known, &plain(weather));
    let change = if day > today {
        Change::Refused(format!(
            "{} is still to come. The record keeps what was observed, no forecasts: bring the file in again once it is past.",
            day.short()
        ))
    } else if let Err(problem) = typed::low_and_high(after.min_c, after.max_c) {
        Change::Refused(format!("{}: {problem}", day.short()))
    } else if known.is_empty() {
        Change::New
    } else if after == known {
        Change::Same
    } else {
        Change::Corrected { before: known }
    };
    Planned { day, after, change }
}

/// A trace is written with or without its nought; both are the same.
fn plain(weather: &DailyWeather) -> DailyWeather {
    DailyWeather {
        rain_mm: weather.rain(),
        ..*weather
    }
}

/// A figure of a file over what was known: one that a file of days writes just so is no other.
fn figure(file: Option<f64>, before: Option<f64>) -> Option<f64> {
    match (file, before) {
        (Some(new), Some(old)) if hundredths(new) == hundredths(old) => before,
        _ => file.or(before),
    }
}

fn wind_from(file: Option<WindFrom>, before: Option<WindFrom>) -> Option<WindFrom> {
    match (file, before) {
        (Some(WindFrom::Degrees(new)), Some(WindFrom::Degrees(old)))
            if hundredths(new) == hundredths(old) =>
        {
            before
        }
        _ => file.or(before),
    }
}

/// What is known of `file` written over `before`.
fn over(before: &DailyWeather, file: &DailyWeather) -> DailyWeather {
    let rain_from = if file.rain_mm.is_some() { file } else { before };
    DailyWeather {
        min_c: figure(file.min_c, before.min_c),
        max_c: figure(file.max_c, before.max_c),
        rain_mm: figure(rain_from.rain_mm, before.rain_mm),
        rain_trace: rain_from.rain_trace,
        wind_ms: figure(file.wind_ms, before.wind_ms),
        wind_from: wind_from(file.wind_from, before.wind_from),
        pressure_hpa: figure(file.pressure_hpa, before.pressure_hpa),
        cloud: file.cloud.or(before.cloud),
        snow: file.snow.or(before.snow),
        ice: file.ice.or(before.ice),
    }
}

/// The elements in which two days differ, as pages show them.
pub fn differing(a: &DailyWeather, b: &DailyWeather) -> Vec<Element> {
    Element::ALL
        .iter()
        .copied()
        .filter(|element| !element.agrees(a, b))
        .collect()
}

/// Days in unbroken runs: first and last of each.
pub fn runs(days: impl IntoIterator<Item = Day>) -> Vec<(Day, Day)> {
    let days: BTreeMap<Day, ()> = days.into_iter().map(|day| (day, ())).collect();
    let mut runs: Vec<(Day, Day)> = Vec::new();
    for day in days.into_keys() {
        match runs.last_mut() {
            Some((_, last)) if last.plus(1) == day => *last = day,
            _ => runs.push((day, day)),
        }
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(number: i8) -> Day {
        Day::new(2026, 2, number).expect("a real day")
    }

    fn cold(min_c: f64) -> DailyWeather {
        DailyWeather {
            min_c: Some(min_c),
            ..DailyWeather::default()
        }
    }

    #[test]
    fn a_file_adds_and_corrects_and_a_silent_cell_takes_nothing_away() {
        let before = WeatherDays::from([
            (
                day(1),
                DailyWeather {
                    pressure_hpa: Some(1001.0),
                    ..cold(-2.0)
                },
            ),
            (day(2), cold(0.5)),
        ]);
        let file = WeatherDays::from([
            (day(1), cold(-3.0)),
            (day(2), cold(0.5)),
            (day(3), cold(1.0)),
        ]);
        let planned = plan(&file, &before, day(20));
        let changes: Vec<_> = planned.iter().map(|p| p.change.clone()).collect();
        assert_eq!(
            changes,
            [
                Change::Corrected {
                    before: before[&day(1)]
                },
                Change::Same,
                Change::New
            ]
        );
        assert_eq!(planned[0].after.pressure_hpa, Some(1001.0));
        let again: WeatherDays = planned.iter().map(|p| (p.day, p.after)).collect();
        assert!(
            plan(&file, &again, day(20))
                .iter()
                .all(|p| p.change == Change::Same)
        );
    }

    #[test]
    fn what_would_cross_or_is_still_to_come_is_refused() {
        let before = WeatherDays::from([(
            day(1),
            DailyWeather {
                max_c: Some(4.0),
                ..DailyWeather::default()
            },
        )]);
        let file = WeatherDays::from([(day(1), cold(9.0)), (day(21), cold(1.0))]);
        let planned = plan(&file, &before, day(20));
        assert!(
            planned
                .iter()
                .all(|p| matches!(p.change, Change::Refused(_))),
            "{planned:?}"
        );
    }

    #[test]
    fn a_file_of_days_written_by_hand_fills_gaps_and_overwrites_nothing() {
        let before = WeatherDays::from([(day(1), cold(-2.0)), (day(2), cold(0.5))]);
        let pressed = |min_c| DailyWeather {
            pressure_hpa: Some(1001.0),
            ..cold(min_c)
        };
        let file = WeatherDays::from([
            (day(1), pressed(-3.0)),
            (day(2), pressed(0.5)),
            (day(3), cold(1.0)),
        ]);
        let planned = beside_the_written(plan(&file, &before, day(20)));
        assert!(
            matches!(&planned[0].change, Change::Refused(why) if why.contains("otherwise of the low, and stands")),
            "{planned:?}"
        );
        assert_eq!(planned[1].after, pressed(0.5));
        let writes: Vec<bool> = planned.iter().map(Planned::writes).collect();
        assert_eq!(writes, [false, true, true]);
    }

    #[test]
    fn a_trace_is_the_same_with_and_without_its_nought() {
        let bare = DailyWeather {
            rain_trace: true,
            ..DailyWeather::default()
        };
        let written = DailyWeather {
            rain_mm: Some(0.0),
            ..bare
        };
        let before = WeatherDays::from([(day(1), bare)]);
        assert_eq!(
            plan(&WeatherDays::from([(day(1), written)]), &before, day(2))[0].change,
            Change::Same
        );
    }

    #[test]
    fn days_are_told_in_runs() {
        assert_eq!(
            runs([day(5), day(1), day(2), day(3)]),
            [(day(1), day(3)), (day(5), day(5))]
        );
    }
}
