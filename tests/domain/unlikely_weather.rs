//! Which figures of a day are asked about before they are saved.

use peglore::domain::{
    dates::Day,
    weather::{DailyWeather, WeatherDays, sources::Element, units::SpeedUnit, unlikely},
};

const DAY: Day = Day(jiff::civil::date(2026, 11, 14));

/// Days of 9 to 15 °C, this many days before the day.
fn record(ago: impl Iterator<Item = i64>) -> WeatherDays {
    ago.map(|ago| {
        let day = DailyWeather {
            min_c: Some(9.0),
            max_c: Some(15.0),
            ..DailyWeather::default()
        };
        (DAY.plus(-ago), day)
    })
    .collect()
}

fn low(celsius: f64, record: &WeatherDays) -> Option<String> {
    let typed = DailyWeather {
        min_c: Some(celsius),
        ..DailyWeather::default()
    };
    unlikely::question(Element::Min, &typed, DAY, record, SpeedUnit::default())
}

#[test]
fn a_low_over_twenty_degrees_from_those_beside_it_is_asked_about() {
    let beside = record(1..=5);
    assert_eq!(low(-11.0, &beside), None);
    assert_eq!(low(29.0, &beside), None);
    let asks = low(-45.0, &beside).expect("asked about");
    assert_eq!(
        asks.replace('\u{a0}', " "),
        "−45.0 °C is far from usual: the lows of the days beside it are 9.0 °C to 9.0 °C. Mend it, or tick that it is right."
    );
    assert!(low(-11.1, &beside).is_some());
}

#[test]
fn a_low_far_from_its_season_in_other_years_is_asked_about_where_twenty_days_tell() {
    let year = |days: i64| record(365 - days / 2..365 + days / 2);
    let asks = low(-12.0, &year(20)).expect("asked about");
    assert!(asks.contains("the lows of this season here"), "{asks}");
    assert_eq!(low(-12.0, &year(18)), None, "too few to tell");
    assert_eq!(low(-12.0, &record(40..80)), None, "another season");
}

#[test]
fn with_nothing_to_hold_it_against_only_what_hardly_any_place_has_is_asked_about() {
    let nothing = WeatherDays::new();
    assert_eq!(low(-30.0, &nothing), None);
    assert!(low(-45.0, &nothing).is_some());
    // The day as it stands is no measure of itself.
    assert!(low(-45.0, &record(0..1)).is_some());
}

#[test]
fn rain_wind_and_pressure_have_bounds_of_their_own() {
    let nothing = WeatherDays::new();
    let asked = |element, typed: DailyWeather| {
        unlikely::question(element, &typed, DAY, &nothing, SpeedUnit::default()).is_some()
    };
    let rain = |mm| DailyWeather {
        rain_mm: Some(mm),
        ..DailyWeather::default()
    };
    let wind = |speed| DailyWeather {
        wind_ms: Some(speed),
        ..DailyWeather::default()
    };
    let pressure = |hpa| DailyWeather {
        pressure_hpa: Some(hpa),
        ..DailyWeather::default()
    };
    for (mm, want) in [(99.9, false), (100.0, true), (350.0, true)] {
        assert_eq!(asked(Element::Rain, rain(mm)), want, "{mm} mm");
    }
    for (speed, want) in [(25.0, false), (25.1, true)] {
        assert_eq!(asked(Element::Wind, wind(speed)), want, "{speed} m/s");
    }
    for (hpa, want) in [
        (939.9, true),
        (940.0, false),
        (1055.0, false),
        (1055.1, true),
    ] {
        assert_eq!(asked(Element::Pressure, pressure(hpa)), want, "{hpa} hPa");
    }
    assert!(!asked(Element::Ice, rain(350.0)));
}
