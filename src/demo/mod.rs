//! An invented club of any size, made from a seed. Everything in it is made up: its people, its
//! waters, its weather and its catches. The effects planted in it are in [`planted`], and stated
//! in `seed-data/README.md`, so that the statistics can be seen recovering them.

use std::collections::BTreeSet;

use rand::{RngExt, SeedableRng, rngs::ChaCha8Rng};

use crate::domain::{dates::Day, groups::Group};

mod catches;
mod names;
pub mod planted;
mod trimmings;
mod weather;

pub use catches::{Approach, Catch, DemoMatch, DemoReport, Entry, Fished, MATCH_HOURS};
pub use weather::DemoWeather;

/// How large a club to make.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Size {
    /// Two years, three venues, 144 matches, some 4,000 sessions.
    Usual,
    /// Ten seasons: 1,000 matches, 100,000 sessions.
    Large,
}

/// The seed of the demonstration club.
pub const SEED: u64 = 20_261_114;

/// A whole club, ready to be written down.
pub struct DemoClub {
    pub name: &'static str,
    pub anglers: Vec<DemoAngler>,
    pub venues: Vec<DemoVenue>,
}

pub struct DemoAngler {
    pub given: &'static str,
    pub surname: &'static str,
    pub is_junior: bool,
    /// Log of what the angler catches over the club's middle.
    pub skill: f64,
}

pub struct DemoVenue {
    pub name: &'static str,
    pub kind: &'static str,
    pub latitude: f64,
    pub longitude: f64,
    pub rules: &'static str,
    pub emergency: &'static str,
    pub banks: Vec<DemoBank>,
    /// Oldest first, one a day without a hole, ending the day before `today`.
    pub weather: Vec<DemoWeather>,
    pub matches: Vec<DemoMatch>,
    pub reports: Vec<DemoReport>,
    /// Matches to come, the next first.
    pub coming: Vec<DemoComing>,
    pub closures: Vec<DemoClosure>,
    pub diary: Vec<DemoDiary>,
    /// Water temperature readings, °C.
    pub readings: Vec<(Day, f64)>,
}

pub struct DemoBank {
    pub name: &'static str,
    pub facing_deg: f64,
    /// Peg numbers in walking order.
    pub pegs: std::ops::RangeInclusive<u32>,
}

/// A match to come: who is booked, and no pegs drawn yet.
pub struct DemoComing {
    pub name: String,
    pub day: Day,
    pub sections: &'static [&'static str],
    pub teams: &'static [&'static str],
    pub anglers: Vec<usize>,
}

/// `peg` counts from 0 in walking order.
pub struct DemoClosure {
    pub peg: usize,
    pub from: Day,
    pub to: Option<Day>,
    pub reason: &'static str,
}

pub struct DemoDiary {
    pub on: Day,
    pub kind: &'static str,
    pub words: &'static str,
    pub kg: Option<f64>,
    pub group: Option<Group>,
}

impl DemoVenue {
    /// Pegs from the first bank to the last, in walking order.
    pub fn peg_count(&self) -> usize {
        self.banks
            .iter()
            .map(|bank| bank.pegs.clone().count())
            .sum()
    }
}

