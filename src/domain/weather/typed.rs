//! What people type into the weather grid, read element by element.
//!
//! A blank field is a gap (`Ok(None)`), never zero. A unit written after the figure wins over
//! the unit the form is in. Every problem says how to mend it.

use std::fmt;

use super::{
    WindFrom,
    compass::Compass,
    units::{PressureUnit, RainUnit, SpeedUnit, TemperatureUnit, beaufort_middle_ms},
};
use crate::domain::units::quoted;

/// Why a typed value could not be taken.
#[derive(Clone, Debug, PartialEq)]
pub enum WeatherProblem {
    /// No figure could be read.
    NotAFigure {
        what: &'static str,
        /// What was typed, shortened, between quotation marks.
        typed: String,
        example: &'static str,
    },
    /// A figure that no day has had.
    OutOfRange {
        what: &'static str,
        /// What was typed, shortened, between quotation marks.
        typed: String,
        range: &'static str,
        advice: &'static str,
    },
    /// The lowest temperature above the highest.
    LowAboveHigh { low_c: f64, high_c: f64 },
}

impl fmt::Display for WeatherProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotAFigure {
                what,
                typed,
                example,
            } => write!(
                f,
                "{typed} could not be read as the {what}. Enter {example}, or leave it empty if nobody knows."
            ),
            Self::OutOfRange {
                what,
                typed,
                range,
                advice,
            } => write!(f, "{typed} cannot be the {what}: it lies {range}. {advice}"),
            Self::LowAboveHigh { low_c, high_c } => write!(
                f,
                "The low of {low_c:.1} °C is above the high of {high_c:.1} °C. Exchange them, or correct one."
            ),
        }
    }
}

impl std::error::Error for WeatherProblem {}

type Read<T> = Result<Option<T>, WeatherProblem>;

/// Rain as typed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TypedRain {
    Millimetres(f64),
    Trace,
}

/// Air or water temperature, °C: `4.5`, `-2`, `−2,5`, `41F`.
pub fn temperature(text: &str, unit: TemperatureUnit) -> Read<f64> {
    let known = [
        ("c", TemperatureUnit::Celsius),
        ("f", TemperatureUnit::Fahrenheit),
    ];
    let Some((figure, unit)) = measured(
        text,
        unit,
        &known,
        "temperature",
        "degrees, for example 4.5",
    )?
    else {
        return Ok(None);
    };
    within(
        unit.to_kept(figure),
        -60.0..=60.0,
        text,
        "temperature",
        "outside −60 to 60 °C",
        "If it is in Fahrenheit, write F after it, for example 68F.",
    )
}

/// Checks that a day's lowest is not above its highest.
pub fn low_and_high(low_c: Option<f64>, high_c: Option<f64>) -> Result<(), WeatherProblem> {
    match (low_c, high_c) {
        (Some(low_c), Some(high_c)) if low_c > high_c => {
            Err(WeatherProblem::LowAboveHigh { low_c, high_c })
        }
        _ => Ok(()),
    }
}

/// Rain: `0`, `3.2`, `0.25in`, `trace`.
pub fn rain(text: &str, unit: RainUnit) -> Read<TypedRain> {
    if ["trace", "tr", "t"].contains(&text.trim().to_lowercase().as_str()) {
        return Ok(Some(TypedRain::Trace));
    }
    let known = [
        ("mm", RainUnit::Millimetres),
        ("in", RainUnit::Inches),
        ("inches", RainUnit::Inches),
        ("\"", RainUnit::Inches),
    ];
    let Some((figure, unit)) = measured(
        text,
        unit,
        &known,
        "rain",
        "a figure, for example 3.2, or “trace”",
    )?
    else {
        return Ok(None);
    };
    let kept = within(
        unit.to_kept(figure),
        0.0..=1000.0,
        text,
        "rain of a day",
        "outside 0 to 1000 mm",
        "Enter the amount of one day in millimetres.",
    )?;
    Ok(kept.map(TypedRain::Millimetres))
}

/// Mean wind speed, m/s: `12`, `12 mph`, `5 m/s`, `8kn`, `F4`, `force 4`, `calm`.
pub fn wind_speed(text: &str, unit: SpeedUnit) -> Read<f64> {
    let plain = text.trim().to_lowercase();
    if plain == "calm" {
        return Ok(Some(0.0));
    }
    let force = plain
        .strip_prefix("force")
        .or_else(|| plain.strip_prefix("bft"))
        .or_else(|| plain.strip_prefix('f'))
        .and_then(|rest| rest.trim().parse::<usize>().ok());
    match force {
        Some(force @ 0..=12) => return Ok(Some(beaufort_middle_ms(force))),
        Some(_) => return Err(too_windy(text, "Forces go from 0 to 12.")),
        None => {}
    }
    let known = [
        ("mph", SpeedUnit::MilesPerHour),
        ("m/s", SpeedUnit::MetresPerSecond),
        ("ms", SpeedUnit::MetresPerSecond),
        ("km/h", SpeedUnit::KilometresPerHour),
        ("kmh", SpeedUnit::KilometresPerHour),
        ("kph", SpeedUnit::KilometresPerHour),
        ("kn", SpeedUnit::Knots),
        ("kt", SpeedUnit::Knots),
        ("kts", SpeedUnit::Knots),
        ("knots", SpeedUnit::Knots),
    ];
    let Some((figure, unit)) = measured(
        text,
        unit,
        &known,
        "wind speed",
        "the day’s mean, for example 12, “F4” or “calm”",
    )?
    else {
        return Ok(None);
    };
    let kept = unit.to_kept(figure);
    if !(0.0..=75.0).contains(&kept) {
        return Err(too_windy(
            text,
            "Enter the mean of the day, not a gust, and check the unit.",
        ));
    }
    Ok(Some(kept))
}

