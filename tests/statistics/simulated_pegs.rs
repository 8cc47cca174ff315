//! A water of forty pegs that does not exist, made from a seed, for asking how often a peg is
//! rightly and wrongly called clear of chance. Shared by the short form (`simulations`) and the
//! long one (`tests/long`), as are the seeds kept in `tests/data/simulated_pegs.csv`.
//!
//! Every match draws anglers out of sixty, and pegs out of forty, evenly. An angler finds fish
//! with the water's chance; then their number in five hours is negative binomial about
//! `5 · rate · day · skill`, and their weight that number times a lognormal weight of a fish.
//! `day` and `skill` are lognormal with spread 0.4 and mean 1. Peg 1 may give more than the rest.

use std::fmt::Write;

use peglore::{
    domain::{
        dates::Day,
        ids::{AnglerId, MatchId, PegId},
    },
    statistics::{
        fished_days::{CatchUnit, FishedSession},
        peg_effect::Standing,
        peg_effects::of_every_peg,
    },
};
use rand::{Rng, RngExt, SeedableRng, rngs::ChaCha8Rng};

use super::simulated_club::{negative_binomial, normal};

const PEGS: usize = 40;
const ANGLERS: usize = 60;
const HOURS: f64 = 5.0;
/// Spread of the log of a day and of an angler.
const SPREAD: f64 = 0.4;
/// Grams of a fish in the middle.
const FISH_G: f64 = 200.0;
/// The one peg that may give more.
const PLANTED: PegId = PegId(1);

/// What kind of water.
#[derive(Clone, Copy, Debug)]
pub struct Water {
    /// Fish a rod-hour of those who find any.
    rate: f64,
    /// Chance that an angler finds fish at all.
    found: f64,
    /// Negative binomial size of an angler's number.
    size: f64,
    /// Spread of the log of the weight of a fish.
    weights: f64,
}

impl Water {
    /// Kinds of water asked about, and in words.
    pub const KINDS: [(&str, Self); 2] = [
        (
            "ordinary water, one in ten blanks",
            Self {
                rate: 1.2,
                found: 1.0,
                size: 2.0,
                weights: 0.4,
            },
        ),
        (
            "very hard water, three in four blank",
            Self {
                rate: 1.2,
                found: 0.3,
                size: 1.0,
                weights: 1.0,
            },
        ),
    ];

    /// The sessions of so many matches; peg 1 gives `times` what it would.
    fn sessions(&self, record: &Record, times: f64, seed: u64) -> Vec<FishedSession> {
        let first = Day::new(2024, 1, 6).expect("a day of the calendar");
        let mut generator = ChaCha8Rng::seed_from_u64(seed);
        let skills: Vec<f64> = (0..ANGLERS).map(|_| about_one(&mut generator)).collect();
        let mut sessions = Vec::with_capacity(record.matches * record.anglers);
        for of in 0..record.matches {
            let day = about_one(&mut generator);
            let pegs = drawn(PEGS, record.anglers, &mut generator);
            let anglers = drawn(ANGLERS, record.anglers, &mut generator);
            for (peg, angler) in pegs.into_iter().zip(anglers) {
                let peg = PegId(peg as i64 + 1);
                let gives = if peg == PLANTED { times } else { 1.0 };
                let mu = HOURS * self.rate * day * skills[angler] * gives;
                let finds = generator.random::<f64>() < self.found;
                let fish = negative_binomial(&mut generator, mu, self.size);
                let grams = FISH_G * (self.weights * normal(&mut generator)).exp();
                sessions.push(FishedSession {
                    day: first.plus(7 * of as i64),
                    angler: AnglerId(angler as i64 + 1),
                    rod_hours: Some(HOURS),
                    fish: None,
                    weight_g: Some(if finds { fish * grams } else { 0.0 }),
                    did_not_weigh: false,
                    match_id: Some(MatchId(of as i64 + 1)),
                    drawn_peg: Some(peg),
                });
            }
        }
        sessions
    }
}

/// How much is on record.
#[derive(Clone, Copy, Debug)]
pub struct Record {
    pub matches: usize,
    /// Anglers a match.
    pub anglers: usize,
}

impl Record {
    /// Records asked about: 13 and 52 matches a peg on average.
    pub const KINDS: [Self; 2] = [
        Self {
            matches: 20,
            anglers: 26,
        },
        Self {
            matches: 104,
            anglers: 20,
        },
    ];
}

/// What forty even pegs showed, and one that gives more.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Shown {
    /// Even pegs that were given limits.
    pub given: usize,
    /// Of them, those whose limits held an even peg.
    pub held: usize,
    /// Of them, those called clear of chance.
    pub clear: usize,
    /// Whether a peg that gives half as much again was said to add, clear of chance.
    pub half_more_found: bool,
    /// The same of one that gives two and a half times as much.
    pub much_more_found: bool,
}

/// Asks what every peg of one water gives: all even, and twice with one planted peg.
pub fn shown(water: &Water, record: &Record, seed: u64) -> Shown {
    let standings = |times| {
        let sessions = water.sessions(record, times, seed);
        of_every_peg(CatchUnit::Pounds, &sessions)
            .into_iter()
            .filter_map(|(peg, effect)| Some((peg, effect.standing()?)))
            .collect::<Vec<_>>()
    };
    let found = |times| standings(times).contains(&(PLANTED, Standing::Adds));
    let even = standings(1.0);
    let count = |asked: &[Standing]| even.iter().filter(|(_, one)| asked.contains(one)).count();
    Shown {
        given: even.len(),
        held: count(&[Standing::CannotTell]),
        clear: count(&[Standing::Adds, Standing::TakesAway]),
        half_more_found: found(1.5),
        much_more_found: found(2.5),
    }
}

/// Seeds over which what pegs add is kept.
const KEPT_SEEDS: u64 = 20;

/// Pegs of the kept seeds, as `tests/data/simulated_pegs.csv` has them.
pub fn kept_pegs() -> String {
    let mut table =
        "water,matches,seeds,pegs_given_limits,held,clear,half_more_found,much_more_found\n"
            .to_owned();
    for (name, water) in Water::KINDS {
        for record in Record::KINDS {
            let all: Vec<Shown> = (0..KEPT_SEEDS)
                .map(|seed| shown(&water, &record, seed))
                .collect();
            let sum = |what: fn(&Shown) -> usize| all.iter().map(what).sum::<usize>();
            writeln!(
                table,
                "\"{name}\",{},{KEPT_SEEDS},{},{},{},{},{}",
                record.matches,
                sum(|one| one.given),
                sum(|one| one.held),
                sum(|one| one.clear),
                sum(|one| one.half_more_found.into()),
                sum(|one| one.much_more_found.into()),
            )
            .expect("text takes what is written to it");
        }
    }
    table
}

/// Lognormal with the spread of days and anglers, and mean 1.
fn about_one(generator: &mut impl Rng) -> f64 {
    (SPREAD * normal(generator) - SPREAD * SPREAD / 2.0).exp()
}

/// So many different ones of the first `of`, evenly (Durstenfeld 1964).
fn drawn(of: usize, number: usize, generator: &mut impl Rng) -> Vec<usize> {
    let mut all: Vec<usize> = (0..of).collect();
    for place in 0..number {
        let other = generator.random_range(place..of);
        all.swap(place, other);
    }
    all.truncate(number);
    all
}
