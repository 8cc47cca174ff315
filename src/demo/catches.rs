//! Matches and reports of the made-up club, drawn from what [`super::planted`] says.

use rand::{RngExt, rngs::ChaCha8Rng, seq::SliceRandom};

use super::{DemoAngler, DemoVenue, Plan, gamma_mean_one, normal, planted, poisson};
use crate::domain::dates::Day;

/// What somebody caught: number and drams of silvers and of carp.
#[derive(Clone, Copy, Debug, Default)]
pub struct Catch {
    pub silvers: u32,
    pub silvers_dr: u32,
    pub carp: u32,
    pub carp_dr: u32,
}

pub struct DemoMatch {
    pub name: String,
    pub day: Day,
    pub entries: Vec<Entry>,
}

/// One angler in a match. `peg` counts from 0 in walking order.
pub struct Entry {
    pub angler: usize,
    pub peg: usize,
    pub catch: Catch,
    pub did_not_weigh: bool,
}

pub struct DemoReport {
    pub angler: usize,
    pub day: Day,
    pub peg: usize,
    pub start_hour: i8,
    pub hours: u32,
    pub method: usize,
    pub line_m: f64,
    pub catch: Catch,
    pub private: bool,
}

/// Hours of a match.
pub const MATCH_HOURS: f64 = 5.0;

/// Fills a venue with matches, about as many a week all year, and with reports between them.
pub(super) fn fish(
    venue: &mut DemoVenue,
    anglers: &[DemoAngler],
    plan: &Plan,
    first: Day,
    today: Day,
    rng: &mut ChaCha8Rng,
) {
    let pegs = venue.peg_count();
    let peg_effect: Vec<f64> = (0..pegs).map(|_| planted::PEG * normal(rng)).collect();
    let span = today.days_since(first);
    let day_effect: Vec<f64> = (0..span).map(|_| planted::DAY * normal(rng)).collect();
    let rate = |day: Day, venue: &DemoVenue| {
        log_rate_on(day, first, venue) + day_effect[day.days_since(first) as usize]
    };

    for place in 0..plan.matches {
        let ahead = 14 + (span - 15) * place as i64 / plan.matches as i64;
        let day = first.plus(ahead);
        let field = rng.random_range(plan.entries.clone()).min(pegs);
        let who = shuffled(anglers.len(), field, rng);
        let drawn = shuffled(pegs, field, rng);
        let entries = who
            .into_iter()
            .zip(drawn)
            .map(|(angler, peg)| {
                let log = rate(day, venue) + anglers[angler].skill + peg_effect[peg];
                let catch = caught(log.exp() * MATCH_HOURS, rng);
                let poor = catch.silvers + catch.carp < 3;
                let did_not_weigh = poor && rng.random::<f64>() < 0.4;
                Entry {
                    angler,
                    peg,
                    catch,
                    did_not_weigh,
                }
            })
            .collect();
        let name = format!(
            "{}, round {}",
            [
                "Frost Cup",
                "Willow Shield",
                "Thursday series",
                "Summer League"
            ][place % 4],
            place / 4 + 1
        );
        venue.matches.push(DemoMatch { name, day, entries });
    }
    for _ in 0..plan.reports {
        // Good days draw people out: of three days thought of, the mildest is often chosen.
        let ahead = (0..3).map(|_| rng.random_range(14..span)).max_by(|a, b| {
            let mild = |d: &i64| venue.weather[*d as usize].anomaly_c;
            mild(a).total_cmp(&mild(b))
        });
        let day = first.plus(ahead.unwrap_or(14));
        let angler = rng.random_range(0..anglers.len());
        let peg = rng.random_range(0..pegs);
        let hours = rng.random_range(3..=7);
        let log = rate(day, venue) + anglers[angler].skill + peg_effect[peg];
        venue.reports.push(DemoReport {
            angler,
            day,
            peg,
            start_hour: rng.random_range(7..=11),
            hours,
            method: rng.random_range(0..6),
            line_m: f64::from(rng.random_range(2..=13_u32)) * 2.0,
            catch: caught(log.exp() * f64::from(hours), rng),
            private: rng.random::<f64>() < 0.15,
        });
    }
    let on = |part: i64| first.plus(span * part / 10);
    venue.diary = vec![
        (
            on(2),
            "stocking",
            "Two hundred small tench and a net of roach put in by the dam.",
        ),
        (
            on(4),
            "bank works",
            "Three platforms rebuilt; the path is level again.",
        ),
        (
            on(7),
            "predators",
            "Cormorants most mornings this fortnight.",
        ),
    ];
}

/// The planted log rate on a day, from the weather before it.
fn log_rate_on(day: Day, first: Day, venue: &DemoVenue) -> f64 {
    let ahead = day.days_since(first) as usize;
    let before = |days: usize| &venue.weather[ahead.saturating_sub(days)..ahead];
    let three = before(3);
    let warmth = three.iter().map(|w| w.anomaly_c).sum::<f64>() / three.len().max(1) as f64;
    let frosts = before(7).iter().filter(|w| w.min_c < 0.0).count() as f64;
    planted::log_rate(f64::from(day.day_of_year()), warmth, frosts)
}

/// A bunched count around `mean`, one in six a carp, with weights.
fn caught(mean: f64, rng: &mut ChaCha8Rng) -> Catch {
    let fish = poisson(mean * gamma_mean_one(planted::BUNCHING, rng), rng);
    let carp = (0..fish)
        .filter(|_| rng.random::<f64>() < 1.0 / 6.0)
        .count() as u32;
    let mut weigh = |count: u32, ounces: f64| -> u32 {
        (0..count)
            .map(|_| {
                (16.0 * ounces * (0.45 * normal(rng)).exp())
                    .round()
                    .max(4.0) as u32
            })
            .sum()
    };
    Catch {
        silvers: fish - carp,
        silvers_dr: weigh(fish - carp, 3.5),
        carp,
        carp_dr: weigh(carp, 40.0),
    }
}

/// `take` different numbers below `of`, in random order.
fn shuffled(of: usize, take: usize, rng: &mut ChaCha8Rng) -> Vec<usize> {
    let mut all: Vec<_> = (0..of).collect();
    all.shuffle(rng);
    all.truncate(take);
    all
}