fn too_windy(text: &str, advice: &'static str) -> WeatherProblem {
    WeatherProblem::OutOfRange {
        what: "mean wind speed",
        typed: quoted(text),
        range: "outside 0 to 75 m/s (168 mph)",
        advice,
    }
}

/// Where the wind came from: `SW`, `south west`, `225`, `225°`, `var`.
pub fn wind_from(text: &str) -> Read<WindFrom> {
    let plain = text.trim().to_lowercase();
    if plain.is_empty() {
        return Ok(None);
    }
    if ["var", "var.", "variable", "vrb", "v"].contains(&plain.as_str()) {
        return Ok(Some(WindFrom::Variable));
    }
    if let Some(point) = Compass::parse(&plain) {
        return Ok(Some(WindFrom::Degrees(point.degrees())));
    }
    let degrees = plain.trim_end_matches(['°', ' ']).trim_end_matches("deg");
    match number(degrees.trim_end()) {
        Some(bearing) if (0.0..=360.0).contains(&bearing) => Ok(Some(WindFrom::degrees(bearing))),
        Some(_) => Err(WeatherProblem::OutOfRange {
            what: "bearing of the wind",
            typed: quoted(text),
            range: "outside 0 to 360 degrees",
            advice: "North is 0 or 360, east 90, south 180, west 270.",
        }),
        None => Err(WeatherProblem::NotAFigure {
            what: "direction the wind came from",
            typed: quoted(text),
            example: "a point such as SW, degrees such as 225, or “var” for variable",
        }),
    }
}

/// Pressure at mean sea level, hPa: `1013`, `1013.2 mb`, `29.92 in`.
pub fn pressure(text: &str, unit: PressureUnit) -> Read<f64> {
    let known = [
        ("hpa", PressureUnit::Hectopascals),
        ("mb", PressureUnit::Hectopascals),
        ("mbar", PressureUnit::Hectopascals),
        ("in", PressureUnit::InchesOfMercury),
        ("inhg", PressureUnit::InchesOfMercury),
        ("\"", PressureUnit::InchesOfMercury),
        ("mmhg", PressureUnit::MillimetresOfMercury),
    ];
    let Some((figure, unit)) = measured(
        text,
        unit,
        &known,
        "pressure",
        "hectopascals, for example 1013",
    )?
    else {
        return Ok(None);
    };
    let advice = match figure {
        25.0..=33.0 => "If it is in inches of mercury, write in after it, for example 29.92 in.",
        640.0..=825.0 => "If it is in millimetres of mercury, write mmHg after it.",
        _ => "Use the pressure reduced to sea level, as a forecast gives it.",
    };
    within(
        unit.to_kept(figure),
        850.0..=1100.0,
        text,
        "pressure",
        "outside 850 to 1100 hPa",
        advice,
    )
}

/// Splits `text` into a figure and its unit; `Ok(None)` for a blank.
fn measured<U: Copy>(
    text: &str,
    unit: U,
    known: &[(&str, U)],
    what: &'static str,
    example: &'static str,
) -> Read<(f64, U)> {
    let plain = text.trim().to_lowercase().replace('°', "");
    if plain.is_empty() {
        return Ok(None);
    }
    let figure_ends = plain
        .find(|c: char| !(c.is_ascii_digit() || "+-−., ".contains(c)))
        .unwrap_or(plain.len());
    let (figure, written) = plain.split_at(figure_ends);
    let named = known.iter().find(|(sign, _)| *sign == written.trim());
    let unit = match (written.trim(), named) {
        ("", _) => Some(unit),
        (_, named) => named.map(|(_, unit)| *unit),
    };
    match (number(figure), unit) {
        (Some(figure), Some(unit)) => Ok(Some((figure, unit))),
        _ => Err(WeatherProblem::NotAFigure {
            what,
            typed: quoted(text),
            example,
        }),
    }
}

/// A plain decimal, with a point or a comma, and either kind of minus.
fn number(text: &str) -> Option<f64> {
    let plain = text.trim().replace(',', ".").replace('−', "-");
    let digits = plain.strip_prefix(['-', '+']).unwrap_or(&plain);
    let decimal = digits.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    // A converted value, written in full, has some eighteen figures.
    if !decimal || digits.len() > 24 {
        return None;
    }
    plain.parse().ok()
}

fn within(
    kept: f64,
    range: std::ops::RangeInclusive<f64>,
    text: &str,
    what: &'static str,
    words: &'static str,
    advice: &'static str,
) -> Read<f64> {
    if range.contains(&kept) {
        return Ok(Some(kept));
    }
    Err(WeatherProblem::OutOfRange {
        what,
        typed: quoted(text),
        range: words,
        advice,
    })
}
