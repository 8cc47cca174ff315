//! Run-up features against values worked by a separate script in Python, from NOAA's Seattle
//! days and ASOS hours of JFK (see tests/data/SOURCES.md).

use peglore::{
    domain::weather::{DailyWeather, Ice, WeatherDays, WindFrom},
    statistics::run_up::{RunUp, Surroundings, usual_temperature},
};
use proptest::prelude::*;

use super::weather_days::{day, seattle, with_means};
use crate::tables::close;

fn run_up(weather: &WeatherDays, date: &str) -> RunUp {
    RunUp::of(day(date), &Surroundings::weather_only(weather))
}

#[track_caller]
fn same(got: Option<f64>, want: Option<f64>) {
    match (got, want) {
        (Some(got), Some(want)) => close(got, want, 1e-9),
        _ => assert_eq!(got, want),
    }
}

/// Seattle's days: means of (min + max)/2; slope by Theil (1950) and Sen (1968); frost night, a
/// minimum below 0 °C (ETCCDI index FD).
#[test]
fn temperature_frost_and_rain_agree_with_the_reference() {
    // Mean of 1, 3, 7 days; Theil–Sen; frost nights; rain of 1, 3, 7 days; last night.
    let table: [(&str, [f64; 9]); 4] = [
        (
            "2012-01-20",
            [
                -1.95,
                -0.5666666667,
                0.0357142857,
                -0.5,
                5.0,
                15.2,
                43.1,
                55.0,
                -1.1,
            ],
        ),
        (
            "2013-12-10",
            [-1.9, -2.55, -1.1071428571, -0.825, 7.0, 0.0, 0.0, 0.0, 0.6],
        ),
        (
            "2014-03-09",
            [
                9.75,
                11.2166666667,
                10.8857142857,
                0.4,
                0.0,
                32.3,
                35.3,
                128.3,
                9.4,
            ],
        ),
        (
            "2015-08-14",
            [
                21.95,
                22.6,
                22.0285714286,
                0.1833333333,
                0.0,
                0.0,
                7.6,
                7.6,
                15.0,
            ],
        ),
    ];
    let weather = seattle();
    for (date, want) in table {
        let got = run_up(&weather, date);
        let got = [
            got.mean_1d_c,
            got.mean_3d_c,
            got.mean_7d_c,
            got.change_c_per_day,
            got.frost_nights,
            got.rain_1d_mm,
            got.rain_3d_mm,
            got.rain_7d_mm,
            got.last_night_min_c,
        ];
        for (got, want) in got.into_iter().zip(want) {
            same(got, Some(want));
        }
    }
}

/// Over a third of a window missing leaves nothing; sums and counts are scaled to the window
/// (our own rule, no source).
#[test]
fn gaps_scale_what_is_counted_and_over_a_third_leaves_nothing() {
    let mut weather = seattle();
    let mut lose = |date: &str, what: &dyn Fn(&mut DailyWeather)| {
        what(weather.get_mut(&day(date)).expect("a day of the file"));
    };
    // Without the minimum of D−2, the maximum of D−6, the rain of D−5.
    lose("2012-01-18", &|d| d.min_c = None);
    lose("2012-01-14", &|d| d.max_c = None);
    lose("2012-01-15", &|d| d.rain_mm = None);
    let got = run_up(&weather, "2012-01-20");
    same(got.mean_1d_c, Some(-1.95));
    same(got.rain_1d_mm, Some(15.2));
    same(got.last_night_min_c, Some(-1.1));
    same(got.mean_3d_c, Some(-0.15));
    same(got.mean_7d_c, Some(-0.17));
    same(got.change_c_per_day, Some(-0.3395833333));
    same(got.frost_nights, Some(4.6666666667));
    same(got.rain_3d_mm, Some(43.1));
    same(got.rain_7d_mm, Some(57.9833333333));

    // And the minimum of D−4 as well: two of seven minima, three of seven means are gone.
    weather
        .get_mut(&day("2012-01-16"))
        .expect("a day of the file")
        .min_c = None;
    weather
        .get_mut(&day("2012-01-15"))
        .expect("a day of the file")
        .rain_mm = seattle()[&day("2012-01-15")].rain_mm;
    let got = run_up(&weather, "2012-01-20");
    same(got.mean_3d_c, Some(-0.15));
    same(got.mean_7d_c, None);
    same(got.change_c_per_day, None);
    same(got.frost_nights, Some(4.2));
    same(got.rain_7d_mm, Some(55.0));
}

