//! What invented clubs are asked, and how the answers compare with the truth that was planted.
//! Shared by the short form (`simulations`) and the long one (`tests/long`), which also share
//! the seeds kept in `tests/data/simulated_clubs.csv` and `simulated_rates.csv`.

use std::fmt::Write;

use peglore::{
    domain::dates::Day,
    statistics::{
        expectation::{Band, Verdict, WalkForward, walk_forward},
        rates::{Answer, CatchRow, Measure, Rate},
    },
};
use rand::{SeedableRng, rngs::ChaCha8Rng};

use super::simulated_club::{Club, Days, LAYOUT, WEEKLY};

/// What one club showed.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Outcome {
    /// Whether skill was claimed for the weather.
    pub claimed: bool,
    /// Days foretold with a band known beforehand.
    pub banded: usize,
    /// Of them, days whose catch fell within it.
    pub within: usize,
    pub skill: f64,
}

/// Walks forward through one club.
pub fn outcome(club: &Club, seed: u64) -> Outcome {
    let walk = walk_forward(&club.rows(seed), &LAYOUT).expect("a club that catches can be fitted");
    let honesty = walk.honesty(&mut ChaCha8Rng::seed_from_u64(seed));
    let (banded, within) = coverage(&walk);
    Outcome {
        claimed: honesty.verdict == Verdict::WeatherTold,
        banded,
        within,
        skill: walk.weather_skill().unwrap_or(f64::NAN),
    }
}

/// Days that fell within the band as it stood before them.
fn coverage(walk: &WalkForward) -> (usize, usize) {
    let mut counts = (0, 0);
    for (i, day) in walk.foretold.iter().enumerate() {
        if let Some(band) = Band::of(&walk.foretold[..i]) {
            let (lower, upper) = band.about(day.expected);
            counts.0 += 1;
            counts.1 += usize::from((lower..=upper).contains(&day.catch));
        }
    }
    counts
}

/// Where the truth lay beside the interval of how it fishes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Truth {
    Within,
    /// The whole interval lay above it.
    Below,
    /// The whole interval lay below it.
    Above,
    /// No interval was given.
    NotAsked,
}

/// Asks how it fishes of `number` days and compares the interval with the truth.
pub fn truth_beside_interval(days: &Days, number: usize, seed: u64) -> Truth {
    let first = Day::new(2024, 1, 6).expect("a day of the calendar");
    let mut generator = ChaCha8Rng::seed_from_u64(seed);
    let rows: Vec<CatchRow> = days
        .drawn(number, &mut generator)
        .into_iter()
        .enumerate()
        .map(|(i, (hours, fish))| CatchRow {
            day: first.plus(7 * i as i64),
            rod_hours: Some(hours),
            fish: Some(fish as i64),
            weight_g: None,
            did_not_weigh: false,
            match_id: None,
            lowest_beside_g: None,
        })
        .collect();
    match Rate::of(Measure::Fish, &rows).answer {
        Answer::Estimate { lower, upper, .. } if days.rate < lower || days.rate > upper => {
            if days.rate < lower {
                Truth::Below
            } else {
                Truth::Above
            }
        }
        Answer::Estimate { .. } => Truth::Within,
        _ => Truth::NotAsked,
    }
}

/// Clubs of which a few seeds are kept: match days, spread of form, the weather's effect, seeds.
const KEPT_CLUBS: [(usize, f64, f64, u64); 5] = [
    (52, 0.0, 0.0, 8),
    (52, 0.3, 0.0, 8),
    (104, 0.3, 0.0, 4),
    (104, 0.3, 0.7, 4),
    (208, 0.3, 0.35, 1),
];

/// Seeds over which the intervals of how it fishes are kept.
const KEPT_RATE_SEEDS: u64 = 200;

/// The kept clubs asked again, as `tests/data/simulated_clubs.csv` has them.
pub fn kept_clubs() -> String {
    let mut table =
        "match_days,form_spread,effect,seed,claimed,days_banded,days_within,skill\n".to_owned();
    for (match_days, form_spread, effect, seeds) in KEPT_CLUBS {
        let club = Club {
            match_days,
            every: WEEKLY,
            form_spread,
            effect,
        };
        for seed in 0..seeds {
            let o = outcome(&club, seed);
            writeln!(
                table,
                "{match_days},{form_spread},{effect},{seed},{},{},{},{:.6}",
                o.claimed, o.banded, o.within, o.skill
            )
            .expect("text takes what is written to it");
        }
    }
    table
}

/// Intervals of the kept seeds, as `tests/data/simulated_rates.csv` has them.
pub fn kept_rates() -> String {
    let mut table = "days,number,seeds,held,lay_above,lay_below\n".to_owned();
    for (name, days) in Days::KINDS {
        for number in [8, 20, 60] {
            let all: Vec<Truth> = (0..KEPT_RATE_SEEDS)
                .map(|seed| truth_beside_interval(&days, number, seed))
                .collect();
            let count = |what| all.iter().filter(|truth| **truth == what).count();
            writeln!(
                table,
                "\"{name}\",{number},{},{},{},{}",
                all.len() - count(Truth::NotAsked),
                count(Truth::Within),
                count(Truth::Below),
                count(Truth::Above)
            )
            .expect("text takes what is written to it");
        }
    }
    table
}

/// Fails with the new table when it is not the one kept.
pub fn same_as_kept(made: &str, kept: &str) {
    assert!(
        made == kept,
        "the figures kept from these seeds have moved; if that was meant, run the long form, \
         renew DEVELOPERS.md and keep this table:\n{made}"
    );
}
