//! The past days most like a given day in season and weather, and what makes them alike (S3).
//!
//! These are days to look at; how far days alike move an expectation is `expectation::likeness`,
//! which reads all days and not the nearest only. What was caught on them, with which method
//! and line, is for the page to fetch.

use serde::{Deserialize, Serialize};

use super::expectation::{
    Ahead, FAMILIES, FEATURES, Family, Features, Fit, PastDay,
    likeness::{difference, kernel, total_difference},
};
use crate::numerics::harmonics::days_apart_in_year;

/// Days either side of the day of the year within which a past day may be shown.
pub const SEASON_REACH: f64 = 45.0;
/// Mean squared difference, in steps, up to which a family is called alike: half a step.
const ALIKE: f64 = 0.25;
/// And from which it is called unlike: a whole step.
const UNLIKE: f64 = 1.0;

/// How a family of the weather compares with the asked day's.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Comparison {
    /// Within half a step.
    Alike,
    /// Between half a step and a step.
    Between,
    /// A step or more apart.
    Unlike,
    /// Not known on one of the two days.
    Unknown,
}

/// A past day beside the asked one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LikeDay {
    /// The day as the fit saw it: effort, catch, what season and form gave, anomalies.
    pub past: PastDay,
    /// Difference of the two days, summed over families, unknown ones counting 2.
    pub difference: f64,
    /// `e^(−difference/4)`: its weight among the like days.
    pub weight: f64,
    /// Mean squared difference in steps, by family, in the order of [`Family::ALL`].
    pub by_family: [Option<f64>; FAMILIES],
    /// Past day less asked day, in steps, by feature: above 0 the past day was warmer, wetter…
    pub by_feature: Features,
}

impl LikeDay {
    /// Catch a rod-hour.
    pub fn rate(&self) -> f64 {
        self.past.catch / self.past.effort
    }

    /// Catch over what season and form gave.
    pub fn observed_over_expected(&self) -> f64 {
        self.past.catch / self.past.season_and_form
    }

    /// Each family and how it compares.
    pub fn comparisons(&self) -> [(Family, Comparison); FAMILIES] {
        std::array::from_fn(|i| {
            let comparison = match self.by_family[i] {
                None => Comparison::Unknown,
                Some(apart) if apart <= ALIKE => Comparison::Alike,
                Some(apart) if apart < UNLIKE => Comparison::Between,
                Some(_) => Comparison::Unlike,
            };
            (Family::ALL[i], comparison)
        })
    }

    /// The families known of both days, closest first.
    pub fn closest_first(&self) -> Vec<Family> {
        let families = Family::ALL.into_iter().zip(self.by_family);
        let mut known: Vec<_> = families
            .filter_map(|(family, apart)| Some((family, apart?)))
            .collect();
        known.sort_by(|one, other| one.1.total_cmp(&other.1));
        known.into_iter().map(|(family, _)| family).collect()
    }
}

/// The `at_most` days of the fit's past nearest to `asked`, nearest first, the earlier first
/// where two are as near.
///
/// Only days before the asked one, within 45 days of its day of the year (across New Year
/// too), are taken.
pub fn nearest(fit: &Fit, asked: &Ahead, at_most: usize) -> Vec<LikeDay> {
    let anomalies = fit.anomalies.of(asked.doy, &asked.features);
    let mut days: Vec<LikeDay> = fit
        .past
        .iter()
        .filter(|past| past.day < asked.day)
        .filter(|past| days_apart_in_year(past.day_of_year, asked.doy) <= SEASON_REACH)
        .map(|past| compare(fit, past, &anomalies))
        .collect();
    days.sort_by(|one, other| {
        let by_difference = one.difference.total_cmp(&other.difference);
        by_difference.then(one.past.day.cmp(&other.past.day))
    });
    days.truncate(at_most);
    days
}

/// Changes smaller than this are rounding.
const STEADY: f64 = 1e-9;

/// How something changed before a past day, beside its change before the asked day: `rising less`
/// where both rose, `falling` where only the past one fell.
pub fn trend(past: f64, asked: f64) -> &'static str {
    let further = past.abs() - asked.abs();
    let (more, less, alone) = match past {
        past if past.abs() < STEADY => return "steady",
        past if past > 0.0 => ("rising more", "rising less", "rising"),
        _ => ("falling more", "falling less", "falling"),
    };
    let same_way = past * asked > 0.0 && asked.abs() >= STEADY;
    match same_way {
        true if further > STEADY => more,
        true if further < -STEADY => less,
        _ => alone,
    }
}

fn compare(fit: &Fit, past: &PastDay, asked: &Features) -> LikeDay {
    let by_family = difference(&fit.layout, asked, &past.anomalies);
    let total = total_difference(&by_family);
    let apart = |feature: usize| Some(past.anomalies[feature]? - asked[feature]?);
    LikeDay {
        past: past.clone(),
        difference: total,
        weight: kernel(total),
        by_family,
        by_feature: std::array::from_fn::<_, FEATURES, _>(apart),
    }
}
