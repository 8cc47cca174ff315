//! One row a fished day: what a series of sessions of one set of groups comes to, day by day, as
//! expectations want it.
//!
//! Catch is counted in one unit throughout a series: fish where their number is known, else
//! pounds, or half-kilograms at a venue whose scales show those. Who did not weigh counts as
//! nothing caught; the same day without them stands beside. A session without hours, or whose
//! catch is not known in the unit, is left out and counted.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::{
    expectation::Row,
    run_up::{RunUp, Surroundings},
    wording,
};
use crate::domain::{
    dates::Day,
    groups::GroupSet,
    ids::{AnglerId, MatchId, PegId},
    units::Scale,
    weather::WeatherDays,
};

/// Anglers that must stand behind anything shown from reports.
pub const ANGLERS_BEHIND_REPORTS: usize = 3;
/// Grams in a pound (International yard and pound agreement 1959).
const POUND_G: f64 = 453.592_37;
const HALF_KILOGRAM_G: f64 = 500.0;

/// Full counts on fixed dates, or volunteered reports; never mixed in one figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Series {
    Match,
    Report,
}

impl Series {
    pub const ALL: [Self; 2] = [Self::Match, Self::Report];

    /// The word of the views and of addresses.
    pub fn slug(self) -> &'static str {
        match self {
            Self::Match => "match",
            Self::Report => "report",
        }
    }

    pub fn from_slug(slug: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.slug() == slug)
    }

    /// `Matches`, `Reports`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Match => "Matches",
            Self::Report => "Reports",
        }
    }
}

/// What a catch is counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CatchUnit {
    Fish,
    Pounds,
    HalfKilograms,
}

impl CatchUnit {
    /// The unit of weight where the scales show `scale`.
    fn of_weight(scale: Scale) -> Self {
        match scale {
            Scale::Drams => Self::Pounds,
            Scale::Grams => Self::HalfKilograms,
        }
    }

    /// Grams in one; `None` for fish.
    pub fn grams(self) -> Option<f64> {
        match self {
            Self::Fish => None,
            Self::Pounds => Some(POUND_G),
            Self::HalfKilograms => Some(HALF_KILOGRAM_G),
        }
    }

    /// The scale whose words suit the unit.
    fn scale(self) -> Scale {
        match self {
            Self::HalfKilograms => Scale::Grams,
            Self::Fish | Self::Pounds => Scale::Drams,
        }
    }

    /// A catch in words, without its unit where that is fish: `7.5`, `2 lb 4 oz`, `1.25 kg`.
    pub fn figure(self, catch: f64) -> String {
        match self.grams() {
            None => wording::figure(catch),
            Some(grams) => wording::weight(catch * grams, self.scale()),
        }
    }

    /// The same with its unit: `7.5 fish`, `2 lb 4 oz`.
    pub fn words(self, catch: f64) -> String {
        match self {
            Self::Fish => format!("{} fish", self.figure(catch)),
            Self::Pounds | Self::HalfKilograms => self.figure(catch),
        }
    }

    /// `fish`, `pounds`, `half-kilograms`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Fish => "fish",
            Self::Pounds => "pounds",
            Self::HalfKilograms => "half-kilograms",
        }
    }

    /// A session's catch in this unit, who did not weigh as nothing; `None` where it is not known.
    pub fn catch(self, session: &FishedSession) -> Option<f64> {
        match self.grams() {
            _ if session.did_not_weigh => Some(0.0),
            None => session.fish.map(|fish| fish as f64),
            Some(grams) => session.weight_g.map(|weight| weight / grams),
        }
    }
}

/// One session's catch of one set of groups.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FishedSession {
    pub day: Day,
    pub angler: AnglerId,
    /// Rods × hours; absent where no hours were given.
    pub rod_hours: Option<f64>,
    /// Fish, where counted.
    pub fish: Option<i64>,
    /// Grams, where weighed.
    pub weight_g: Option<f64>,
    pub did_not_weigh: bool,
    pub match_id: Option<MatchId>,
    /// The peg that was drawn and fished throughout, in a match whose pegs were drawn.
    pub drawn_peg: Option<PegId>,
}

/// A fished day of a series.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct FishedDay {
    pub day: Day,
    pub anglers: usize,
    pub sessions: usize,
    pub did_not_weigh: usize,
    /// Rod-hours, who did not weigh included.
    pub effort: f64,
    /// In the series' unit; who did not weigh as nothing.
    pub catch: f64,
    /// Rod-hours of those who weighed.
    pub effort_weighed: f64,
    /// Fish, and the sessions that counted them.
    pub fish: i64,
    pub counted: usize,
    /// Grams, and the anglers who weighed them.
    pub weight_g: f64,
    pub weighed: usize,
}

impl FishedDay {
    pub fn rate(&self) -> f64 {
        self.catch / self.effort
    }

    /// Catch a rod-hour without those who did not weigh; `None` when nobody weighed.
    pub fn rate_weighed(&self) -> Option<f64> {
        (self.effort_weighed > 0.0).then(|| self.catch / self.effort_weighed)
    }
}

/// What stands behind the figures of a series.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Behind {
    pub days: usize,
    pub sessions: usize,
    pub rod_hours: f64,
    pub anglers: usize,
    /// Sessions that did not weigh, counted as nothing caught.
    pub did_not_weigh: usize,
    /// Sessions left out because they give no hours.
    pub without_hours: usize,
    /// Sessions left out because their catch is not known in the unit.
    pub without_catch: usize,
}

impl Behind {
    /// `104 days, 2,310 sessions, 11,550 rod-hours`.
    pub fn words(&self) -> String {
        format!(
            "{}, {}, {} rod-hours",
            wording::count(self.days, "day", "days"),
            wording::count(self.sessions, "session", "sessions"),
            wording::number(self.rod_hours.round() as usize)
        )
    }
}

