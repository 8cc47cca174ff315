//! A weather file's figures as they would be kept, so that a unit chosen wrongly is seen before
//! anything is saved.

use super::{import_words::ChangeLine, window::in_words};
use crate::{
    actions::import::weather::Preview,
    domain::weather::{
        DailyWeather,
        bringing_in::{Change, Planned},
        sources::Element,
        units::{PressureUnit, RainUnit, SpeedUnit, TemperatureUnit},
    },
};

/// New days shown with their figures, before the last of them.
const FIRST: usize = 5;

/// The first new days and the last, each with all it has.
pub fn shown(preview: &Preview) -> Vec<ChangeLine> {
    let new = preview.planned.iter().filter(|p| p.change == Change::New);
    let new: Vec<&Planned> = new.collect();
    let last = new.get(FIRST..).and_then(|rest| rest.last());
    let days = new.iter().take(FIRST).chain(last);
    days.map(|planned| ChangeLine {
        day: planned.day.short(),
        words: figures(&planned.after),
    })
    .collect()
}

/// `low −3.5 °C, high 4.0 °C, rain 8.6 mm`.
fn figures(day: &DailyWeather) -> String {
    let known = Element::ALL.iter().filter(|element| element.known(day));
    let each = known.map(|element| {
        let words = in_words(*element, day, SpeedUnit::default());
        format!("{} {words}", element.label())
    });
    each.collect::<Vec<_>>().join(", ")
}

/// `low from −3.5 °C to 8.0 °C`: the lowest and the highest of each element, over every day of the
/// file that can be kept.
pub fn ranges(preview: &Preview) -> Vec<String> {
    let measured = [
        Element::Min,
        Element::Max,
        Element::Rain,
        Element::Wind,
        Element::Pressure,
    ];
    let range = |element: Element| {
        let days = preview.planned.iter();
        let days = days.filter(|planned| !matches!(planned.change, Change::Refused(_)));
        let figures = days.filter_map(|planned| figure(element, &planned.after));
        let (least, most) = figures.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), one| {
            (low.min(one), high.max(one))
        });
        let (from, to) = (show(element, least), show(element, most));
        let label = element.label();
        (least <= most).then(|| match from == to {
            true => format!("{label} always {from}"),
            false => format!("{label} from {from} to {to}"),
        })
    };
    measured.into_iter().filter_map(range).collect()
}

fn figure(element: Element, day: &DailyWeather) -> Option<f64> {
    match element {
        Element::Min => day.min_c,
        Element::Max => day.max_c,
        Element::Rain => day.rain(),
        Element::Wind => day.wind_ms,
        Element::Pressure => day.pressure_hpa,
        Element::Cloud | Element::Snow | Element::Ice => None,
    }
}

fn show(element: Element, kept: f64) -> String {
    match element {
        Element::Rain => RainUnit::Millimetres.show(kept),
        Element::Wind => SpeedUnit::default().show(kept),
        Element::Pressure => PressureUnit::Hectopascals.show(kept),
        _ => TemperatureUnit::Celsius.show(kept),
    }
}
