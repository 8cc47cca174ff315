//! What people type into the weather grid, read element by element.
//!
//! A blank field, or a dash alone, is a gap (`Ok(None)`), never zero. A unit written after the figure
//! wins over the unit the form is in. Every problem says how to mend it.

use std::{fmt, ops::RangeInclusive};

use super::{
    WindFrom,
    compass::Compass,
    units::{PressureUnit, RainUnit, SpeedUnit, TemperatureUnit, beaufort_middle_ms},
};
use crate::domain::units::{is_gap, quoted};

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
        /// In the unit of the figure.
        range: String,
        advice: String,
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
            Self::LowAboveHigh { low_c, high_c } => {
                let show = |celsius: &f64| TemperatureUnit::Celsius.show(*celsius);
                f.write_str(&low_above_high(&show(low_c), &show(high_c)))
            }
        }
    }
}

impl std::error::Error for WeatherProblem {}

/// The sentence for a low above its high, both with their units.
pub fn low_above_high(low: &str, high: &str) -> String {
    format!("The low of {low} is above the high of {high}. Exchange them, or correct one.")
}

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
    let kept = unit.to_kept(figure);
    within(kept, -60.0..=60.0, || WeatherProblem::OutOfRange {
        what: "temperature",
        typed: quoted(text),
        range: outside(&unit.figure(-60.0), &unit.figure(60.0), unit.label()),
        advice: match unit {
            TemperatureUnit::Celsius => {
                "If it is in Fahrenheit, write F after it, for example 68F.".to_owned()
            }
            TemperatureUnit::Fahrenheit => "Check the figure.".to_owned(),
        },
    })
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
    let kept = unit.to_kept(figure);
    let kept = within(kept, 0.0..=1000.0, || WeatherProblem::OutOfRange {
        what: "rain of a day",
        typed: quoted(text),
        range: outside("0", &unit.figure(1000.0), unit.label()),
        advice: match unit {
            RainUnit::Millimetres => "Enter the amount of one day in millimetres.".to_owned(),
            RainUnit::Inches => {
                "Enter the amount of one day; if it is in millimetres, write mm after it."
                    .to_owned()
            }
        },
    })?;
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
        Some(_) => {
            let advice = "Forces go from 0 to 12.";
            return Err(too_windy(text, SpeedUnit::MetresPerSecond, advice));
        }
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
        let advice = "Enter the mean of the day, not a gust, and check the unit.";
        return Err(too_windy(text, unit, advice));
    }
    Ok(Some(kept))
}

fn too_windy(text: &str, unit: SpeedUnit, advice: &str) -> WeatherProblem {
    WeatherProblem::OutOfRange {
        what: "mean wind speed",
        typed: quoted(text),
        range: outside("0", &unit.figure(75.0), unit.label()),
        advice: advice.to_owned(),
    }
}

/// Where the wind came from: `SW`, `south west`, `225`, `225°`, `var`. A `calm` has no
/// direction.
pub fn wind_from(text: &str) -> Read<WindFrom> {
    let plain = text.trim().to_lowercase();
    if is_gap(&plain) || plain == "calm" {
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
            range: outside("0", "360", "degrees"),
            advice: "North is 0 or 360, east 90, south 180, west 270.".to_owned(),
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
    let kept = unit.to_kept(figure);
    within(kept, SEA_LEVEL_HPA, || WeatherProblem::OutOfRange {
        what: "pressure",
        typed: quoted(text),
        range: outside(
            &unit.figure(*SEA_LEVEL_HPA.start()),
            &unit.figure(*SEA_LEVEL_HPA.end()),
            unit.label(),
        ),
        advice: pressure_advice(figure, unit),
    })
}

/// Pressures at sea level that a day may have had, hPa.
const SEA_LEVEL_HPA: RangeInclusive<f64> = 850.0..=1100.0;

fn pressure_advice(figure: f64, unit: PressureUnit) -> String {
    let in_hectopascals = unit == PressureUnit::Hectopascals;
    let advice = match figure {
        25.0..=33.0 if in_hectopascals => {
            "If it is in inches of mercury, write in after it, for example 29.92 in."
        }
        640.0..=825.0 if in_hectopascals => {
            "If it is in millimetres of mercury, write mmHg after it."
        }
        _ if !in_hectopascals && SEA_LEVEL_HPA.contains(&figure) => {
            return format!(
                "{figure} {} is {} hPa; is the figure, or its whole column, in hPa?",
                unit.label(),
                with_thousands(unit.to_kept(figure))
            );
        }
        _ => "Use the pressure reduced to sea level, as a forecast gives it.",
    };
    advice.to_owned()
}

/// `34,304`.
fn with_thousands(value: f64) -> String {
    let whole = value.round() as i64;
    match whole / 1000 {
        0 => whole.to_string(),
        thousands => format!("{thousands},{:03}", whole % 1000),
    }
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
    if is_gap(&plain) {
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
    range: RangeInclusive<f64>,
    problem: impl FnOnce() -> WeatherProblem,
) -> Read<f64> {
    match range.contains(&kept) {
        true => Ok(Some(kept)),
        false => Err(problem()),
    }
}

/// `outside −60 to 60 °C`.
fn outside(least: &str, most: &str, unit: &str) -> String {
    let plain = |figure: &str| figure.trim_end_matches(".0").replacen('-', "−", 1);
    format!("outside {} to {} {unit}", plain(least), plain(most))
}
