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
fn a_low_over_fifteen_degrees_from_those_beside_it_is_asked_about() {
    let beside = record(1..=5);
    assert_eq!(low(-6.0, &beside), None);
    assert_eq!(low(24.0, &beside), None);
    let asks = low(-45.0, &beside).expect("asked about");
    assert_eq!(
        asks.replace('\u{a0}', " "),
        "−45.0 °C is far from usual: the middle of the lows of the days beside it is 9.0 °C. Mend it, or tick that it is right."
    );
    assert!(low(-6.1, &beside).is_some());
}

#[test]
fn a_summers_high_in_november_is_asked_about_and_a_mild_spell_is_not() {
    let week = [4.0, 9.0, 18.0, 11.0, 15.2];
    let record: WeatherDays = (week.iter().zip(1..))
        .map(|(high, ago)| {
            let day = DailyWeather {
                max_c: Some(*high),
                ..DailyWeather::default()
            };
            (DAY.plus(-ago), day)
        })
        .collect();
    let high = |celsius| {
        let typed = DailyWeather {
            max_c: Some(celsius),
            ..DailyWeather::default()
        };
        unlikely::question(Element::Max, &typed, DAY, &record, SpeedUnit::default())
    };
    assert!(high(33.0).is_some());
    for mild in [-2.0, 4.0, 15.0, 19.0, 22.0] {
        assert_eq!(high(mild), None, "{mild}");
    }
}

#[test]
fn a_low_and_a_high_of_one_day_are_asked_about_over_thirty_degrees_apart() {
    let nothing = WeatherDays::new();
    let asks = |low, high| {
        let typed = DailyWeather {
            min_c: Some(low),
            max_c: Some(high),
            ..DailyWeather::default()
        };
        unlikely::remark(Element::Max, &typed, DAY, &nothing, SpeedUnit::default())
    };
    assert_eq!(asks(2.0, 32.0), None);
    let said = asks(-25.0, 30.0).expect("far apart");
    assert_eq!(
        said.replace('\u{a0}', " "),
        "30.0 °C is further above the low of −25.0 °C than one day usually brings."
    );
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
