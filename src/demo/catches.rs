//! Matches and reports of the made-up club, drawn from what [`super::planted`] says.

use std::collections::BTreeSet;

use rand::{RngExt, rngs::ChaCha8Rng, seq::SliceRandom};

use super::{DemoAngler, DemoVenue, Plan, gamma_mean_one, normal, planted, poisson, trimmings};
use crate::domain::{dates::Day, matches::Outcome};

/// What somebody caught: number and drams of silvers and of carp.
#[derive(Clone, Copy, Debug, Default)]
pub struct Catch {
    pub silvers: u32,
    pub silvers_dr: u32,
    pub carp: u32,
    pub carp_dr: u32,
}

impl Catch {
    pub fn drams(&self) -> u32 {
        self.silvers_dr + self.carp_dr
    }
}

pub struct DemoMatch {
    pub name: String,
    pub day: Day,
    /// In walking order; none in a match without.
    pub sections: &'static [&'static str],
    pub teams: &'static [&'static str],
    pub entries: Vec<Entry>,
    /// The entry whose first net was read wrongly from the card, and put right afterwards.
    pub misread: Option<usize>,
}

/// One angler in a match. `peg` counts from 0 in walking order, section and team in their lists.
pub struct Entry {
    pub angler: usize,
    pub peg: usize,
    pub catch: Catch,
    pub outcome: Outcome,
    pub section: Option<usize>,
    pub team: Option<usize>,
    /// How the angler reports having fished, where one was written.
    pub own: Option<Fished>,
}

/// How somebody fished: the opening, and what it was changed to after how much of the time.
#[derive(Clone, Debug)]
pub struct Fished {
    pub opening: Approach,
    pub later: Option<(f64, Approach)>,
    /// Fish of each hour, silvers and carp, where they were written down.
    pub by_hour: Option<Vec<(u32, u32)>>,
    /// The biggest carp: drams, and minutes after the start.
    pub biggest: Option<(u32, u32)>,
}

/// Method and bait count from 0 in their lists; line and depth in metres.
#[derive(Clone, Debug)]
pub struct Approach {
    pub method: usize,
    pub bait: usize,
    pub line_m: f64,
    pub depth_m: Option<f64>,
}

pub struct DemoReport {
    pub angler: usize,
    pub day: Day,
    pub peg: usize,
    pub start_hour: i8,
    pub hours: u32,
    /// The hours were written down; without them it enters no rate.
    pub timed: bool,
    pub fished: Fished,
    pub catch: Catch,
    pub private: bool,
}

/// Hours of a match.
pub const MATCH_HOURS: u32 = 5;

/// Fills a venue with matches, evenly over the years up to yesterday, and with reports between
/// them. `busy` holds who fished on which day, at any of the waters: nobody is in two places.
pub(super) fn fish(
    venue: &mut DemoVenue,
    anglers: &[DemoAngler],
    plan: &Plan,
    (first, today): (Day, Day),
    busy: &mut BTreeSet<(Day, usize)>,
    rng: &mut ChaCha8Rng,
) {
    let pegs = venue.peg_count();
    let span = today.days_since(first);
    let water = Water {
        peg: (0..pegs).map(|_| planted::PEG * normal(rng)).collect(),
        day: (0..span).map(|_| planted::DAY * normal(rng)).collect(),
        first,
    };
    for place in 0..plan.matches {
        let ahead = 14 + (span - 15) * (place as i64 + 1) / plan.matches as i64;
        let day = first.plus(ahead);
        let field = rng.random_range(plan.entries.clone()).min(pegs);
        let mut who = shuffled(anglers.len(), rng);
        who.retain(|angler| !busy.contains(&(day, *angler)));
        who.truncate(field);
        let entries = who
            .into_iter()
            .zip(shuffled(pegs, rng))
            .map(|(angler, peg)| {
                busy.insert((day, angler));
                let log = water.log_rate(day, venue, peg) + anglers[angler].skill;
                entry(
                    angler,
                    peg,
                    caught(log.exp() * f64::from(MATCH_HOURS), rng),
                    rng,
                )
            })
            .collect();
        venue.matches.push(DemoMatch {
            name: String::new(),
            day,
            sections: &[],
            teams: &[],
            entries,
            misread: None,
        });
    }
    for _ in 0..plan.reports {
        let report = report(venue, anglers, &water, span, busy, rng);
        venue.reports.push(report);
    }
    trimmings::trim(venue, plan, today, anglers.len(), busy, rng);
}

/// What holds at one water all the time.
struct Water {
    peg: Vec<f64>,
    day: Vec<f64>,
    first: Day,
}

impl Water {
    fn log_rate(&self, day: Day, venue: &DemoVenue, peg: usize) -> f64 {
        let ahead = day.days_since(self.first) as usize;
        planted_log_rate(day, ahead, venue) + self.day[ahead] + self.peg[peg]
    }
}

/// Blank where nothing was caught; anglers with fewer than three fish do not weigh, four times in ten.
fn entry(angler: usize, peg: usize, catch: Catch, rng: &mut ChaCha8Rng) -> Entry {
    let poor = catch.silvers + catch.carp < 3;
    let outcome = if poor && rng.random::<f64>() < 0.4 {
        Outcome::DidNotWeigh
    } else if catch.drams() == 0 {
        Outcome::Blank
    } else {
        Outcome::Fished
    };
    Entry {
        angler,
        peg,
        catch,
        outcome,
        section: None,
        team: None,
        own: None,
    }
}

/// Good days draw people out: of three days thought of, the mildest is chosen. A day on which
/// everybody seems to be at one of the waters already is let go for another.
fn report(
    venue: &DemoVenue,
    anglers: &[DemoAngler],
    water: &Water,
    span: i64,
    busy: &mut BTreeSet<(Day, usize)>,
    rng: &mut ChaCha8Rng,
) -> DemoReport {
    let (day, angler) = loop {
        let ahead = (0..3).map(|_| rng.random_range(14..span)).max_by(|a, b| {
            let mild = |d: &i64| venue.weather[*d as usize].anomaly_c;
            mild(a).total_cmp(&mild(b))
        });
        let day = water.first.plus(ahead.unwrap_or(14));
        let free = |angler: &usize| !busy.contains(&(day, *angler));
        let asked = (0..40)
            .map(|_| rng.random_range(0..anglers.len()))
            .find(free);
        if let Some(angler) = asked {
            break (day, angler);
        }
    };
    busy.insert((day, angler));
    let peg = rng.random_range(0..venue.peg_count());
    let hours = rng.random_range(3..=7);
    let log = water.log_rate(day, venue, peg) + anglers[angler].skill;
    let start_hour = rng.random_range(7..=11);
    let catch = caught(log.exp() * f64::from(hours), rng);
    DemoReport {
        angler,
        day,
        peg,
        start_hour,
        hours,
        timed: rng.random::<f64>() >= 0.03,
        fished: trimmings::fished(&catch, hours, rng),
        catch,
        private: rng.random::<f64>() < 0.15,
    }
}

/// The planted log rate on a day, from the weather before it.
fn planted_log_rate(day: Day, ahead: usize, venue: &DemoVenue) -> f64 {
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

/// The numbers below `of`, in random order.
pub(super) fn shuffled(of: usize, rng: &mut ChaCha8Rng) -> Vec<usize> {
    let mut all: Vec<_> = (0..of).collect();
    all.shuffle(rng);
    all
}