/// How much is fished at one venue.
struct Plan {
    matches: usize,
    entries: std::ops::RangeInclusive<usize>,
    reports: usize,
    coming: usize,
    /// What its matches are called in winter, spring, summer and autumn.
    series: [&'static str; 4],
}

/// Makes the club as it stands on the morning of `today`.
pub fn make(seed: u64, size: Size, today: Day) -> DemoClub {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let (years, people) = match size {
        Size::Usual => (2, 60),
        Size::Large => (10, 240),
    };
    let anglers = names::people(people, &mut rng);
    let first = today.plus(-365 * years);
    let plans = match size {
        Size::Usual => [(104, 18..=26, 600), (20, 14..=20, 300), (20, 12..=18, 300)],
        Size::Large => [
            (600, 30..=40, 25_000),
            (200, 30..=40, 21_500),
            (200, 30..=40, 21_500),
        ],
    };
    let mut busy = BTreeSet::new();
    let venues = waters()
        .into_iter()
        .zip(plans)
        .zip(SERIES)
        .enumerate()
        .map(|(place, ((mut venue, plan), series))| {
            let mut own = ChaCha8Rng::seed_from_u64(seed.wrapping_add(1_000 * (place as u64 + 1)));
            venue.weather = weather::days(first, today, &mut own);
            venue.readings = weather::readings(&venue.weather, &mut own);
            let (matches, entries, reports) = plan;
            let plan = Plan {
                matches,
                entries,
                reports,
                coming: if place == 0 { 4 } else { 1 },
                series,
            };
            let span = (first, today);
            catches::fish(&mut venue, &anglers, &plan, span, &mut busy, &mut own);
            venue
        })
        .collect();
    DemoClub {
        name: "Nethermoor Angling Club",
        anglers,
        venues,
    }
}

const SERIES: [[&str; 4]; 3] = [
    [
        "Frost Cup",
        "Willow Shield",
        "Summer League",
        "Leaf Fall Trophy",
    ],
    [
        "Mere Midwinter",
        "Mere Spring Open",
        "Mere Evening Cup",
        "Mere Autumn Open",
    ],
    [
        "Towpath Winter Cup",
        "Towpath Spring Cup",
        "Towpath Plate",
        "Towpath Autumn Cup",
    ],
];

fn waters() -> Vec<DemoVenue> {
    let empty = |name, kind, latitude, longitude, banks| DemoVenue {
        name,
        kind,
        latitude,
        longitude,
        rules: "Barbless hooks. No floating baits. Keepnets in matches only, five hours at most. Unhooking mats in use. The club’s bailiff has the last word.",
        emergency: "Dial 999 and give the gate’s name, painted on its post. The lifebuoy hangs by the hut.",
        banks,
        weather: Vec::new(),
        matches: Vec::new(),
        reports: Vec::new(),
        coming: Vec::new(),
        closures: Vec::new(),
        diary: Vec::new(),
        readings: Vec::new(),
    };
    let bank = |name, facing_deg, pegs| DemoBank {
        name,
        facing_deg,
        pegs,
    };
    vec![
        empty(
            "Quillet Water",
            "stillwater",
            53.2,
            -1.4,
            vec![
                bank("Long Reach", 225.0, 1..=24),
                bank("Alder Side", 45.0, 25..=40),
            ],
        ),
        empty(
            "Sallow Mere",
            "stillwater",
            53.3,
            -1.3,
            vec![
                bank("Hut Bank", 180.0, 1..=14),
                bank("Far Bank", 0.0, 15..=26),
            ],
        ),
        empty(
            "Tansy Cut",
            "canal",
            53.1,
            -1.5,
            vec![bank("Towpath", 135.0, 1..=30)],
        ),
    ]
}

/// A standard normal value (Box & Muller 1958).
fn normal(rng: &mut ChaCha8Rng) -> f64 {
    let (u, v): (f64, f64) = (rng.random(), rng.random());
    (-2.0 * (1.0 - u).ln()).sqrt() * (2.0 * std::f64::consts::PI * v).cos()
}

/// A gamma value of this shape and mean 1 (Marsaglia & Tsang 2000; shape 1 or more).
fn gamma_mean_one(shape: f64, rng: &mut ChaCha8Rng) -> f64 {
    let d = shape - 1.0 / 3.0;
    let c = 1.0 / (9.0 * d).sqrt();
    loop {
        let x = normal(rng);
        let v = (1.0 + c * x).powi(3);
        let u: f64 = rng.random();
        if v > 0.0 && (1.0 - u).ln() < 0.5 * x * x + d - d * v + d * v.ln() {
            return d * v / shape;
        }
    }
}

/// A Poisson count (Knuth 1969, the product of uniforms; halved above 30 so that nothing underflows).
fn poisson(mean: f64, rng: &mut ChaCha8Rng) -> u32 {
    if mean > 30.0 {
        return poisson(mean / 2.0, rng) + poisson(mean / 2.0, rng);
    }
    let (limit, mut product, mut count) = ((-mean).exp(), rng.random::<f64>(), 0);
    while product > limit {
        product *= rng.random::<f64>();
        count += 1;
    }
    count
}
