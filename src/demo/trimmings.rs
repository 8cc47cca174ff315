//! What makes the made-up club's record look lived in and changes no catch: names of matches,
//! sections and teams, who stayed away, how people fished, closures, the diary, and what is to come.

use std::collections::{BTreeMap, BTreeSet};

use rand::{RngExt, rngs::ChaCha8Rng};

use super::{
    Approach, Catch, DemoClosure, DemoComing, DemoDiary, DemoMatch, DemoVenue, Fished, Plan,
    catches::shuffled,
};
use crate::domain::{dates::Day, groups::Group, matches::Outcome};

const HALVES: &[&str] = &["A", "B"];
const THIRDS: &[&str] = &["A", "B", "C"];
const TEAMS: &[&str] = &["Kingcups", "Reedmace", "Sedges", "Withies"];

/// Names and divides the matches, closes pegs, writes the diary and books what is to come.
pub(super) fn trim(
    venue: &mut DemoVenue,
    plan: &Plan,
    today: Day,
    anglers: usize,
    busy: &mut BTreeSet<(Day, usize)>,
    rng: &mut ChaCha8Rng,
) {
    let mut names = Names::new(plan.series);
    for (place, the_match) in venue.matches.iter_mut().enumerate() {
        the_match.name = names.next(the_match.day);
        (the_match.sections, the_match.teams) = divided(place);
        divide(the_match);
        what_became(the_match, place, rng);
    }
    venue.coming = (0..plan.coming)
        .map(|place| {
            let day = today.plus(3 + 7 * place as i64);
            let (sections, teams) = divided(place + 3);
            // Nobody is booked at two waters for one day.
            let booked = shuffled(anglers, rng)
                .into_iter()
                .filter(|angler| busy.insert((day, *angler)))
                .take(8 + 4 * (place % 3));
            DemoComing {
                name: names.next(day),
                day,
                sections,
                teams,
                anglers: booked.collect(),
            }
        })
        .collect();
    venue.closures = closures(venue, today);
    venue.diary = diary(venue, today);
}

/// One match in four has no sections; one in four has three, and teams.
fn divided(place: usize) -> (&'static [&'static str], &'static [&'static str]) {
    match place % 4 {
        0 => (&[], &[]),
        3 => (THIRDS, TEAMS),
        _ => (HALVES, &[]),
    }
}

/// Sections in walking order, sizes differing by at most one; team members one after another.
fn divide(the_match: &mut DemoMatch) {
    let field = the_match.entries.len();
    let (sections, teams) = (the_match.sections.len(), the_match.teams.len());
    let mut order: Vec<_> = (0..field).collect();
    order.sort_by_key(|at| the_match.entries[*at].peg);
    for (walked, at) in order.into_iter().enumerate() {
        let entry = &mut the_match.entries[at];
        entry.section = (sections > 0).then(|| walked * sections / field);
        entry.team = (teams > 0).then(|| at % teams);
    }
}

/// One entry in eighty stays away, one in four hundred is disqualified, one in four writes a
/// report; of one match in sixteen a net was read wrongly and put right.
fn what_became(the_match: &mut DemoMatch, place: usize, rng: &mut ChaCha8Rng) {
    for entry in &mut the_match.entries {
        let luck: f64 = rng.random();
        if luck < 1.0 / 80.0 {
            entry.outcome = Outcome::Absent;
        } else if luck < 1.0 / 80.0 + 1.0 / 400.0 && entry.outcome == Outcome::Fished {
            entry.outcome = Outcome::Disqualified;
        }
        if entry.outcome != Outcome::Absent && rng.random::<f64>() < 0.25 {
            entry.own = Some(fished(&entry.catch, super::catches::MATCH_HOURS, rng));
        }
    }
    if place % 16 == 9 {
        the_match.misread = the_match
            .entries
            .iter()
            .position(|entry| entry.outcome == Outcome::Fished && entry.catch.carp_dr > 512);
    }
}

/// How a catch may have been made: the method has no effect on it.
pub(super) fn fished(catch: &Catch, hours: u32, rng: &mut ChaCha8Rng) -> Fished {
    let opening = approach(rng);
    let later = (rng.random::<f64>() < 0.3)
        .then(|| (0.25 * f64::from(rng.random_range(1..=3_u32)), approach(rng)));
    let by_hour = (rng.random::<f64>() < 0.35).then(|| {
        let mut list = vec![(0, 0); hours as usize];
        for _ in 0..catch.silvers {
            list[rng.random_range(0..hours) as usize].0 += 1;
        }
        for _ in 0..catch.carp {
            list[rng.random_range(0..hours) as usize].1 += 1;
        }
        list
    });
    let biggest = (catch.carp > 0 && rng.random::<f64>() < 0.3).then(|| {
        let mean = catch.carp_dr / catch.carp;
        let most = if catch.carp > 1 { mean * 5 / 4 } else { mean };
        let minute = by_hour.as_ref().map_or_else(
            || rng.random_range(0..hours * 60),
            |list| 60 * list.iter().position(|hour| hour.1 > 0).unwrap_or(0) as u32 + 20,
        );
        (most, minute)
    });
    Fished {
        opening,
        later,
        by_hour,
        biggest,
    }
}

