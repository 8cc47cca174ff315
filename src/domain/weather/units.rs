//! Units of the weather: exact conversions, the Beaufort scale, and how figures are shown.
//!
//! The record keeps °C, mm, m/s and hPa; a reader's or a file's unit is met here only.

use serde::{Deserialize, Serialize};

/// One knot, m/s: a nautical mile of 1852 m in an hour, exact.
pub const KNOT_MS: f64 = 1852.0 / 3600.0;
/// One mile an hour, m/s, exact.
pub const MPH_MS: f64 = 0.447_04;
/// One inch, mm, exact.
pub const INCH_MM: f64 = 25.4;
/// One conventional inch of mercury at 0 °C, hPa, rounded.
pub const INCH_MERCURY_HPA: f64 = 33.863_886_4;
/// One conventional millimetre of mercury, hPa, exact by definition.
pub const MM_MERCURY_HPA: f64 = 1.333_223_874_15;

/// Lowest speed of forces 1 to 12, m/s to one decimal (WMO-No. 306, code table 1100, from memory).
const BEAUFORT_FROM_MS: [f64; 12] = [
    0.3, 1.6, 3.4, 5.5, 8.0, 10.8, 13.9, 17.2, 20.8, 24.5, 28.5, 32.7,
];
const BEAUFORT_NAMES: [&str; 13] = [
    "calm",
    "light air",
    "light breeze",
    "gentle breeze",
    "moderate breeze",
    "fresh breeze",
    "strong breeze",
    "near gale",
    "gale",
    "strong gale",
    "storm",
    "violent storm",
    "hurricane",
];

/// Force on the Beaufort scale, 0 to 12.
///
/// The columns of the published table are rounded each by itself and disagree at the edges, so
/// a speed is taken to one decimal of m/s and classed by that column alone.
pub fn beaufort(speed_ms: f64) -> usize {
    let tenths = (speed_ms * 10.0).round() as i64;
    let reached = |from: &&f64| tenths >= (**from * 10.0).round() as i64;
    BEAUFORT_FROM_MS.iter().take_while(reached).count()
}

/// The words of a force: `gentle breeze`.
pub fn beaufort_words(force: usize) -> &'static str {
    BEAUFORT_NAMES[force.min(12)]
}

/// The middle of a force's band, m/s, for old papers that give the force alone; force 12 has no
/// upper end and is taken at its lower.
pub fn beaufort_middle_ms(force: usize) -> f64 {
    match force {
        0 => 0.1,
        1..=11 => (BEAUFORT_FROM_MS[force - 1] + BEAUFORT_FROM_MS[force] - 0.1) / 2.0,
        _ => BEAUFORT_FROM_MS[11],
    }
}

/// A unit of the weather: how it is kept, written and read.
macro_rules! units {
    ($(#[$doc:meta])* $name:ident { $($variant:ident = $slug:literal, $label:literal, $places:literal;)+ }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
        pub enum $name { #[default] $($variant,)+ }

        impl $name {
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The word in addresses, forms and mappings.
            pub fn slug(self) -> &'static str {
                match self { $(Self::$variant => $slug,)+ }
            }

            /// The unit's sign, as printed after a figure.
            pub fn label(self) -> &'static str {
                match self { $(Self::$variant => $label,)+ }
            }

            /// Decimals worth showing.
            pub fn places(self) -> usize {
                match self { $(Self::$variant => $places,)+ }
            }

            pub fn from_slug(slug: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|one| one.slug() == slug)
            }

            /// The bare figure in this unit, for a field: `4.5`.
            pub fn figure(self, kept: f64) -> String {
                rounded(self.from_kept(kept), self.places())
            }

            /// The figure with its unit: `4.5 °C`.
            pub fn show(self, kept: f64) -> String {
                format!("{} {}", with_minus_sign(&self.figure(kept)), self.label())
            }

            /// The same for a sentence, where no line may end between the figure and its unit.
            pub fn held(self, kept: f64) -> String {
                self.show(kept).replace(' ', "\u{a0}")
            }
        }
    };
}

units! {
    /// Air or water temperature; kept in °C.
    TemperatureUnit {
        Celsius = "c", "°C", 1;
        Fahrenheit = "f", "°F", 0;
    }
}
units! {
    /// Rain; kept in mm.
    RainUnit {
        Millimetres = "mm", "mm", 1;
        Inches = "in", "in", 2;
    }
}
units! {
    /// Wind speed; kept in m/s.
    SpeedUnit {
        MilesPerHour = "mph", "mph", 0;
        MetresPerSecond = "ms", "m/s", 1;
        KilometresPerHour = "kmh", "km/h", 0;
        Knots = "kn", "knots", 0;
    }
}
units! {
    /// Pressure at mean sea level; kept in hPa, which are millibars.
    PressureUnit {
        Hectopascals = "hpa", "hPa", 1;
        InchesOfMercury = "inhg", "inHg", 2;
        MillimetresOfMercury = "mmhg", "mmHg", 1;
    }
}

impl TemperatureUnit {
    pub fn to_kept(self, typed: f64) -> f64 {
        match self {
            Self::Celsius => typed,
            Self::Fahrenheit => (typed - 32.0) * 5.0 / 9.0,
        }
    }

    pub fn from_kept(self, celsius: f64) -> f64 {
        match self {
            Self::Celsius => celsius,
            Self::Fahrenheit => celsius * 9.0 / 5.0 + 32.0,
        }
    }
}

impl RainUnit {
    pub fn to_kept(self, typed: f64) -> f64 {
        typed * self.millimetres()
    }

    pub fn from_kept(self, millimetres: f64) -> f64 {
        millimetres / self.millimetres()
    }

    fn millimetres(self) -> f64 {
        match self {
            Self::Millimetres => 1.0,
            Self::Inches => INCH_MM,
        }
    }
}

impl SpeedUnit {
    pub fn to_kept(self, typed: f64) -> f64 {
        typed * self.metres_per_second()
    }

    pub fn from_kept(self, metres_per_second: f64) -> f64 {
        metres_per_second / self.metres_per_second()
    }

    fn metres_per_second(self) -> f64 {
        match self {
            Self::MetresPerSecond => 1.0,
            Self::MilesPerHour => MPH_MS,
            Self::KilometresPerHour => 1.0 / 3.6,
            Self::Knots => KNOT_MS,
        }
    }
}

impl PressureUnit {
    pub fn to_kept(self, typed: f64) -> f64 {
        typed * self.hectopascals()
    }

    pub fn from_kept(self, hectopascals: f64) -> f64 {
        hectopascals / self.hectopascals()
    }

    fn hectopascals(self) -> f64 {
        match self {
            Self::Hectopascals => 1.0,
            Self::InchesOfMercury => INCH_MERCURY_HPA,
            Self::MillimetresOfMercury => MM_MERCURY_HPA,
        }
    }
}

/// `value` to `places` decimals, halves away from zero, never `-0`.
fn rounded(value: f64, places: usize) -> String {
    let scale = 10_f64.powi(places as i32);
    let value = (value * scale).round() / scale;
    format!("{:.places$}", if value == 0.0 { 0.0 } else { value })
}

/// A figure as files of days have it: to the hundredth of its unit, finer than any instrument of the
/// bank, without the last digits that a conversion leaves; never `-0`.
pub fn hundredths(value: f64) -> f64 {
    let value = (value * 100.0).round() / 100.0;
    if value == 0.0 { 0.0 } else { value }
}

/// A minus sign for reading, where a field needs a hyphen.
fn with_minus_sign(figure: &str) -> String {
    figure.replacen('-', "\u{2212}", 1)
}
