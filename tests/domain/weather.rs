//! The day's weather: its compass, its units, the wind on a bank, and what people type.

use peglore::domain::weather::{
    Cloud, DailyWeather, Ice, Snow, WindFrom,
    bank_wind::BankWind,
    compass::Compass,
    sources::Element,
    typed::{self, TypedRain, WeatherProblem},
    units::{PressureUnit, RainUnit, SpeedUnit, TemperatureUnit, beaufort, beaufort_words},
};
use proptest::prelude::*;

use crate::tables::close;

#[test]
fn a_bearing_on_a_limit_belongs_to_the_clockwise_sector() {
    // Sixteen sectors of 22.5°, north centred on 0 (WMO-No. 306, from memory); limits by hand.
    let table = [
        (0.0, "N"),
        (11.24, "N"),
        (11.25, "NNE"),
        (11.26, "NNE"),
        (33.74, "NNE"),
        (33.75, "NE"),
        (180.0, "S"),
        (191.25, "SSW"),
        (200.0, "SSW"),
        (225.0, "SW"),
        (348.74, "NNW"),
        (348.75, "N"),
        (359.9, "N"),
        (360.0, "N"),
        (-10.0, "N"),
    ];
    for (bearing, letters) in table {
        assert_eq!(Compass::of(bearing).letters(), letters, "{bearing}");
    }
}

#[test]
fn compass_points_are_read_as_people_write_them() {
    for (text, letters) in [
        ("SW", "SW"),
        ("s.w.", "SW"),
        ("south west", "SW"),
        ("South-Westerly", "SW"),
        ("westerly", "W"),
        ("nne", "NNE"),
        ("north-north-east", "NNE"),
        ("Easterly", "E"),
    ] {
        assert_eq!(
            Compass::parse(text).map(Compass::letters),
            Some(letters),
            "{text}"
        );
    }
    for text in ["", "SW3", "up", "south south", "var", "NSW"] {
        assert_eq!(Compass::parse(text), None, "{text}");
    }
    for point in Compass::all() {
        assert_eq!(Compass::parse(point.letters()), Some(point));
        assert_eq!(Compass::parse(point.name()), Some(point));
        assert_eq!(Compass::of(point.degrees()), point);
    }
}

#[test]
fn wind_on_a_bank_is_told_as_it_is_felt() {
    // An angler facing north; every point of the compass, either hand, and the bearings nearest to
    // another word.
    for (off, words) in [
        (0.0, "into your face"),
        (22.5, "into your face"),
        (33.7, "into your face"),
        (33.8, "into your face from the right"),
        (45.0, "into your face from the right"),
        (56.2, "into your face from the right"),
        (56.3, "across from the right"),
        (67.5, "across from the right"),
        (90.0, "across from the right"),
        (112.5, "across from the right"),
        (123.7, "across from the right"),
        (123.8, "from behind, over your right shoulder"),
        (135.0, "from behind, over your right shoulder"),
        (146.2, "from behind, over your right shoulder"),
        (146.3, "from behind"),
        (157.5, "from behind"),
        (180.0, "from behind"),
    ] {
        assert_eq!(BankWind::of(off, 0.0).words(), words, "{off}");
        let mirrored = words.replace("right", "left");
        assert_eq!(BankWind::of(-off, 0.0).words(), mirrored, "-{off}");
        assert_eq!(BankWind::of(off + 225.0, 225.0).words(), words, "{off}");
    }
    // A bank facing south-west, the wind from the south-south-east.
    assert_eq!(BankWind::of(157.5, 225.0), BankWind::AcrossFromLeft);
    // As a station writes it, whose tens of degrees are shown as the same point.
    assert_eq!(BankWind::of(160.0, 225.0), BankWind::AcrossFromLeft);
    assert_eq!(BankWind::of(225.0, 225.0), BankWind::IntoYourFace);
    assert_eq!(BankWind::of(225.0, 45.0), BankWind::FromBehind);
}

#[test]
fn the_beaufort_force_goes_by_metres_a_second_alone() {
    // WMO-No. 306, code table 1100 (from memory): first and last tenth of each force.
    let firsts = [
        0.0, 0.3, 1.6, 3.4, 5.5, 8.0, 10.8, 13.9, 17.2, 20.8, 24.5, 28.5, 32.7,
    ];
    for (force, first) in firsts.into_iter().enumerate() {
        assert_eq!(beaufort(first), force);
        if let Some(next) = firsts.get(force + 1) {
            assert_eq!(beaufort(next - 0.1), force, "{next}");
        }
    }
    assert_eq!(beaufort(60.0), 12);
    assert_eq!(beaufort(3.36), 3, "to one decimal first: 3.4");
    assert_eq!(beaufort_words(3), "gentle breeze");
}

