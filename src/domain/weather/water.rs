//! What is read of the water itself, and how it is typed. As everywhere, a blank is a gap.

use serde::{Deserialize, Serialize};

use super::{typed, units::TemperatureUnit};
use crate::domain::units::{quoted, read_metres};

words! {
    /// How far one sees into the water.
    Clarity {
        Clear = "clear", "Clear";
        Tinged = "tinged", "Tinged";
        Coloured = "coloured", "Coloured";
    }
}

/// One reading, its place and time apart. At least one of temperature, level and clarity is known.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct WaterFigures {
    /// Temperature of the water, °C.
    pub temp_c: Option<f64>,
    /// Level against the water's own mark, metres; below the mark it is negative.
    pub level_m: Option<f64>,
    /// Depth at which the thermometer hung, metres.
    pub depth_m: Option<f64>,
    pub clarity: Option<Clarity>,
}

impl WaterFigures {
    /// Whether anything was read at all.
    pub fn is_empty(&self) -> bool {
        self.temp_c.is_none() && self.level_m.is_none() && self.clarity.is_none()
    }
}

/// Temperature of the water, °C: `6.4`, `6,4`, `43F`. The record keeps −1 to 40 °C.
pub fn read_temperature(text: &str) -> Result<Option<f64>, String> {
    let read = typed::temperature(text, TemperatureUnit::Celsius);
    match read.map_err(|problem| problem.to_string())? {
        Some(celsius) if !(-1.0..=40.0).contains(&celsius) => Err(format!(
            "{} cannot be the temperature of the water: it lies outside −1 to 40 °C. If it is in Fahrenheit, write F after it, for example 43F.",
            quoted(text.trim())
        )),
        read => Ok(read),
    }
}

/// Level against the water's own mark, metres: `0.35`, `-12 cm`, `+1 ft`.
pub fn read_level(text: &str) -> Result<Option<f64>, String> {
    let plain = text.trim();
    let (below, size) = match plain.strip_prefix(['-', '−']) {
        Some(rest) => (true, rest),
        None => (false, plain.strip_prefix('+').unwrap_or(plain)),
    };
    if plain.is_empty() {
        return Ok(None);
    }
    let metres = read_metres(size, "the level above or below the mark", 100)?.metres();
    Ok(Some(if below && metres > 0.0 {
        -metres
    } else {
        metres
    }))
}

/// Depth of the thermometer, metres: `1.5`, `4 ft`.
pub fn read_depth(text: &str) -> Result<Option<f64>, String> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    read_metres(text, "the depth of the thermometer", 100).map(|depth| Some(depth.metres()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn water_is_read_with_its_units_and_within_its_range() {
        assert_eq!(read_temperature("6,4"), Ok(Some(6.4)));
        assert_eq!(read_temperature("50F"), Ok(Some(10.0)));
        assert_eq!(read_temperature(""), Ok(None));
        for wrong in ["41", "-1.5", "NaN", "1e9", "٤", "0x10", "warm"] {
            assert!(read_temperature(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_level_may_lie_below_the_mark() {
        assert_eq!(read_level("-12 cm"), Ok(Some(-0.12)));
        assert_eq!(read_level("−0,5"), Ok(Some(-0.5)));
        assert_eq!(read_level("+1.25 m"), Ok(Some(1.25)));
        assert_eq!(read_level(" "), Ok(None));
        assert!(
            read_level("-").is_err() && read_level("--1").is_err() && read_level("1e9").is_err()
        );
        assert_eq!(
            read_level("-0").map(|l| l.map(f64::is_sign_negative)),
            Ok(Some(false))
        );
    }
}
