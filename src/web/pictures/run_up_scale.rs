//! One scale for every run-up strip on a page, so that two days can be compared by eye.

use super::StripDay;

/// The least span of air, °C, and of pressure, hPa: a quiet week is drawn as a quiet week.
const LEAST_AIR: (f64, f64) = (-2.0, 12.0);
const LEAST_PRESSURE_SPAN: f64 = 30.0;
/// Rain that fills its band, mm, unless a wetter day is drawn.
const LEAST_RAIN: f64 = 15.0;

/// What the top and the bottom of each band stand for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunUpScale {
    /// °C, lowest and highest; nought is always between them.
    pub air: (f64, f64),
    /// mm that fill the band.
    pub rain: f64,
    /// hPa, lowest and highest.
    pub pressure: (f64, f64),
}

impl RunUpScale {
    /// The scale that holds every one of `days`.
    pub fn holding<'a>(days: impl IntoIterator<Item = &'a StripDay>) -> Self {
        let (mut air, mut rain) = (LEAST_AIR, LEAST_RAIN);
        let mut glass: Option<(f64, f64)> = None;
        for day in days {
            for degrees in [day.low_c, day.high_c].into_iter().flatten() {
                air = (air.0.min(degrees), air.1.max(degrees));
            }
            rain = rain.max(day.rain_mm.unwrap_or(0.0));
            if let Some(hpa) = day.pressure_hpa {
                let (low, high) = glass.unwrap_or((hpa, hpa));
                glass = Some((low.min(hpa), high.max(hpa)));
            }
        }
        let (low, high) = glass.unwrap_or((1013.0, 1013.0));
        let slack = (LEAST_PRESSURE_SPAN - (high - low)).max(0.0) / 2.0;
        Self {
            air,
            rain,
            pressure: (low - slack, high + slack),
        }
    }
}

/// Where `value` falls between `top` and `bottom` px when `range` spans them, high values above.
pub(super) fn down(value: f64, range: (f64, f64), top: f64, bottom: f64) -> f64 {
    let share = (value - range.0) / (range.1 - range.0);
    bottom - (bottom - top) * share.clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quiet_week_is_not_stretched_to_look_wild() {
        let day = StripDay {
            low_c: Some(4.0),
            high_c: Some(8.0),
            pressure_hpa: Some(1010.0),
            ..StripDay::default()
        };

        let scale = RunUpScale::holding([&day]);

        assert_eq!(
            scale,
            RunUpScale {
                air: (-2.0, 12.0),
                rain: 15.0,
                pressure: (995.0, 1025.0)
            }
        );
    }

    #[test]
    fn hard_frost_a_flood_and_a_deep_low_all_fit() {
        let frost = StripDay {
            low_c: Some(-9.0),
            high_c: Some(-1.0),
            ..StripDay::default()
        };
        let flood = StripDay {
            rain_mm: Some(41.0),
            pressure_hpa: Some(968.0),
            ..StripDay::default()
        };
        let high = StripDay {
            pressure_hpa: Some(1041.0),
            ..StripDay::default()
        };

        let scale = RunUpScale::holding([&frost, &flood, &high]);

        assert_eq!(
            scale,
            RunUpScale {
                air: (-9.0, 12.0),
                rain: 41.0,
                pressure: (968.0, 1041.0)
            }
        );
    }

    #[test]
    fn high_values_stand_above_low_ones_and_nothing_leaves_its_band() {
        assert_eq!(down(0.0, (-10.0, 10.0), 100.0, 200.0), 150.0);
        assert_eq!(down(10.0, (-10.0, 10.0), 100.0, 200.0), 100.0);
        assert_eq!(down(99.0, (-10.0, 10.0), 100.0, 200.0), 100.0);
    }
}
