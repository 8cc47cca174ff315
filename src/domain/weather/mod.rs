//! One day's weather at one place, as observed; its units, its compass, and how it is typed.
//!
//! Nothing here forecasts, and nothing fills a gap: an element that nobody wrote down is `None`.

/// An element kept as one of a few words.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$why:meta])* $variant:ident = $slug:literal, $label:literal;)+ }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        pub enum $name { $($(#[$why])* #[serde(rename = $slug)] $variant,)+ }

        impl $name {
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The word the record and the forms keep.
            pub fn slug(self) -> &'static str {
                match self { $(Self::$variant => $slug,)+ }
            }

            /// The word a reader sees.
            pub fn label(self) -> &'static str {
                match self { $(Self::$variant => $label,)+ }
            }

            pub fn from_slug(slug: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|one| one.slug() == slug)
            }
        }
    };
}

pub mod bank_wind; // the wind as an angler on a bank feels it
pub mod bringing_in; // what a file of days would change
pub mod compass; // sixteen points, read and named
pub mod sources; // which elements sources can disagree about
pub mod typed; // what people type, read with helpful problems
pub mod units; // conversions, Beaufort, how figures are shown
pub mod unlikely; // figures that are asked about before they are saved
pub mod water; // the water itself: temperature, level, clarity

use std::{collections::BTreeMap, fmt};

use serde::{Deserialize, Serialize};

use crate::domain::dates::Day;

/// The observed days of one venue, after its sources were ranked and choices made.
pub type WeatherDays = BTreeMap<Day, DailyWeather>;

/// Rain from which a day is called a rain day, mm (Met Office definition, from memory).
pub const RAIN_DAY_MM: f64 = 0.2;
/// Rain from which a day is called a wet day, mm (Met Office definition, from memory).
pub const WET_DAY_MM: f64 = 1.0;

/// What was observed on one day. A value counts for the date on which its period began.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct DailyWeather {
    /// Lowest air temperature, °C.
    pub min_c: Option<f64>,
    /// Highest air temperature, °C.
    pub max_c: Option<f64>,
    /// Rain, mm.
    pub rain_mm: Option<f64>,
    /// Some rain, too little to measure.
    pub rain_trace: bool,
    /// Mean wind speed, m/s.
    pub wind_ms: Option<f64>,
    /// Where the wind came from.
    pub wind_from: Option<WindFrom>,
    /// Pressure at mean sea level, hPa.
    pub pressure_hpa: Option<f64>,
    pub cloud: Option<Cloud>,
    pub snow: Option<Snow>,
    pub ice: Option<Ice>,
}

impl DailyWeather {
    /// Daily mean air temperature, °C: half way between lowest and highest.
    pub fn mean_c(&self) -> Option<f64> {
        Some((self.min_c? + self.max_c?) / 2.0)
    }

    /// Rain, mm; a trace without a figure is 0.
    pub fn rain(&self) -> Option<f64> {
        self.rain_mm.or(self.rain_trace.then_some(0.0))
    }

    /// Whether the air froze: a minimum below 0 °C (Met Office "air frost"; ETCCDI index FD).
    pub fn frost(&self) -> Option<bool> {
        self.min_c.map(|min| min < 0.0)
    }

    /// Whether enough fell to call it a rain day.
    pub fn rain_day(&self) -> Option<bool> {
        self.rain().map(|rain| rain >= RAIN_DAY_MM)
    }

    /// Whether enough fell to call it a wet day.
    pub fn wet_day(&self) -> Option<bool> {
        self.rain().map(|rain| rain >= WET_DAY_MM)
    }

    /// The wind, known well enough to average. A calm needs no bearing, and a variable wind has
    /// none; `None` when the speed is unknown, or there was wind whose bearing nobody wrote.
    pub fn wind(&self) -> Option<Wind> {
        let speed_ms = self.wind_ms?;
        let from = match self.wind_from {
            _ if speed_ms == 0.0 => None,
            Some(WindFrom::Degrees(degrees)) => Some(degrees),
            Some(WindFrom::Variable) => None,
            None => return None,
        };
        Some(Wind { speed_ms, from })
    }

    /// Whether there was no wind to speak of, force 0: wherever it is said to have come from.
    pub fn is_calm(&self) -> bool {
        self.wind_ms
            .is_some_and(|speed| units::beaufort(speed) == 0)
    }

    /// Whether nothing at all is known of the day.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// A bearing the wind comes from, or none that held.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum WindFrom {
    /// Degrees clockwise from north, from 0 up to but not including 360.
    Degrees(f64),
    Variable,
}

impl WindFrom {
    /// From a bearing in any turn of the circle: 360 is north, −10 is 350.
    pub fn degrees(bearing: f64) -> Self {
        Self::Degrees(compass::within_circle(bearing))
    }
}

impl fmt::Display for WindFrom {
    /// `SW` or `var`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Degrees(degrees) => f.write_str(compass::Compass::of(*degrees).letters()),
            Self::Variable => f.write_str("var"),
        }
    }
}

/// A day's wind, known well enough to average.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wind {
    pub speed_ms: f64,
    /// Degrees it came from; absent when calm or variable.
    pub from: Option<f64>,
}

words! {
    /// The sky over the day.
    Cloud {
        Clear = "clear", "Clear";
        Broken = "broken", "Broken cloud";
        Overcast = "overcast", "Overcast";
    }
}
words! {
    /// Snow of the day.
    Snow {
        None = "none", "No snow";
        Fell = "fell", "Snow fell";
        Lying = "lying", "Snow lying";
    }
}
words! {
    /// Ice on the water.
    Ice {
        None = "none", "No ice";
        Edges = "edges", "Ice at the edges";
        Part = "part", "Part frozen";
        All = "all", "Frozen over";
    }
}

impl Ice {
    /// Whether there was any ice on the water, edges included.
    pub fn any(self) -> bool {
        self != Self::None
    }
}
