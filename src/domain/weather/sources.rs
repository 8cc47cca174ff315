//! The elements of a day's weather, each of which may come from another source.

use super::{
    DailyWeather,
    units::{PressureUnit, RainUnit, SpeedUnit, TemperatureUnit},
};

/// What two sources can disagree about. Wind is one element: its speed and where it came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Element {
    Min,
    Max,
    Rain,
    Wind,
    Pressure,
    Cloud,
    Snow,
    Ice,
}

impl Element {
    pub const ALL: &'static [Self] = &[
        Self::Min,
        Self::Max,
        Self::Rain,
        Self::Wind,
        Self::Pressure,
        Self::Cloud,
        Self::Snow,
        Self::Ice,
    ];

    /// The word the record keeps.
    pub fn slug(self) -> &'static str {
        match self {
            Self::Min => "min",
            Self::Max => "max",
            Self::Rain => "rain",
            Self::Wind => "wind",
            Self::Pressure => "pressure",
            Self::Cloud => "cloud",
            Self::Snow => "snow",
            Self::Ice => "ice",
        }
    }

    /// The word a reader sees within a sentence.
    pub fn label(self) -> &'static str {
        match self {
            Self::Min => "low",
            Self::Max => "high",
            other => other.slug(),
        }
    }

    pub fn from_slug(slug: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|one| one.slug() == slug)
    }

    /// Whether the day has it.
    pub fn known(self, day: &DailyWeather) -> bool {
        match self {
            Self::Min => day.min_c.is_some(),
            Self::Max => day.max_c.is_some(),
            Self::Rain => day.rain().is_some(),
            Self::Wind => day.wind_ms.is_some() || day.wind_from.is_some(),
            Self::Pressure => day.pressure_hpa.is_some(),
            Self::Cloud => day.cloud.is_some(),
            Self::Snow => day.snow.is_some(),
            Self::Ice => day.ice.is_some(),
        }
    }

    /// Whether two days show the same of it: figures to the last decimal that pages give, wind
    /// to a quarter of a metre a second and the same point of the compass. Figures that pages write
    /// alike are the same. Unknown agrees with unknown only.
    pub fn agrees(self, a: &DailyWeather, b: &DailyWeather) -> bool {
        type Shown = fn(f64) -> String;
        let near = |a: Option<f64>, b: Option<f64>, within: f64, shown: Shown| match (a, b) {
            (Some(a), Some(b)) => (a - b).abs() < within || shown(a) == shown(b),
            (a, b) => a.is_none() && b.is_none(),
        };
        let celsius: Shown = |c| TemperatureUnit::Celsius.figure(c);
        let millimetres: Shown = |mm| RainUnit::Millimetres.figure(mm);
        let speed: Shown = |ms| SpeedUnit::default().figure(ms);
        let hectopascals: Shown = |hpa| PressureUnit::Hectopascals.figure(hpa);
        let from = |day: &DailyWeather| day.wind_from.map(|from| from.to_string());
        match self {
            Self::Min => near(a.min_c, b.min_c, 0.05, celsius),
            Self::Max => near(a.max_c, b.max_c, 0.05, celsius),
            Self::Rain => {
                near(a.rain(), b.rain(), 0.05, millimetres) && a.rain_trace == b.rain_trace
            }
            Self::Wind => near(a.wind_ms, b.wind_ms, 0.25, speed) && from(a) == from(b),
            Self::Pressure => near(a.pressure_hpa, b.pressure_hpa, 0.05, hectopascals),
            Self::Cloud => a.cloud == b.cloud,
            Self::Snow => a.snow == b.snow,
            Self::Ice => a.ice == b.ice,
        }
    }

    /// Whether two days that both know it are so near that nobody need choose between them:
    /// less than 0.5 °C, 0.5 mm, 1 m/s or 1 hPa apart (common practice, no source). The wind must
    /// have come from the same point of the compass, as far as both days say; words must be the same.
    pub fn is_near(self, a: &DailyWeather, b: &DailyWeather) -> bool {
        // A hair less, because decimals of figures that differ by just so much are not exact.
        let near = |a: Option<f64>, b: Option<f64>, within: f64| match (a, b) {
            (Some(a), Some(b)) => (a - b).abs() < within - 1e-9,
            _ => true,
        };
        let from = |day: &DailyWeather| day.wind_from.map(|from| from.to_string());
        match self {
            Self::Min => near(a.min_c, b.min_c, 0.5),
            Self::Max => near(a.max_c, b.max_c, 0.5),
            Self::Rain => near(a.rain(), b.rain(), 0.5),
            Self::Wind => {
                let same = from(a).zip(from(b)).is_none_or(|(a, b)| a == b);
                near(a.wind_ms, b.wind_ms, 1.0) && same
            }
            Self::Pressure => near(a.pressure_hpa, b.pressure_hpa, 1.0),
            Self::Cloud | Self::Snow | Self::Ice => self.agrees(a, b),
        }
    }

    /// Copies this element alone.
    pub fn copy(self, from: &DailyWeather, to: &mut DailyWeather) {
        match self {
            Self::Min => to.min_c = from.min_c,
            Self::Max => to.max_c = from.max_c,
            Self::Rain => {
                to.rain_mm = from.rain_mm;
                to.rain_trace = from.rain_trace;
            }
            Self::Wind => {
                to.wind_ms = from.wind_ms;
                to.wind_from = from.wind_from;
            }
            Self::Pressure => to.pressure_hpa = from.pressure_hpa,
            Self::Cloud => to.cloud = from.cloud,
            Self::Snow => to.snow = from.snow,
            Self::Ice => to.ice = from.ice,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_near_below_the_stated_difference_and_not_at_it() {
        let day = |min_c, rain_mm, wind_ms, pressure_hpa| DailyWeather {
            min_c: Some(min_c),
            rain_mm: Some(rain_mm),
            wind_ms: Some(wind_ms),
            pressure_hpa: Some(pressure_hpa),
            ..DailyWeather::default()
        };
        let here = day(4.1, 8.1, 3.0, 1013.0);
        let near = day(4.5, 8.5, 3.9, 1013.9);
        let apart = day(4.6, 8.6, 4.0, 1014.0);
        for element in [
            Element::Min,
            Element::Rain,
            Element::Wind,
            Element::Pressure,
        ] {
            assert!(element.is_near(&here, &near), "{element:?}");
            assert!(!element.is_near(&here, &apart), "{element:?}");
        }
    }

    #[test]
    fn copying_every_element_copies_the_day() {
        let day = DailyWeather {
            min_c: Some(1.0),
            rain_trace: true,
            wind_ms: Some(3.0),
            pressure_hpa: Some(1013.0),
            ..DailyWeather::default()
        };
        let mut copy = DailyWeather::default();
        for element in Element::ALL {
            assert_eq!(Element::from_slug(element.slug()), Some(*element));
            element.copy(&day, &mut copy);
        }
        assert_eq!(copy, day);
    }
}