#[test]
fn units_convert_by_their_definitions() {
    // The international definitions; inches of mercury rounded to 33.86389 hPa.
    close(SpeedUnit::Knots.to_kept(1.0), 0.514_444_444_444, 1e-11);
    close(SpeedUnit::MilesPerHour.to_kept(1.0), 0.447_04, 1e-15);
    close(SpeedUnit::KilometresPerHour.to_kept(36.0), 10.0, 1e-15);
    close(RainUnit::Inches.to_kept(1.0), 25.4, 1e-15);
    close(TemperatureUnit::Fahrenheit.to_kept(41.0), 5.0, 1e-15);
    close(PressureUnit::InchesOfMercury.to_kept(1.0), 33.86389, 1e-6);
    // A conventional mmHg exceeds a 760th of an atmosphere by one part in seven million.
    close(
        PressureUnit::MillimetresOfMercury.to_kept(760.0),
        1013.250144354,
        1e-12,
    );
    assert_eq!(TemperatureUnit::Celsius.show(-2.04), "−2.0 °C");
    assert_eq!(TemperatureUnit::Celsius.show(-0.04), "0.0 °C");
    assert_eq!(SpeedUnit::MilesPerHour.show(5.5), "12 mph");
    assert_eq!(RainUnit::Inches.figure(25.4), "1.00");
}

#[test]
fn what_is_typed_is_taken_in_any_usual_spelling() {
    let celsius = |text| typed::temperature(text, TemperatureUnit::Celsius).expect("readable");
    assert_eq!(celsius(""), None);
    assert_eq!(celsius("  "), None);
    assert_eq!(celsius("4.5"), Some(4.5));
    assert_eq!(celsius("−2,5"), Some(-2.5));
    assert_eq!(celsius("-2 °C"), Some(-2.0));
    assert_eq!(celsius("41F"), Some(5.0));
    assert_eq!(
        typed::temperature("50", TemperatureUnit::Fahrenheit),
        Ok(Some(10.0))
    );

    let rain = |text| typed::rain(text, RainUnit::Millimetres).expect("readable");
    assert_eq!(rain("0"), Some(TypedRain::Millimetres(0.0)));
    assert_eq!(rain("Trace"), Some(TypedRain::Trace));
    assert_eq!(rain("1 in"), Some(TypedRain::Millimetres(25.4)));

    let wind = |text| typed::wind_speed(text, SpeedUnit::MilesPerHour).expect("readable");
    assert_eq!(wind("10"), Some(4.4704));
    assert_eq!(wind("5 m/s"), Some(5.0));
    assert_eq!(wind("calm"), Some(0.0));
    let force_four = wind("Force 4").expect("a force");
    assert_eq!(beaufort(force_four), 4);
    assert_eq!(wind("F4"), Some(force_four));

    assert_eq!(typed::wind_from("SW"), Ok(Some(WindFrom::Degrees(225.0))));
    assert_eq!(typed::wind_from("225°"), Ok(Some(WindFrom::Degrees(225.0))));
    assert_eq!(typed::wind_from("360"), Ok(Some(WindFrom::Degrees(0.0))));
    assert_eq!(typed::wind_from("var."), Ok(Some(WindFrom::Variable)));
    assert_eq!(typed::wind_from(""), Ok(None));
    assert_eq!(typed::wind_from("Calm"), Ok(None), "from nowhere");
    for gap in ["-", " – ", "—"] {
        assert_eq!(wind(gap), None, "{gap}");
        assert_eq!(rain(gap), None, "{gap}");
        assert_eq!(typed::wind_from(gap), Ok(None), "{gap}");
    }

    let pressure = |text| typed::pressure(text, PressureUnit::Hectopascals).expect("readable");
    assert_eq!(pressure("1013.2 mb"), Some(1013.2));
    close(pressure("29.92 in").expect("inches"), 1013.2, 1e-4);
}

#[test]
fn what_cannot_be_taken_is_answered_with_how_to_mend_it() {
    let words = |result: Result<_, WeatherProblem>| result.expect_err("a problem").to_string();
    let hot = words(typed::temperature("68", TemperatureUnit::Celsius).map(|_| ()));
    assert!(hot.contains("write F after it"), "{hot}");
    let mercury = words(typed::pressure("29.92", PressureUnit::Hectopascals).map(|_| ()));
    assert!(mercury.contains("29.92 in"), "{mercury}");
    let point = words(typed::wind_from("windy").map(|_| ()));
    assert!(point.contains("“windy”") && point.contains("SW"), "{point}");
    let wet = words(typed::rain("-1", RainUnit::Millimetres).map(|_| ()));
    assert!(wet.contains("0 to 1000 mm"), "{wet}");
    let force = words(typed::wind_speed("F13", SpeedUnit::MilesPerHour).map(|_| ()));
    assert!(force.contains("0 to 12"), "{force}");
    let crossed = words(typed::low_and_high(Some(9.0), Some(4.0)));
    assert!(crossed.contains("Exchange them"), "{crossed}");
    for text in [
        "1.2.3",
        "5 4",
        "abc",
        "5 bananas",
        "--3",
        "1e3",
        "NaN",
        "inf",
    ] {
        assert!(
            typed::temperature(text, TemperatureUnit::Celsius).is_err(),
            "{text}"
        );
    }
    assert!(typed::wind_from("361").is_err());
}

