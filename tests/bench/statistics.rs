//! Time of the statistics over twenty years of days: `cargo bench --bench statistics`.

#[path = "../statistics/simulated_club.rs"]
#[expect(dead_code, reason = "the bench makes the rows of a club only")]
mod simulated_club;

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use peglore::{
    domain::{
        dates::Day,
        weather::{DailyWeather, WeatherDays, WindFrom},
    },
    statistics::{
        expectation::{Layout, Row, fit, walk_forward},
        like_days,
        run_up::{RunUp, Surroundings},
        water_temperature::WaterReading,
    },
};
use simulated_club::{Club, WEEKLY};

const LAYOUT: Layout = Layout::RUN_UP;

fn rows(match_days: usize, every: usize) -> Vec<Row> {
    Club {
        match_days,
        every,
        form_spread: 0.3,
        effect: 0.3,
    }
    .rows(1)
}

/// Days in twenty years.
const DAYS: i64 = 7_305;

fn first_day() -> Day {
    Day::new(2006, 1, 1).expect("a day of the calendar")
}

/// Twenty years of weather with every element known: a yearly wave, and something that turns
/// from day to day.
fn weather() -> WeatherDays {
    let of = |i: i64| {
        let (year, turn) = (i as f64 / 58.1, i as f64 * 0.7);
        let mean = 10.0 - 7.0 * year.cos() + 3.0 * turn.sin();
        DailyWeather {
            min_c: Some(mean - 4.0),
            max_c: Some(mean + 4.0),
            rain_mm: Some((5.0 * turn.cos()).max(0.0)),
            wind_ms: Some(3.0 + turn.sin()),
            wind_from: Some(WindFrom::degrees(47.0 * i as f64)),
            pressure_hpa: Some(1_014.0 + 9.0 * (0.3 * turn).sin()),
            ..DailyWeather::default()
        }
    };
    (0..DAYS).map(|i| (first_day().plus(i), of(i))).collect()
}

fn features(criterion: &mut Criterion) {
    let weather = weather();
    let water: Vec<WaterReading> = (0..60)
        .map(|i| WaterReading {
            day: first_day().plus(100 + 120 * i),
            temp_c: 11.0 + 6.0 * (i as f64).sin(),
        })
        .collect();
    let without = Surroundings {
        latitude: Some(53.0),
        ..Surroundings::weather_only(&weather)
    };
    let with = Surroundings {
        water: &water,
        ..without
    };
    let last = first_day().plus(DAYS);
    let mut group = criterion.benchmark_group("run-up features, twenty years of days");
    group.sample_size(10);
    group.bench_function("one day", |b| {
        b.iter(|| RunUp::of(black_box(last), &without).features());
    });
    group.bench_function("one day, water temperature from sixty readings too", |b| {
        b.iter(|| RunUp::of(black_box(last), &with).features());
    });
    group.bench_function("every day", |b| {
        let days = || (0..DAYS).map(|i| RunUp::of(first_day().plus(i), &without).features());
        b.iter(|| days().filter(|one| one[0].is_some()).count());
    });
    group.finish();
}

fn expectation(criterion: &mut Criterion) {
    let demo = rows(104, WEEKLY);
    let weekly = rows(1_044, WEEKLY);
    let daily = rows(7_305, 1);
    let mut group = criterion.benchmark_group("expectation");
    group.sample_size(10);
    group.bench_function("fit, 104 match days", |b| {
        b.iter(|| fit(black_box(&demo), &LAYOUT))
    });
    group.bench_function("walk forward, 104 match days", |b| {
        b.iter(|| walk_forward(black_box(&demo), &LAYOUT));
    });
    group.bench_function("fit, twenty years of weekly matches", |b| {
        b.iter(|| fit(black_box(&weekly), &LAYOUT));
    });
    group.bench_function("walk forward, twenty years of weekly matches", |b| {
        b.iter(|| walk_forward(black_box(&weekly), &LAYOUT));
    });
    group.bench_function("fit, twenty years of daily reports", |b| {
        b.iter(|| fit(black_box(&daily), &LAYOUT));
    });
    group.finish();
}

fn like_days(criterion: &mut Criterion) {
    let daily = rows(7_305, 1);
    let fitted = fit(&daily[..7_304], &LAYOUT).expect("a club that catches can be fitted");
    let asked = daily[7_304].ahead();
    let mut group = criterion.benchmark_group("like days of twenty years of daily reports");
    group.bench_function("expectation of a day", |b| {
        b.iter(|| fitted.expect(black_box(&asked)))
    });
    group.bench_function("nearest ten", |b| {
        b.iter(|| like_days::nearest(&fitted, black_box(&asked), 10));
    });
    group.finish();
}

criterion_group!(benches, features, expectation, like_days);
criterion_main!(benches);