fn approach(rng: &mut ChaCha8Rng) -> Approach {
    let method = rng.random_range(0..6);
    let line_m = match method {
        // Pole and whip reach so far and no farther; feeders are thrown past the middle.
        0 => f64::from(rng.random_range(5..=13_u32)),
        1 => f64::from(rng.random_range(3..=6_u32)),
        2 | 3 => f64::from(rng.random_range(6..=18_u32)),
        _ => f64::from(rng.random_range(8..=22_u32) * 2),
    };
    Approach {
        method,
        bait: rng.random_range(0..8),
        line_m,
        depth_m: (method < 4).then(|| 0.25 * f64::from(rng.random_range(3..=10_u32))),
    }
}

/// Names by the time of year, with the round of each season.
struct Names {
    series: [&'static str; 4],
    rounds: BTreeMap<String, u32>,
}

impl Names {
    fn new(series: [&'static str; 4]) -> Self {
        Self {
            series,
            rounds: BTreeMap::new(),
        }
    }

    fn next(&mut self, day: Day) -> String {
        let year = i64::from(day.year());
        let season = match day.day_of_year() {
            ..60 => format!("{} {}–{:02}", self.series[0], year - 1, year % 100),
            60..=151 => format!("{} {year}", self.series[1]),
            152..=243 => format!("{} {year}", self.series[2]),
            244..=304 => format!("{} {year}", self.series[3]),
            _ => format!("{} {year}–{:02}", self.series[0], (year + 1) % 100),
        };
        let round = self.rounds.entry(season.clone()).or_insert(0);
        *round += 1;
        format!("{season}, round {round}")
    }
}

/// Pegs that nobody fished for a while were closed then: one earlier on, one still.
fn closures(venue: &DemoVenue, today: Day) -> Vec<DemoClosure> {
    let mut days: Vec<Vec<Day>> = vec![Vec::new(); venue.peg_count()];
    for the_match in &venue.matches {
        for entry in &the_match.entries {
            days[entry.peg].push(the_match.day);
        }
    }
    for report in &venue.reports {
        days[report.peg].push(report.day);
    }
    days.iter_mut().for_each(|list| list.sort_unstable());
    let mut list = Vec::new();
    let rested = days.iter().enumerate().find_map(|(peg, list)| {
        let gap = list.windows(2).find(|two| two[1].days_since(two[0]) > 12)?;
        Some((peg, gap[0].plus(1), gap[1].plus(-1)))
    });
    if let Some((peg, from, to)) = rested {
        list.push(DemoClosure {
            peg,
            from,
            to: Some(to),
            reason: "The platform was rebuilt.",
        });
    }
    let idle = days
        .iter()
        .enumerate()
        .filter_map(|(peg, list)| Some((*list.last()?, peg)))
        .min();
    if let Some((last, peg)) = idle.filter(|(last, _)| today.days_since(*last) > 2) {
        list.push(DemoClosure {
            peg,
            from: last.plus(1),
            to: None,
            reason: "Undercut bank; stay off until it is piled",
        });
    }
    list
}

fn diary(venue: &DemoVenue, today: Day) -> Vec<DemoDiary> {
    let ago = |days: i64| today.plus(-days);
    let entry = |on, kind, words, kg, group| DemoDiary {
        on,
        kind,
        words,
        kg,
        group,
    };
    let mut list = vec![
        entry(
            ago(610),
            "stocking",
            "Two hundred small tench and a net of roach put in by the dam.",
            Some(45.0),
            Some(Group::Silvers),
        ),
        entry(
            ago(400),
            "bank works",
            "Three platforms rebuilt; the path is level again.",
            None,
            None,
        ),
        entry(
            ago(290),
            "stocking",
            "Carp of a pound and a half from our own stock pond.",
            Some(120.0),
            Some(Group::Carp),
        ),
        entry(
            ago(205),
            "predators",
            "Cormorants most mornings this fortnight.",
            None,
            None,
        ),
        entry(
            ago(9),
            "bank works",
            "Working party cut the reeds back between the low pegs.",
            None,
            None,
        ),
    ];
    let frozen = venue.weather.iter().rev().find(|day| day.ice);
    if let Some(frozen) = frozen {
        list.push(entry(
            frozen.day,
            "ice broken",
            "Cat ice along the margins, opened with a rake from the bank.",
            None,
            None,
        ));
    }
    list.sort_by_key(|entry| entry.on);
    list
}
