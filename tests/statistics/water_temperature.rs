//! Water from the air of the days before: smoothing by hand, and recovery of a known lag.
//!
//! Source: first-order exchange of heat, `dTw/dt = (A − Tw)/τ`, solved for a day of constant air:
//! `Tw(i) = Tw(i−1) + k·(A(i) − Tw(i−1))`, `k = 1 − e^(−1/τ)`; the figures worked by hand. Which
//! lags are tried and how few readings suffice: common practice, no source.

use peglore::{
    domain::weather::WeatherDays,
    statistics::water_temperature::{WaterReading, WaterTemperature, before, smoothed},
};
use proptest::prelude::*;

use super::weather_days::{day, seattle, with_means};
use crate::tables::close;

#[test]
fn smoothing_follows_the_worked_example() {
    // First-order exchange with τ = 5, so k = 0.181269: start 10, air 10, 14, 18, 16, 8.
    let session = day("2026-05-01");
    let mut air = vec![10.0; 57];
    air.extend([14.0, 18.0, 16.0, 8.0]);
    let weather = with_means(session, &air);
    for (ago, want) in [
        (5, 10.0),
        (4, 10.7251),
        (3, 12.0438),
        (2, 12.7609),
        (1, 11.8979),
    ] {
        let day = session.plus(-ago);
        let got = match ago {
            // The window of each day is its own 61 days; only the last has all of them.
            1 => smoothed(&weather, day, 5.0),
            _ => smoothed(
                &with_means(day.plus(1), &air[..air.len() + 1 - ago as usize]),
                day,
                5.0,
            ),
        };
        close(got.expect("enough days"), want, 1e-5);
    }
}

#[test]
fn a_missing_day_leaves_the_smoothing_as_it_was_and_over_a_third_ends_it() {
    let session = day("2026-05-01");
    let mut weather = with_means(session, &[10.0; 61]);
    weather.insert(
        session.plus(-2),
        with_means(session.plus(-1), &[18.0])[&session.plus(-2)],
    );
    weather.remove(&session.plus(-1));
    let eve = session.plus(-1);
    let share = 1.0 - (-0.2_f64).exp();
    close(
        smoothed(&weather, eve, 5.0).expect("enough"),
        10.0 + 8.0 * share,
        1e-12,
    );

    for ago in 3..22 {
        weather.remove(&session.plus(-ago));
    }
    assert!(smoothed(&weather, eve, 5.0).is_some(), "20 of 61 missing");
    weather.remove(&session.plus(-22));
    assert_eq!(smoothed(&weather, eve, 5.0), None, "21 of 61 missing");
}

/// Readings made from the smoothed air itself.
fn readings(
    weather: &WeatherDays,
    lag: f64,
    level: f64,
    slope: f64,
    count: i64,
) -> Vec<WaterReading> {
    (0..count)
        .map(|place| {
            let day = day("2013-01-10").plus(17 * place);
            let air = smoothed(weather, day, lag).expect("a long record");
            WaterReading {
                day,
                temp_c: level + slope * air,
            }
        })
        .collect()
}

#[test]
fn a_pond_of_known_lag_level_and_slope_is_recovered() {
    let weather = seattle();
    for lag in [1.0, 2.0, 3.0, 5.0, 8.0, 12.0, 20.0] {
        let readings = readings(&weather, lag, 1.5, 0.9, 20);
        let session = day("2014-06-15");
        let air = smoothed(&weather, session.plus(-1), lag).expect("a long record");
        match before(session, &weather, &readings) {
            Some(WaterTemperature::Estimated {
                temp_c,
                error_c,
                readings,
                lag_days,
            }) => {
                close(temp_c, 1.5 + 0.9 * air, 1e-9);
                assert!(error_c < 1e-9);
                assert_eq!((readings, lag_days), (20, lag));
            }
            other => panic!("{other:?}"),
        }
    }
}

