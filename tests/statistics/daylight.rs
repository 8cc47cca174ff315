//! Sunrise and sunset against the worked case of NREL/TP-560-34302, published tests of the
//! pvlib library, and its algorithm run on two English towns. Right to two
//! minutes.

use peglore::statistics::daylight::{day_length_min, sun_times};
use proptest::prelude::*;

use super::weather_days::day;

/// Date, latitude, longitude, rise and set in minutes after midnight UTC.
const CASES: [(&str, f64, f64, f64, f64); 6] = [
    ("2003-10-17", 39.742476, -105.1786, 792.72, 1460.32),
    ("1994-01-02", 35.0, 0.0, 428.20, 1019.92),
    ("2004-12-04", -35.0, 0.0, 278.95, 1142.03),
    ("2026-06-21", 52.4862, -1.8904, 224.47, 1234.28),
    ("2026-12-21", 52.4862, -1.8904, 495.90, 955.33),
    ("2026-03-29", 53.3811, -1.4701, 346.77, 1115.57),
];

#[test]
fn sunrise_sunset_and_day_length_are_right_to_two_minutes() {
    for (date, latitude, longitude, rise, set) in CASES {
        let sun = sun_times(day(date), latitude, longitude).expect("a sunrise");
        assert!(
            (sun.rise_min - rise).abs() < 2.0,
            "{date} rise {}",
            sun.rise_min
        );
        assert!(
            (sun.set_min - set).abs() < 2.0,
            "{date} set {}",
            sun.set_min
        );
        let length = day_length_min(day(date), latitude);
        assert!(
            (length - (set - rise)).abs() < 2.0,
            "{date} length {length}"
        );
    }
}

#[test]
fn beyond_the_circle_the_sun_stays_up_or_down() {
    assert_eq!(day_length_min(day("2026-06-21"), 75.0), 1440.0);
    assert_eq!(day_length_min(day("2026-12-21"), 75.0), 0.0);
    assert_eq!(sun_times(day("2026-12-21"), 75.0, 0.0), None);
}

proptest! {
    #[test]
    fn summer_days_are_longer_further_north(latitude in 0.0..60.0_f64, further in 0.1..5.0_f64) {
        let june = day("2026-06-21");
        prop_assert!(day_length_min(june, latitude + further) > day_length_min(june, latitude));
    }
}
