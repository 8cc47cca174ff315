//! What each column of a weather file holds: said by an officer, guessed from its name before.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::domain::weather::units::{PressureUnit, RainUnit, SpeedUnit, TemperatureUnit};
use crate::formats::csv::Sheet;
use crate::formats::days::DayOrder;

/// What a column holds, and in which unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "element", content = "unit", rename_all = "kebab-case")]
pub enum Column {
    Date,
    Min(TemperatureUnit),
    Max(TemperatureUnit),
    Rain(RainUnit),
    Wind(SpeedUnit),
    WindFrom,
    Pressure(PressureUnit),
    Cloud,
    Snow,
    Ice,
    /// Which source or station a row is from, in a file of several.
    Source,
}

impl Column {
    /// Every column a form may offer.
    pub fn all() -> Vec<Self> {
        let mut all = vec![Self::Date];
        all.extend(TemperatureUnit::ALL.iter().map(|u| Self::Min(*u)));
        all.extend(TemperatureUnit::ALL.iter().map(|u| Self::Max(*u)));
        all.extend(RainUnit::ALL.iter().map(|u| Self::Rain(*u)));
        all.extend(SpeedUnit::ALL.iter().map(|u| Self::Wind(*u)));
        all.push(Self::WindFrom);
        all.extend(PressureUnit::ALL.iter().map(|u| Self::Pressure(*u)));
        all.extend([Self::Cloud, Self::Snow, Self::Ice, Self::Source]);
        all
    }

    /// The word in forms: `min-c`, `rain-in`, `date`.
    pub fn slug(self) -> String {
        match self {
            Self::Date => "date".to_owned(),
            Self::Min(unit) => format!("min-{}", unit.slug()),
            Self::Max(unit) => format!("max-{}", unit.slug()),
            Self::Rain(unit) => format!("rain-{}", unit.slug()),
            Self::Wind(unit) => format!("wind-{}", unit.slug()),
            Self::WindFrom => "wind-from".to_owned(),
            Self::Pressure(unit) => format!("pressure-{}", unit.slug()),
            Self::Cloud => "cloud".to_owned(),
            Self::Snow => "snow".to_owned(),
            Self::Ice => "ice".to_owned(),
            Self::Source => "source".to_owned(),
        }
    }

    pub fn from_slug(slug: &str) -> Option<Self> {
        Self::all().into_iter().find(|column| column.slug() == slug)
    }

    /// What it is, its unit apart: no two columns of a mapping may hold the same.
    pub fn element(self) -> &'static str {
        match self {
            Self::Date => "date",
            Self::Min(_) => "lowest temperature",
            Self::Max(_) => "highest temperature",
            Self::Rain(_) => "rain",
            Self::Wind(_) => "mean wind speed",
            Self::WindFrom => "where the wind came from",
            Self::Pressure(_) => "pressure at sea level",
            Self::Cloud => "cloud",
            Self::Snow => "snow",
            Self::Ice => "ice",
            Self::Source => "source or station",
        }
    }
}

impl fmt::Display for Column {
    /// `rain, mm`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let unit = match self {
            Self::Min(unit) | Self::Max(unit) => unit.label(),
            Self::Rain(unit) => unit.label(),
            Self::Wind(unit) => unit.label(),
            Self::Pressure(unit) => unit.label(),
            _ => return f.write_str(self.element()),
        };
        write!(f, "{}, {unit}", self.element())
    }
}

/// What each column of a sheet holds, left to right, and how its dates are written.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Mapping {
    pub columns: Vec<Option<Column>>,
    pub day_order: Option<DayOrder>,
}

/// A mapping guessed from the names of the columns; an officer confirms it.
pub fn guess(sheet: &Sheet) -> Mapping {
    let mut columns: Vec<Option<Column>> = Vec::new();
    for name in &sheet.header {
        let found = guess_column(name).filter(|column| {
            !columns
                .iter()
                .flatten()
                .any(|c: &Column| c.element() == column.element())
        });
        columns.push(found);
    }
    Mapping {
        columns,
        day_order: None,
    }
}

fn guess_column(name: &str) -> Option<Column> {
    let lower = name.to_lowercase();
    let words: Vec<&str> = lower
        .split(|c: char| !c.is_alphanumeric() && c != '°')
        .filter(|w| !w.is_empty())
        .collect();
    let has = |any: &[&str]| words.iter().any(|word| any.contains(word));
    let temperature = if has(&["f", "°f", "fahrenheit", "degf"]) {
        TemperatureUnit::Fahrenheit
    } else {
        TemperatureUnit::Celsius
    };
    if has(&[
        "gust",
        "gusts",
        "maxgust",
        "humidity",
        "grass",
        "ground",
        "soil",
        "dew",
        "depth",
        "latitude",
        "longitude",
        "elevation",
        "ends",
        "credit",
    ]) {
        return None;
    }
    if has(&["source", "station"]) {
        return Some(Column::Source);
    }
    if has(&["date", "day", "datum"]) {
        return Some(Column::Date);
    }
    if has(&["rain", "rainfall", "precipitation", "precip", "prcp"]) {
        return Some(Column::Rain(if has(&["in", "inch", "inches"]) {
            RainUnit::Inches
        } else {
            RainUnit::Millimetres
        }));
    }
    if has(&[
        "direction",
        "dir",
        "bearing",
        "from",
        "winddir",
        "winddirection",
    ]) {
        return Some(Column::WindFrom);
    }
    let lowest = has(&["min", "minimum", "tmin", "low", "lowest", "lo"]);
    let highest = has(&["max", "maximum", "tmax", "high", "highest", "hi"]);
    if has(&["wind", "windspeed", "wspd", "mph", "knots", "kts"]) {
        // The strongest wind of a day is neither its mean nor its highest temperature.
        return (!lowest && !highest).then(|| Column::Wind(speed_unit(&lower, &has)));
    }
    let pressure = [
        "pressure",
        "mslp",
        "baro",
        "barometer",
        "barometric",
        "pres",
        "hpa",
        "slp",
        "inhg",
        "mmhg",
        "millibars",
        "mbar",
        "mb",
    ];
    if has(&pressure) {
        return Some(Column::Pressure(match () {
            () if has(&["inhg", "in"]) => PressureUnit::InchesOfMercury,
            () if has(&["mmhg"]) => PressureUnit::MillimetresOfMercury,
            () => PressureUnit::Hectopascals,
        }));
    }
    if lowest {
        return Some(Column::Min(temperature));
    }
    if highest {
        return Some(Column::Max(temperature));
    }
    [
        (Column::Cloud, "cloud"),
        (Column::Snow, "snow"),
        (Column::Ice, "ice"),
    ]
    .into_iter()
    .find_map(|(column, word)| has(&[word]).then_some(column))
}

/// Metres a second unless the name says otherwise.
fn speed_unit(name: &str, has: &dyn Fn(&[&str]) -> bool) -> SpeedUnit {
    if has(&["mph"]) {
        SpeedUnit::MilesPerHour
    } else if has(&["kmh", "kph"]) || name.contains("km/h") {
        SpeedUnit::KilometresPerHour
    } else if has(&["kn", "kt", "kts", "knots"]) {
        SpeedUnit::Knots
    } else {
        SpeedUnit::MetresPerSecond
    }
}
