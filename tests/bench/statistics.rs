//! Time of the statistics over twenty years of days: `cargo bench --bench statistics`.

#[path = "../statistics/simulated_club.rs"]
#[expect(dead_code, reason = "the bench makes the rows of a club only")]
mod simulated_club;

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use peglore::statistics::{
    expectation::{Layout, Row, fit, walk_forward},
    like_days,
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

criterion_group!(benches, expectation, like_days);
criterion_main!(benches);
