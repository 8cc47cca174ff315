//! How long the sun is up, from the date and the latitude alone; and when it rises and sets.

use crate::domain::dates::Day;

/// Zenith distance of the sun's centre at sunrise and sunset, degrees: upper limb on the
/// horizon with 34′ of refraction.
const ZENITH: f64 = 90.833;

/// 1 January 2000 as a number of days from 1970.
const NOON_2000: i64 = 10_957;

/// Sunrise and sunset, minutes after midnight UTC of the day; may fall outside 0 to 1440 far
/// from the meridian of Greenwich.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunTimes {
    pub rise_min: f64,
    pub set_min: f64,
}

/// Minutes from sunrise to sunset; 0 or 1440 where the sun does not rise or does not set.
///
/// Hour angle `cos H = cos 90.833°/(cos φ cos δ) − tan φ tan δ`, length `8·H` minutes (`H` in
/// degrees), with the sun where it stands at noon UTC. Right to two minutes; `latitude` in
/// degrees, north positive.
///
/// Source: NOAA solar calculator, after Meeus, Astronomical Algorithms, chapter 25 (from memory),
/// checked against the worked case of NREL/TP-560-34302. NOAA's shorter Fourier form was tried
/// first: near the equinox of 2026 it makes a day at 53° N four minutes too short, the calendar
/// having drifted since it was fitted.
pub fn day_length_min(day: Day, latitude: f64) -> f64 {
    8.0 * hour_angle(day, latitude)
}

/// When the sun rises and sets at a place (degrees, north and east positive); `None` where it
/// does not rise or does not set that day. Source as for [`day_length_min`].
pub fn sun_times(day: Day, latitude: f64, longitude: f64) -> Option<SunTimes> {
    let half_day = hour_angle(day, latitude);
    let noon = 720.0 - 4.0 * longitude - Sun::at_noon(day).equation_of_time_min;
    (half_day > 0.0 && half_day < 180.0).then_some(SunTimes {
        rise_min: noon - 4.0 * half_day,
        set_min: noon + 4.0 * half_day,
    })
}

/// Hour angle of sunset, degrees, from 0 (never up) to 180 (never down).
fn hour_angle(day: Day, latitude: f64) -> f64 {
    let (phi, delta) = (latitude.to_radians(), Sun::at_noon(day).declination);
    let cosine = ZENITH.to_radians().cos() / (phi.cos() * delta.cos()) - phi.tan() * delta.tan();
    cosine.clamp(-1.0, 1.0).acos().to_degrees()
}

/// Where the sun stands.
struct Sun {
    /// Radians north of the equator.
    declination: f64,
    /// Sundial time less clock time, minutes.
    equation_of_time_min: f64,
}

impl Sun {
    /// At noon UTC of `day`. `t` is Julian centuries from noon on 1 January 2000.
    fn at_noon(day: Day) -> Self {
        let t = (day.number() - NOON_2000) as f64 / 36_525.0;
        let mean_longitude = (280.466_46 + t * (36_000.769_83 + t * 0.000_303_2)).to_radians();
        let anomaly = (357.529_11 + t * (35_999.050_29 - t * 0.000_153_7)).to_radians();
        let eccentricity = 0.016_708_634 - t * (0.000_042_037 + t * 0.000_000_126_7);
        let centre = anomaly.sin() * (1.914_602 - t * (0.004_817 + t * 0.000_014))
            + (2.0 * anomaly).sin() * (0.019_993 - t * 0.000_101)
            + (3.0 * anomaly).sin() * 0.000_289;
        let node = (125.04 - 1_934.136 * t).to_radians();
        let apparent = mean_longitude + (centre - 0.005_69 - 0.004_78 * node.sin()).to_radians();
        let mean_tilt = 23.439_291_1 - t * (46.815 + t * (0.000_59 - t * 0.001_813)) / 3_600.0;
        let tilt = (mean_tilt + 0.002_56 * node.cos()).to_radians();
        let y = (tilt / 2.0).tan().powi(2);
        let equation = y * (2.0 * mean_longitude).sin() - 2.0 * eccentricity * anomaly.sin()
            + 4.0 * eccentricity * y * anomaly.sin() * (2.0 * mean_longitude).cos()
            - 0.5 * y * y * (4.0 * mean_longitude).sin()
            - 1.25 * eccentricity * eccentricity * (2.0 * anomaly).sin();
        Self {
            declination: (tilt.sin() * apparent.sin()).asin(),
            equation_of_time_min: 4.0 * equation.to_degrees(),
        }
    }
}
