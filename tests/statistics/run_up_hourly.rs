//! The parts of the run-up on hourly and daily data: windows, vector means and conversions,
//! checked against values worked by a separate script in Python. Hours missing from the file
//! are missing, not zero; all in UTC, so the clock change of 10 March 2013 passes unnoticed.

use peglore::{
    domain::{
        dates::Day,
        weather::units::{RainUnit, SpeedUnit, TemperatureUnit},
    },
    numerics::circular::vector_mean,
};

use super::weather_days::{day, seattle};
use crate::tables::{close, number, rows};

struct Hour {
    hours: i64,
    celsius: Option<f64>,
    rain_mm: Option<f64>,
    wind: Option<(Option<f64>, f64)>,
    pressure: Option<f64>,
}

/// Hours since 1970 of `2013-02-11T12:00Z`.
fn hours(text: &str) -> i64 {
    let clock: i64 = text[11..13].parse().expect("an hour");
    Day::parse(&text[..10]).expect("a day").number() * 24 + clock
}

fn jfk() -> Vec<Hour> {
    rows("jfk-hourly.csv")
        .iter()
        .map(|row| {
            let speed = number(row, "wind_speed").map(|mph| SpeedUnit::MilesPerHour.to_kept(mph));
            let from = number(row, "wind_dir");
            Hour {
                hours: hours(&row["time_utc"]),
                celsius: number(row, "temp").map(|f| TemperatureUnit::Fahrenheit.to_kept(f)),
                rain_mm: number(row, "precip").map(|inches| RainUnit::Inches.to_kept(inches)),
                // Calm needs no bearing; wind without one is left out.
                wind: speed
                    .filter(|s| *s == 0.0 || from.is_some())
                    .map(|s| (from, s)),
                pressure: number(row, "pressure"),
            }
        })
        .collect()
}

#[test]
fn hourly_windows_give_rain_wind_and_temperature_as_worked_apart() {
    // Time; rain of 24 and 72 hours; mean, lowest, highest temperature of 72 hours; wind of 24
    // hours: vector speed, bearing, plain speed.
    let table: [(&str, [f64; 8]); 4] = [
        (
            "2013-02-11T12:00Z",
            [
                3.048,
                26.67,
                -1.48611111111,
                -8.3,
                4.0,
                1.79272762234,
                183.675235829,
                2.48648267413,
            ],
        ),
        (
            "2013-03-10T12:00Z",
            [
                0.0,
                6.35,
                3.08055555556,
                -0.6,
                12.8,
                3.05890767336,
                2.86702855007,
                3.6011128384,
            ],
        ),
        (
            "2013-03-22T10:00Z",
            [
                0.0,
                5.334,
                2.7125,
                -1.7,
                7.2,
                4.43043934742,
                314.148613846,
                5.76606758053,
            ],
        ),
        (
            "2013-04-12T17:00Z",
            [
                12.954,
                27.94,
                13.1208333333,
                6.0,
                28.3,
                8.47788263281,
                84.571737233,
                8.85273572773,
            ],
        ),
    ];
    let all = jfk();
    for (time, want) in table {
        let now = hours(time);
        let window = |back: i64| {
            all.iter()
                .filter(move |h| h.hours > now - back && h.hours <= now)
        };
        let rain = |back| window(back).filter_map(|h| h.rain_mm).sum::<f64>();
        let warm: Vec<_> = window(72).filter_map(|h| h.celsius).collect();
        let winds: Vec<_> = window(24).filter_map(|h| h.wind).collect();
        let wind = vector_mean(&winds).expect("a day of wind");
        let got = [
            rain(24),
            rain(72),
            warm.iter().sum::<f64>() / warm.len() as f64,
            warm.iter().copied().fold(f64::INFINITY, f64::min),
            warm.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            wind.speed,
            wind.from_degrees.expect("a bearing"),
            wind.scalar_speed,
        ];
        for (got, want) in got.into_iter().zip(want) {
            close(got, want, 1e-9);
        }
    }
}

#[test]
fn a_pressure_missing_at_either_end_leaves_no_tendency() {
    let all = jfk();
    let at = |time: &str, back| {
        let wanted = hours(time) - back;
        all.iter()
            .find(|h| h.hours == wanted)
            .and_then(|h| h.pressure)
    };
    let less = |time, back| Some(at(time, 0)? - at(time, back)?);
    close(less("2013-02-11T12:00Z", 3).expect("both"), -4.5, 1e-9);
    close(less("2013-02-11T12:00Z", 24).expect("both"), -12.2, 1e-9);
    assert_eq!(less("2013-04-12T17:00Z", 3), None);
    close(less("2013-04-12T17:00Z", 24).expect("both"), -6.0, 1e-9);
}

#[test]
fn daily_windows_leave_out_the_session_day() {
    // Rain of 1, 3, 7 days; days since 1 mm or more; mean of three days.
    let table: [(&str, [f64; 3], i64, f64); 4] = [
        ("2012-01-20", [15.2, 43.1, 55.0], 1, -0.566666666667),
        ("2013-12-10", [0.0, 0.0, 0.0], 8, -2.55),
        ("2014-03-09", [32.3, 35.3, 128.3], 1, 11.2166666667),
        ("2015-08-14", [0.0, 7.6, 7.6], 2, 22.6),
    ];
    let weather = seattle();
    for (date, rain, since_wet, mean) in table {
        let session = day(date);
        let before = |back: i64| weather.range(session.plus(-back)..session).map(|(_, d)| d);
        for (back, want) in [1, 3, 7].into_iter().zip(rain) {
            close(before(back).filter_map(|d| d.rain()).sum(), want, 1e-9);
        }
        let wet = (1..30).find(|back| weather[&session.plus(-back)].wet_day() == Some(true));
        assert_eq!(wet, Some(since_wet));
        close(
            before(3).filter_map(|d| d.mean_c()).sum::<f64>() / 3.0,
            mean,
            1e-9,
        );
    }
}