/// Daily pressure (hPa), wind (m/s) and bearing made from the hours of JFK, rounded as printed.
const JFK: [(&str, f64, f64, f64); 12] = [
    ("2013-02-08", 1021.0, 7.95, 49.0),
    ("2013-02-09", 1014.6, 9.90, 326.0),
    ("2013-02-10", 1029.2, 3.45, 311.0),
    ("2013-02-11", 1023.4, 3.39, 185.0),
    ("2013-03-18", 1027.6, 5.85, 61.0),
    ("2013-03-19", 1010.2, 6.43, 36.0),
    ("2013-03-20", 1010.6, 7.50, 275.0),
    ("2013-03-21", 1007.9, 4.74, 335.0),
    ("2013-04-08", 1017.3, 3.62, 179.0),
    ("2013-04-09", 1014.8, 3.49, 254.0),
    ("2013-04-10", 1013.0, 3.85, 93.0),
    ("2013-04-11", 1013.7, 5.10, 85.0),
];

fn jfk() -> WeatherDays {
    let weather = |(date, pressure, speed, from): (&str, f64, f64, f64)| {
        let weather = DailyWeather {
            pressure_hpa: Some(pressure),
            wind_ms: Some(speed),
            wind_from: Some(WindFrom::Degrees(from)),
            ..Default::default()
        };
        (day(date), weather)
    };
    JFK.into_iter().map(weather).collect()
}

/// Vector mean by US EPA-454/R-99-005, section 6.2: speed-weighted, bearings it comes from.
#[test]
fn pressure_and_wind_agree_with_the_reference() {
    // Pressure, less D−2, less D−4; vector, plain speed, steadiness, bearing, westerly, southerly.
    let table: [(&str, [f64; 9]); 3] = [
        (
            "2013-02-12",
            [
                1023.4,
                -5.8,
                2.4,
                3.673849285,
                5.58,
                0.6583959292,
                310.0628772,
                2.811738588,
                -2.364591864,
            ],
        ),
        (
            "2013-03-22",
            [
                1007.9,
                -2.7,
                -19.7,
                3.879996088,
                6.223333333,
                0.6234594679,
                330.7067413,
                1.898403875,
                -3.383848752,
            ],
        ),
        (
            "2013-04-12",
            [
                1013.7,
                0.7,
                -3.6,
                1.872239951,
                4.146666667,
                0.4515048113,
                97.35437848,
                -1.856837783,
                0.2396578384,
            ],
        ),
    ];
    let weather = jfk();
    for (date, want) in table {
        let got = run_up(&weather, date);
        let wind = got.wind.expect("three days of wind");
        let got = [
            got.pressure_hpa,
            got.pressure_change_1d_hpa,
            got.pressure_change_3d_hpa,
            Some(wind.speed_ms),
            Some(wind.scalar_speed_ms),
            wind.steadiness,
            wind.from_deg,
            Some(wind.westerly_ms),
            Some(wind.southerly_ms),
        ];
        for (got, want) in got.into_iter().zip(want) {
            same(got, Some(want));
        }
    }
}

#[test]
fn a_wind_that_went_round_has_no_bearing_but_keeps_its_components() {
    let session = day("2026-11-15");
    let wind = |from| DailyWeather {
        wind_ms: Some(5.0),
        wind_from: Some(from),
        ..Default::default()
    };
    let weather: WeatherDays = [
        (session.plus(-3), wind(WindFrom::Degrees(270.0))),
        (session.plus(-2), wind(WindFrom::Degrees(100.0))),
        (session.plus(-1), wind(WindFrom::Variable)),
    ]
    .into();
    let wind = RunUp::of(session, &Surroundings::weather_only(&weather))
        .wind
        .expect("three days");
    assert!(wind.steadiness.expect("some wind") < 0.2);
    assert_eq!(wind.from_deg, None);
    close(wind.scalar_speed_ms, 5.0, 1e-12);
    close(
        wind.westerly_ms,
        5.0 * (1.0 - 100.0_f64.to_radians().sin()) / 3.0,
        1e-12,
    );
}