#[test]
fn limits_are_said_in_the_unit_of_the_figure() {
    let words = |result: Result<_, WeatherProblem>| result.expect_err("a problem").to_string();
    let mercury = words(typed::pressure("1013", PressureUnit::InchesOfMercury).map(|_| ()));
    assert!(
        mercury.contains("outside 25.10 to 32.48 inHg. 1013 inHg is 34,304 hPa; is the figure"),
        "{mercury}"
    );
    let hot = words(typed::temperature("150", TemperatureUnit::Fahrenheit).map(|_| ()));
    assert!(hot.contains("outside −76 to 140 °F"), "{hot}");
    assert!(!hot.contains("write F"), "{hot}");
    let cold = words(typed::temperature("-61", TemperatureUnit::Celsius).map(|_| ()));
    assert!(cold.contains("outside −60 to 60 °C"), "{cold}");
    let wet = words(typed::rain("60", RainUnit::Inches).map(|_| ()));
    assert!(wet.contains("outside 0 to 39.37 in"), "{wet}");
    let windy = words(typed::wind_speed("200", SpeedUnit::MilesPerHour).map(|_| ()));
    assert!(windy.contains("outside 0 to 168 mph"), "{windy}");
}

#[test]
fn figures_that_pages_write_alike_are_the_same() {
    let day = |pressure_hpa, wind_ms| DailyWeather {
        pressure_hpa: Some(pressure_hpa),
        wind_ms: Some(wind_ms),
        ..Default::default()
    };
    let (one, other) = (day(1012.96, 5.15), day(1013.04, 5.55));
    for element in [Element::Pressure, Element::Wind] {
        assert!(element.agrees(&one, &other), "{element:?}");
    }
    assert!(!Element::Pressure.agrees(&one, &day(1013.06, 5.15)));
}

#[test]
fn frost_rain_and_wet_days_go_by_their_definitions() {
    // Air frost below 0.0 °C; rain day 0.2 mm; wet day 1.0 mm (Met Office, from memory).
    let day = |min_c, rain_mm| DailyWeather {
        min_c: Some(min_c),
        rain_mm: Some(rain_mm),
        ..Default::default()
    };
    assert_eq!(day(0.0, 0.1).frost(), Some(false));
    assert_eq!(day(-0.1, 0.2).frost(), Some(true));
    assert_eq!(day(0.0, 0.1).rain_day(), Some(false));
    assert_eq!(day(0.0, 0.2).rain_day(), Some(true));
    assert_eq!(
        (day(0.0, 0.9).wet_day(), day(0.0, 1.0).wet_day()),
        (Some(false), Some(true))
    );
    let unknown = DailyWeather::default();
    assert_eq!(
        (unknown.frost(), unknown.rain(), unknown.mean_c()),
        (None, None, None)
    );
    assert!(unknown.is_empty());
    let trace = DailyWeather {
        rain_trace: true,
        ..Default::default()
    };
    assert_eq!(trace.rain(), Some(0.0));
}

#[test]
fn the_words_of_the_record_read_back() {
    for cloud in Cloud::ALL {
        assert_eq!(Cloud::from_slug(cloud.slug()), Some(*cloud));
    }
    for snow in Snow::ALL {
        assert_eq!(Snow::from_slug(snow.slug()), Some(*snow));
    }
    for ice in Ice::ALL {
        assert_eq!(Ice::from_slug(ice.slug()), Some(*ice));
    }
    let day = DailyWeather {
        ice: Some(Ice::Edges),
        wind_from: Some(WindFrom::Variable),
        ..Default::default()
    };
    let text = serde_json::to_string(&day).expect("plain values");
    assert_eq!(
        serde_json::from_str::<DailyWeather>(&text).expect("our own"),
        day
    );
}

proptest! {
    #[test]
    fn no_text_at_all_makes_a_reader_of_weather_fall_over(text in ".{0,24}") {
        let _ = typed::temperature(&text, TemperatureUnit::Celsius);
        let _ = typed::rain(&text, RainUnit::Inches);
        let _ = typed::wind_speed(&text, SpeedUnit::Knots);
        let _ = typed::wind_from(&text);
        let _ = typed::pressure(&text, PressureUnit::Hectopascals);
    }

    #[test]
    fn a_temperature_shown_is_a_temperature_read(celsius in -40.0..50.0_f64) {
        let shown = TemperatureUnit::Celsius.show(celsius);
        let read = typed::temperature(&shown, TemperatureUnit::Celsius).expect("readable").expect("a figure");
        prop_assert!((read - celsius).abs() <= 0.05 + 1e-9);
    }
}