#[test]
fn leaving_one_out_is_the_same_as_fitting_without_it() {
    let weather = seattle();
    let mut noisy = readings(&weather, 3.0, 1.0, 0.8, 9);
    for (place, read) in noisy.iter_mut().enumerate() {
        read.temp_c += [0.6, -0.4, 0.9, -1.1, 0.2, 0.5, -0.7, 0.1, -0.3][place];
    }
    let session = day("2014-06-15");
    let Some(WaterTemperature::Estimated {
        error_c, lag_days, ..
    }) = before(session, &weather, &noisy)
    else {
        panic!("nine readings make an estimate");
    };
    // By brute force at the lag chosen: fit eight, foretell the ninth.
    let point = |read: &WaterReading| {
        (
            smoothed(&weather, read.day, lag_days).expect("air"),
            read.temp_c,
        )
    };
    let mut error = 0.0;
    for left_out in 0..noisy.len() {
        let rest: Vec<_> = (0..noisy.len())
            .filter(|i| *i != left_out)
            .map(|i| point(&noisy[i]))
            .collect();
        let n = rest.len() as f64;
        let (mx, my) = (
            rest.iter().map(|p| p.0).sum::<f64>() / n,
            rest.iter().map(|p| p.1).sum::<f64>() / n,
        );
        let slope = rest.iter().map(|p| (p.0 - mx) * (p.1 - my)).sum::<f64>()
            / rest.iter().map(|p| (p.0 - mx).powi(2)).sum::<f64>();
        let (x, y) = point(&noisy[left_out]);
        error += (y - (my + slope * (x - mx)).max(0.0)).abs() / noisy.len() as f64;
    }
    close(error_c, error, 1e-9);
}

#[test]
fn seven_readings_make_no_estimate_and_same_day_readings_count_once() {
    let weather = seattle();
    let seven = readings(&weather, 3.0, 1.0, 0.8, 7);
    let session = day("2014-06-15");
    assert_eq!(before(session, &weather, &seven), None);
    let twice: Vec<_> = seven.iter().chain(&seven).copied().collect();
    assert_eq!(before(session, &weather, &twice), None);
}

#[test]
fn a_reading_of_the_day_before_stands_and_one_of_the_day_is_not_seen() {
    let session = day("2014-06-15");
    let eve = [16.0, 17.0].map(|temp_c| WaterReading {
        day: session.plus(-1),
        temp_c,
    });
    let on_the_day = WaterReading {
        day: session,
        temp_c: 25.0,
    };
    let readings = [eve[0], eve[1], on_the_day];
    assert_eq!(
        before(session, &WeatherDays::new(), &readings),
        Some(WaterTemperature::Measured {
            temp_c: 16.5,
            readings: 2
        })
    );
    assert_eq!(before(session, &WeatherDays::new(), &[on_the_day]), None);
}

#[test]
fn water_is_never_below_freezing() {
    let session = day("2026-02-01");
    let mut air = vec![-15.0; 61];
    air.splice(
        0..0,
        (0..300).map(|d| 8.0 + 10.0 * (f64::from(d) / 9.0).sin()),
    );
    let weather = with_means(session, &air);
    let readings: Vec<_> = (0..10)
        .map(|place| session.plus(-100 - 15 * place))
        .filter_map(|day| {
            Some(WaterReading {
                day,
                temp_c: 0.9 * smoothed(&weather, day, 2.0)?,
            })
        })
        .collect();
    let got = before(session, &weather, &readings).expect("an estimate");
    assert_eq!(got.temp_c(), 0.0);
}

proptest! {
    #[test]
    fn smoothed_air_stays_within_the_air(air in prop::collection::vec(-10.0..25.0_f64, 61), lag in 1.0..20.0_f64) {
        let session = day("2026-05-01");
        let smooth = smoothed(&with_means(session, &air), session.plus(-1), lag).expect("enough");
        let low = air.iter().copied().fold(f64::INFINITY, f64::min);
        let high = air.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        prop_assert!((low - 1e-9..=high + 1e-9).contains(&smooth));
    }
}