#[test]
fn ice_is_counted_back_from_the_session_and_forgotten_after_a_fortnight() {
    let session = day("2026-01-20");
    let seen = |ago: i64, ice| {
        (
            session.plus(-ago),
            DailyWeather {
                ice: Some(ice),
                ..Default::default()
            },
        )
    };
    let of = |days: Vec<_>| {
        RunUp::of(
            session,
            &Surroundings::weather_only(&days.into_iter().collect()),
        )
    };

    assert_eq!(
        of(vec![seen(3, Ice::Edges), seen(1, Ice::None)]).days_since_ice,
        Some(3)
    );
    assert_eq!(of(vec![seen(14, Ice::All)]).days_since_ice, Some(14));
    assert_eq!(of(vec![seen(15, Ice::All)]).days_since_ice, None);
    assert_eq!(
        of(vec![seen(0, Ice::All)]).days_since_ice,
        None,
        "the day itself does not count"
    );
    let none = of(vec![seen(2, Ice::None)]);
    assert_eq!((none.days_since_ice, none.ice_days_known), (None, 1));
}

#[test]
fn last_night_is_left_out_where_the_session_began_before_it_was_over() {
    let weather = seattle();
    let before_dawn = Surroundings {
        night_is_over: false,
        ..Surroundings::weather_only(&weather)
    };
    assert_eq!(
        RunUp::of(day("2012-01-20"), &before_dawn).last_night_min_c,
        None
    );
}

#[test]
fn a_record_without_a_single_day_gives_a_season_and_nothing_else() {
    let empty = WeatherDays::new();
    let got = run_up(&empty, "2026-07-02");
    assert_eq!(got.features(), [None; 8]);
    assert_eq!((got.water, got.wind, got.day_length_h), (None, None, None));
    close(
        got.season_sine,
        (std::f64::consts::TAU * 183.0 / 365.25).sin(),
        1e-12,
    );
    let there = Surroundings {
        latitude: Some(52.4862),
        ..Surroundings::weather_only(&empty)
    };
    let length = RunUp::of(day("2026-06-21"), &there)
        .day_length_h
        .expect("a latitude");
    close(length, 1009.82 / 60.0, 2.0 / 1009.0);
}

#[test]
fn the_usual_temperature_is_that_of_the_same_weeks_in_earlier_years() {
    let weather = seattle();
    let usual = usual_temperature(&weather, day("2014-03-09")).expect("two earlier years");
    assert_eq!(usual.days, 62);
    let by_hand: Vec<_> = [2012, 2013]
        .into_iter()
        .flat_map(|year| {
            let centre = day(&format!("{year}-03-09"));
            (-15..=15).map(move |offset| centre.plus(offset))
        })
        .filter_map(|day| weather[&day].mean_c())
        .collect();
    close(usual.mean_c, by_hand.iter().sum::<f64>() / 62.0, 1e-12);
    assert_eq!(
        usual_temperature(&weather, day("2012-03-09")),
        None,
        "no earlier year"
    );
}

proptest! {
    #[test]
    fn nothing_dated_the_session_or_later_changes_a_feature(
        offset in 0..40_i64, low in -20.0..20.0_f64, rain in 0.0..50.0_f64, pressure in 950.0..1050.0_f64,
    ) {
        let session = day("2014-03-09");
        let mut weather = seattle();
        let night_not_over = |weather: &WeatherDays| RunUp::of(
            session,
            &Surroundings { night_is_over: false, ..Surroundings::weather_only(weather) },
        );
        let before = night_not_over(&weather);
        weather.insert(session.plus(offset), DailyWeather {
            min_c: Some(low), max_c: Some(low + 5.0), rain_mm: Some(rain), wind_ms: Some(9.0),
            wind_from: Some(WindFrom::Degrees(10.0)), pressure_hpa: Some(pressure), ice: Some(Ice::All),
            ..Default::default()
        });
        prop_assert_eq!(night_not_over(&weather), before);
    }

    #[test]
    fn a_warmer_week_moves_the_means_and_not_the_change(
        means in prop::collection::vec(-10.0..25.0_f64, 7), warmer in 0.1..10.0_f64,
    ) {
        let session = day("2026-05-01");
        let of = |means: &[f64]| {
            let weather = with_means(session, means);
            RunUp::of(session, &Surroundings::weather_only(&weather))
        };
        let (cold, warm) = (of(&means), of(&means.iter().map(|c| c + warmer).collect::<Vec<_>>()));
        let moved = warm.mean_7d_c.expect("seven") - cold.mean_7d_c.expect("seven");
        prop_assert!((moved - warmer).abs() < 1e-9);
        let change = warm.change_c_per_day.expect("seven") - cold.change_c_per_day.expect("seven");
        prop_assert!(change.abs() < 1e-9);
    }
}
