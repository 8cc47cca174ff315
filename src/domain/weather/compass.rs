//! The sixteen points of the compass: named, and read as people write them.

use serde::{Deserialize, Serialize};

/// Degrees in one of the sixteen sectors.
const SECTOR: f64 = 22.5;

const LETTERS: [&str; 16] = [
    "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW",
    "NNW",
];
const NAMES: [&str; 16] = [
    "north",
    "north-north-east",
    "north-east",
    "east-north-east",
    "east",
    "east-south-east",
    "south-east",
    "south-south-east",
    "south",
    "south-south-west",
    "south-west",
    "west-south-west",
    "west",
    "west-north-west",
    "north-west",
    "north-north-west",
];

/// One of the sixteen points; north is 0, going clockwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Compass(u8);

impl Compass {
    pub fn all() -> impl Iterator<Item = Self> {
        (0..16).map(Self)
    }

    /// The point whose sector of 22.5° holds `bearing`; a bearing on a limit belongs to the
    /// clockwise sector.
    pub fn of(bearing: f64) -> Self {
        let sector = (within_circle(bearing) / SECTOR + 0.5).floor() as usize % 16;
        Self(sector as u8)
    }

    /// The bearing of the point, degrees.
    pub fn degrees(self) -> f64 {
        f64::from(self.0) * SECTOR
    }

    /// `SSW`.
    pub fn letters(self) -> &'static str {
        LETTERS[usize::from(self.0)]
    }

    /// `south-south-west`.
    pub fn name(self) -> &'static str {
        NAMES[usize::from(self.0)]
    }

    /// Reads `SW`, `s.w.`, `south west`, `South-Westerly`; `None` when it is no point.
    pub fn parse(text: &str) -> Option<Self> {
        let lower = text.trim().to_lowercase();
        let plain: String = lower.chars().filter(|c| !" .-".contains(*c)).collect();
        let plain = match plain.strip_suffix("erly") {
            Some(stem) if stem.len() > 3 => stem,
            _ => &plain,
        };
        let same = |name: &str| name.chars().filter(|c| *c != '-').eq(plain.chars());
        (0..16)
            .map(Self)
            .find(|point| same(point.name()) || same(&point.letters().to_lowercase()))
    }
}

/// A bearing brought into `[0, 360)`.
pub fn within_circle(bearing: f64) -> f64 {
    let degrees = bearing.rem_euclid(360.0);
    // A bearing a rounding below 0 comes back as 360 itself.
    if degrees >= 360.0 { 0.0 } else { degrees }
}
