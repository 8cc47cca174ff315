//! What the statistics say of a club that does not exist (`simulated_club`), one seed at a time,
//! beside what is true of it. Counted over a few seeds in `simulations`, over hundreds in
//! `tests/long`.

use peglore::{
    domain::dates::Day,
    statistics::{
        expectation::{Band, Verdict, WalkForward, walk_forward},
        rates::{Answer, CatchRow, Measure, Rate},
    },
};
use rand::{SeedableRng, rngs::ChaCha8Rng};

use super::simulated_club::{Club, Days, LAYOUT};

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