/// The days of one series and set of groups at a venue.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct FishedDays {
    pub series: Series,
    pub groups: GroupSet,
    pub unit: CatchUnit,
    /// What the venue's scales show.
    pub scale: Scale,
    /// Oldest first.
    pub days: Vec<FishedDay>,
    pub behind: Behind,
}

/// A day being added up.
#[derive(Default)]
struct Adding {
    anglers: BTreeSet<AnglerId>,
    sessions: usize,
    did_not_weigh: usize,
    effort: f64,
    catch: f64,
    effort_weighed: f64,
    fish: i64,
    counted: usize,
    weight_g: f64,
    weighed: BTreeSet<AnglerId>,
}

impl FishedDays {
    /// Adds the sessions of one series and set up by day. `scale` is what the venue's scales
    /// show. The unit is fish unless weight is known for more sessions.
    pub fn of(series: Series, groups: GroupSet, scale: Scale, sessions: &[FishedSession]) -> Self {
        let counted = sessions.iter().filter(|s| s.fish.is_some()).count();
        let weighed = sessions.iter().filter(|s| s.weight_g.is_some()).count();
        let unit = match counted >= weighed && counted > 0 {
            true => CatchUnit::Fish,
            false => CatchUnit::of_weight(scale),
        };
        let mut behind = Behind::default();
        let mut anglers = BTreeSet::new();
        let mut adding = BTreeMap::<Day, Adding>::new();
        for session in sessions {
            let Some(hours) = session.rod_hours.filter(|hours| *hours > 0.0) else {
                behind.without_hours += 1;
                continue;
            };
            let Some(catch) = unit.catch(session) else {
                behind.without_catch += 1;
                continue;
            };
            anglers.insert(session.angler);
            adding
                .entry(session.day)
                .or_default()
                .add(session, hours, catch);
        }
        let days: Vec<_> = adding.into_iter().map(Adding::done).collect();
        behind.days = days.len();
        behind.anglers = anglers.len();
        behind.sessions = days.iter().map(|day| day.sessions).sum();
        behind.did_not_weigh = days.iter().map(|day| day.did_not_weigh).sum();
        behind.rod_hours = days.iter().map(|day| day.effort).sum();
        Self {
            series,
            groups,
            unit,
            scale,
            days,
            behind,
        }
    }

    /// The sessions dated before `day`.
    pub fn before(sessions: &[FishedSession], day: Day) -> Vec<FishedSession> {
        let earlier = sessions.iter().filter(|session| session.day < day);
        earlier.copied().collect()
    }

    /// Whether figures of the series may be shown: reports need three anglers behind them.
    pub fn may_be_shown(&self) -> bool {
        self.series == Series::Match || self.behind.anglers >= ANGLERS_BEHIND_REPORTS
    }

    /// Whether a day may be listed by itself.
    pub fn may_be_listed(&self, day: &FishedDay) -> bool {
        self.series == Series::Match || day.anglers >= ANGLERS_BEHIND_REPORTS
    }

    /// The day of this date, where it was fished.
    pub fn on(&self, day: Day) -> Option<&FishedDay> {
        let place = self.days.binary_search_by_key(&day, |one| one.day).ok()?;
        self.days.get(place)
    }

    /// How many times the catch a rod-hour is that of those who weighed: Σeᵢ / Σeᵢwᵢ, with eᵢ the
    /// catch `expected` on day i and wᵢ the share of its rod-hours that weighed. The fish are the
    /// same and the hours fewer, so never under 1, as a second fit without them could be. `None`
    /// where all weighed, and where nobody did.
    pub fn weighed_over_all(&self, expected: impl Iterator<Item = f64>) -> Option<f64> {
        let (mut all, mut weighed) = (0.0, 0.0);
        for (day, expected) in self.days.iter().zip(expected) {
            all += expected;
            weighed += expected * day.effort_weighed / day.effort;
        }
        (self.behind.did_not_weigh > 0 && weighed > 0.0).then(|| all / weighed)
    }

    /// The rows that expectations are fitted to, who did not weigh as nothing caught.
    pub fn rows(&self, weather: &WeatherDays) -> Vec<Row> {
        let surroundings = Surroundings::weather_only(weather);
        self.days
            .iter()
            .map(|fished| Row {
                day: fished.day.number(),
                doy: i32::from(fished.day.day_of_year()),
                effort: fished.effort,
                catch: fished.catch,
                features: RunUp::of(fished.day, &surroundings).features(),
            })
            .collect()
    }
}

impl Adding {
    fn add(&mut self, session: &FishedSession, hours: f64, catch: f64) {
        self.anglers.insert(session.angler);
        self.sessions += 1;
        self.effort += hours;
        self.catch += catch;
        if session.did_not_weigh {
            self.did_not_weigh += 1;
        } else {
            self.effort_weighed += hours;
        }
        self.fish += session.fish.unwrap_or(0);
        self.counted += usize::from(session.fish.is_some());
        if let Some(weight_g) = session.weight_g {
            self.weight_g += weight_g;
            self.weighed.insert(session.angler);
        }
    }

    fn done((day, sums): (Day, Self)) -> FishedDay {
        FishedDay {
            day,
            anglers: sums.anglers.len(),
            sessions: sums.sessions,
            did_not_weigh: sums.did_not_weigh,
            effort: sums.effort,
            catch: sums.catch,
            effort_weighed: sums.effort_weighed,
            fish: sums.fish,
            counted: sums.counted,
            weight_g: sums.weight_g,
            weighed: sums.weighed.len(),
        }
    }
}
