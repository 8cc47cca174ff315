//! Does anything dated the session day or later ever move a prediction? Invented records of
//! sessions and weather are foretold day by day, then once more with everything from one day on
//! made otherwise: its weather, its catches, the hours of later days, and which of those were fished at all.
//! Shared by the short form (`simulations`) and the long one (`tests/long`).
//!
//! Weather is drawn anew each day; a match day is four anglers of five hours, negative binomial
//! (size 2) about a rate that follows the temperature of the day before.

use peglore::{
    domain::{
        dates::Day,
        groups::Group,
        ids::{AnglerId, MatchId},
        units::Scale,
        weather::{DailyWeather, WeatherDays, WindFrom},
    },
    statistics::{
        expectation::{Expectation, Layout, fit, walk_forward},
        fished_days::{FishedDays, FishedSession, Series},
        run_up::{RunUp, Surroundings},
        series_study::ahead,
    },
};
use rand::{Rng, RngExt, SeedableRng, rngs::ChaCha8Rng};

use super::simulated_club::{negative_binomial, normal};

/// Days of weather before the first match.
const LEAD: i64 = 10;
const ANGLERS: i64 = 4;
/// Match days learnt from before the first is foretold.
const LEARNT: usize = 26;
/// Another stream of chance for what is made otherwise.
const OTHERWISE: u64 = 1_000_000;

/// Predictions set beside what they were before the change, and those that were not the same.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Compared {
    pub predictions: usize,
    pub moved: usize,
}

/// What one record shows when it is made otherwise from its 31st match day on, from one half way
/// to its end, and from its last.
pub fn moved_by_what_came_later(match_days: usize, seed: u64) -> Compared {
    let record = Record::of(match_days, seed);
    let before = record.foretold();
    let mut all = Compared::default();
    for place in [30, (30 + match_days) / 2, match_days - 1] {
        let day = record.days[place];
        let changed = record.otherwise_from(day, seed);
        let after = changed.foretold();
        let told = place + 1 - LEARNT;
        let pairs = before[..told].iter().zip(&after[..told]);
        all.moved += pairs.filter(|(one, other)| one != other).count();
        all.moved += usize::from(record.asked(day) != changed.asked(day));
        all.predictions += told + 1;
    }
    all
}

struct Record {
    weather: WeatherDays,
    sessions: Vec<FishedSession>,
    days: Vec<Day>,
}

impl Record {
    fn of(match_days: usize, seed: u64) -> Self {
        let mut generator = ChaCha8Rng::seed_from_u64(seed);
        let new_year = Day::new(2022, 1, 1).expect("a day of the calendar");
        let first = new_year.plus(generator.random_range(0..365));
        let days: Vec<Day> = (0..match_days as i64).map(|i| first.plus(7 * i)).collect();
        let weather: WeatherDays = (-LEAD..=7 * match_days as i64)
            .map(|i| (first.plus(i), some_weather(&mut generator)))
            .collect();
        let mut sessions = Vec::new();
        for day in &days {
            let eve = weather.get(&day.plus(-1)).and_then(DailyWeather::mean_c);
            let mu = 6.0 * (0.08 * (eve.expect("every day has its weather") - 10.0)).exp();
            sessions.extend((0..ANGLERS).map(|angler| session(*day, angler, mu, &mut generator)));
        }
        Self {
            weather,
            sessions,
            days,
        }
    }

    /// The same up to the eve of `day`, and otherwise from there; `day` itself stays fished for as
    /// many hours, since a catch is foretold for hours that are named.
    fn otherwise_from(&self, day: Day, seed: u64) -> Self {
        let mut generator = ChaCha8Rng::seed_from_u64(seed + OTHERWISE);
        let mut weather = self.weather.clone();
        for today in weather.range_mut(day..).map(|(_, today)| today) {
            *today = some_weather(&mut generator);
        }
        let mut sessions = FishedDays::before(&self.sessions, day);
        for later in self.days.iter().filter(|later| **later >= day) {
            let anglers = if *later == day { ANGLERS } else { 9 };
            if *later == day || generator.random::<f64>() < 0.5 {
                sessions.extend(
                    (0..anglers).map(|angler| session(*later, angler, 60.0, &mut generator)),
                );
            }
        }
        Self {
            weather,
            sessions,
            days: self.days.clone(),
        }
    }

    fn fished(sessions: &[FishedSession]) -> FishedDays {
        FishedDays::of(Series::Match, Group::Carp.into(), Scale::Grams, sessions)
    }

    /// What would have been said of each day, walking forward: season, form and weather.
    fn foretold(&self) -> Vec<(i64, f64, f64, f64)> {
        let rows = Self::fished(&self.sessions).rows(&self.weather);
        let walk = walk_forward(&rows, &Layout::RUN_UP).expect("every fit settles");
        let told = walk.foretold.iter();
        told.map(|one| (one.day, one.season, one.season_and_form, one.expected))
            .collect()
    }

    /// What a page says of `day` when it is asked on that day.
    fn asked(&self, day: Day) -> Expectation {
        let past = FishedDays::before(&self.sessions, day);
        let rows = Self::fished(&past).rows(&self.weather);
        let fitted = fit(&rows, &Layout::RUN_UP).expect("the fit settles");
        let run_up = RunUp::of(day, &Surroundings::weather_only(&self.weather));
        fitted.expect(&ahead(&run_up))
    }
}

fn session(day: Day, angler: i64, mu: f64, generator: &mut impl Rng) -> FishedSession {
    FishedSession {
        day,
        angler: AnglerId(angler),
        rod_hours: Some(5.0),
        fish: Some(negative_binomial(generator, mu, 2.0) as i64),
        weight_g: None,
        did_not_weigh: false,
        match_id: Some(MatchId(day.number())),
        drawn_peg: None,
    }
}

fn some_weather(generator: &mut impl Rng) -> DailyWeather {
    let mean = 10.0 + 6.0 * normal(generator);
    let wet = generator.random::<f64>() < 0.5;
    DailyWeather {
        min_c: Some(mean - 4.0),
        max_c: Some(mean + 4.0),
        rain_mm: Some(if wet {
            12.0 * generator.random::<f64>()
        } else {
            0.0
        }),
        wind_ms: Some(1.0 + 8.0 * generator.random::<f64>()),
        wind_from: Some(WindFrom::degrees(360.0 * generator.random::<f64>())),
        pressure_hpa: Some(1013.0 + 9.0 * normal(generator)),
        ..DailyWeather::default()
    }
}

#[test]
fn a_change_dated_the_day_before_is_noticed() {
    let record = Record::of(40, 0);
    let day = record.days[35];
    let mut changed = record.otherwise_from(day, 0);
    assert_eq!(record.asked(day), changed.asked(day));
    changed
        .weather
        .insert(day.plus(-1), DailyWeather::default());
    assert_ne!(record.asked(day), changed.asked(day));
}
