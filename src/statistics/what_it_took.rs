//! What it took: the weights of the latest matches at a water that were like a given one.
//!
//! Like: the same counted groups of fish, a length within an hour, a field within a third.
//! For the evening before a match, when no peg is drawn yet. Weights here are counted weights.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::{rates::Behind, wording};
use crate::{
    domain::{
        dates::Day,
        groups::GroupSet,
        ids::{MatchId, SectionId},
        units::Scale,
    },
    numerics::robust::median,
};

/// Matches looked back on.
pub const LATEST: usize = 10;
/// Anglers for each paid place where the match states no frame. Common practice, no source.
pub const ANGLERS_PER_PLACE: usize = 8;

/// A match as its result has it. Absent anglers are not in it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PastMatch {
    pub match_id: MatchId,
    pub day: Day,
    /// The groups that counted.
    pub groups: GroupSet,
    /// Length in hours.
    pub hours: Option<f64>,
    /// Paid overall places, where stated.
    pub frame: Option<usize>,
    pub anglers: Vec<Fished>,
}

/// One angler who fished.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Fished {
    pub section: Option<SectionId>,
    pub showing: Showing,
    /// Carp, grams, where weighed apart.
    pub carp_g: Option<f64>,
    /// Silvers, grams, where weighed apart.
    pub silvers_g: Option<f64>,
}

/// What came of an angler's day, grams.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Showing {
    /// Weighed; 0 is a blank.
    Weighed(f64),
    DidNotWeigh,
    /// Out of the places; the weight is still a fact.
    Disqualified(Option<f64>),
}

impl Showing {
    fn placed(self) -> Option<f64> {
        match self {
            Self::Weighed(grams) => Some(grams),
            _ => None,
        }
    }

    fn known(self) -> Option<f64> {
        match self {
            Self::Weighed(grams) => Some(grams),
            Self::Disqualified(grams) => grams,
            Self::DidNotWeigh => None,
        }
    }
}

/// The match asked about.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Asked {
    pub groups: GroupSet,
    pub hours: f64,
    /// Anglers expected.
    pub field: usize,
}

/// One like match. Weights in grams.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Took {
    pub match_id: MatchId,
    pub day: Day,
    pub anglers: usize,
    /// The match's hours for each of them, with one rod.
    pub rod_hours: f64,
    pub winning: Option<f64>,
    /// The last weight in the frame; 0 when a blank would have been in it.
    pub framed: Option<f64>,
    /// Paid overall places.
    pub frame: usize,
    /// The frame was not stated: one place for every eight anglers, by custom.
    pub frame_by_custom: bool,
    /// The best weight of each section, in the order of sections.
    pub section_winning: Vec<f64>,
    /// The middle angler's weight, those who did not weigh standing below every weight; absent
    /// when the middle is among them.
    pub median: Option<f64>,
    pub lowest: Option<f64>,
    pub blanks: usize,
    pub did_not_weigh: usize,
    /// Where every angler's carp and silvers were weighed apart.
    pub apart: Option<Apart>,
}

/// Carp beside silvers in one match, grams.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Apart {
    pub best_carp: f64,
    pub best_silvers: f64,
    pub all_carp: f64,
    pub all_silvers: f64,
}

/// The middle and the ends of one figure over the like matches, grams.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Spread {
    pub median: f64,
    pub lowest: f64,
    pub highest: f64,
    /// Figures behind it: matches, or sections of matches.
    pub count: usize,
}

impl Spread {
    fn of(values: &[f64]) -> Option<Self> {
        Some(Self {
            median: median(values)?,
            lowest: values.iter().copied().fold(f64::INFINITY, f64::min),
            highest: values.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            count: values.len(),
        })
    }

    /// `42 lb (28 lb to 71 lb)`; the weight alone when there is only one.
    pub fn words(&self, scale: Scale) -> String {
        let weight = |grams| wording::weight(grams, scale);
        match self.count {
            1 => weight(self.median),
            _ => format!(
                "{} ({} to {})",
                weight(self.median),
                weight(self.lowest),
                weight(self.highest)
            ),
        }
    }
}

/// What it took in matches like the one asked about, the latest first.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct WhatItTook {
    pub asked: Asked,
    pub matches: Vec<Took>,
    /// All that the matches rest on.
    pub behind: Behind,
    pub winning: Option<Spread>,
    pub framed: Option<Spread>,
    pub section_winning: Option<Spread>,
    pub median: Option<Spread>,
    pub blanks: usize,
    pub did_not_weigh: usize,
    pub anglers: usize,
    pub best_carp: Option<Spread>,
    pub best_silvers: Option<Spread>,
    /// Matches that counted the same groups but whose length nobody wrote down.
    pub without_length: usize,
}

impl WhatItTook {
    /// The latest ten of `matches` (all at one water) that are like the one asked about.
    pub fn of(asked: Asked, matches: &[PastMatch]) -> Self {
        let same_groups = matches.iter().filter(|past| past.groups == asked.groups);
        let without_length = same_groups
            .clone()
            .filter(|past| past.hours.is_none())
            .count();
        let mut like: Vec<_> = same_groups
            .filter(|past| asked.resembles(past.hours, past.anglers.len()))
            .collect();
        like.sort_by_key(|past| {
            (
                std::cmp::Reverse(past.day),
                std::cmp::Reverse(past.match_id),
            )
        });
        let took: Vec<_> = like.into_iter().take(LATEST).map(Took::of).collect();
        let spread = |figures: &dyn Fn(&Took) -> Vec<f64>| {
            Spread::of(&took.iter().flat_map(figures).collect::<Vec<_>>())
        };
        let days: BTreeSet<Day> = took.iter().map(|one| one.day).collect();
        Self {
            asked,
            behind: Behind {
                days: days.len(),
                sessions: took.iter().map(|one| one.anglers).sum(),
                rod_hours: took.iter().map(|one| one.rod_hours).sum(),
                ..Behind::default()
            },
            winning: spread(&|one| one.winning.into_iter().collect()),
            framed: spread(&|one| one.framed.into_iter().collect()),
            section_winning: spread(&|one| one.section_winning.clone()),
            median: spread(&|one| one.median.into_iter().collect()),
            best_carp: spread(&|one| one.apart.iter().map(|a| a.best_carp).collect()),
            best_silvers: spread(&|one| one.apart.iter().map(|a| a.best_silvers).collect()),
            blanks: took.iter().map(|one| one.blanks).sum(),
            did_not_weigh: took.iter().map(|one| one.did_not_weigh).sum(),
            anglers: took.iter().map(|one| one.anglers).sum(),
            without_length,
            matches: took,
        }
    }

    /// In plain words, weights as `scale` shows them.
    pub fn sentence(&self, scale: Scale) -> String {
        if self.matches.is_empty() {
            return self.asked.none_like();
        }
        let mut said = format!(
            "In the last {} {}, {}.",
            match self.matches.len() {
                1 => "match".to_owned(),
                some => wording::count(some, "match", "matches"),
            },
            self.asked.words(),
            match (self.winning, self.framed) {
                (None, _) => "nobody weighed".to_owned(),
                (Some(winning), None) => format!(
                    "{} won it and too few weighed to fill the frame",
                    winning.words(scale)
                ),
                (Some(winning), Some(framed)) => format!(
                    "{} won it and {} was the last weight in the frame",
                    winning.words(scale),
                    framed.words(scale)
                ),
            }
        );
        if let Some(middle) = self.median {
            said += &format!(" The middle angler had {}.", middle.words(scale));
        }
        said += &format!(
            " {} of {} blanked.",
            match self.blanks {
                0 => "None".to_owned(),
                some => some.to_string(),
            },
            self.anglers
        );
        if self.did_not_weigh > 0 {
            said += &format!(
                " {} of the {} did not weigh.",
                self.did_not_weigh, self.anglers
            );
        }
        said
    }
}

impl Asked {
    /// Length within an hour, field within a third; the groups were compared before.
    pub fn resembles(&self, hours: Option<f64>, anglers: usize) -> bool {
        let near = hours.is_some_and(|hours| (hours - self.hours).abs() <= 1.0);
        near && 3 * anglers.abs_diff(self.field) <= self.field
    }

    /// `No match here yet that counted all fish, …`
    pub fn none_like(&self) -> String {
        format!("No match here yet {}.", self.words())
    }

    /// `that counted all fish, of about 5 hours, with 14 to 26 anglers`.
    fn words(&self) -> String {
        let third = self.field / 3;
        format!(
            "that counted {}, of {} to {} hours, with {} to {} anglers",
            lower_first(&self.groups.to_string()),
            trimmed(self.hours - 1.0),
            trimmed(self.hours + 1.0),
            self.field - third,
            self.field + third,
        )
    }
}

impl Took {
    fn of(past: &PastMatch) -> Self {
        let mut placed: Vec<f64> = past
            .anglers
            .iter()
            .filter_map(|a| a.showing.placed())
            .collect();
        placed.sort_by(|one, other| other.total_cmp(one));
        let anglers = past.anglers.len();
        let frame = past.frame.unwrap_or((anglers / ANGLERS_PER_PLACE).max(1));
        let known: Vec<f64> = past
            .anglers
            .iter()
            .filter_map(|a| a.showing.known())
            .collect();
        let did_not_weigh = count(past, |showing| matches!(showing, Showing::DidNotWeigh));
        Self {
            match_id: past.match_id,
            day: past.day,
            anglers,
            rod_hours: past.hours.unwrap_or(0.0) * anglers as f64,
            winning: placed.first().copied(),
            framed: placed.get(frame.max(1) - 1).copied(),
            frame,
            frame_by_custom: past.frame.is_none(),
            section_winning: section_winning(past),
            median: middle(&known, did_not_weigh),
            lowest: known.iter().copied().reduce(f64::min),
            blanks: count(past, |showing| showing == Showing::Weighed(0.0)),
            did_not_weigh,
            apart: apart(past),
        }
    }
}

fn count(past: &PastMatch, like: impl Fn(Showing) -> bool) -> usize {
    past.anglers
        .iter()
        .filter(|angler| like(angler.showing))
        .count()
}

fn section_winning(past: &PastMatch) -> Vec<f64> {
    let mut best = BTreeMap::<SectionId, f64>::new();
    for angler in &past.anglers {
        if let (Some(section), Some(grams)) = (angler.section, angler.showing.placed()) {
            let so_far = best.entry(section).or_insert(grams);
            *so_far = so_far.max(grams);
        }
    }
    best.into_values().collect()
}

/// The median with `unknown` values standing below all others; `None` when it falls on them.
fn middle(known: &[f64], unknown: usize) -> Option<f64> {
    let lowest = known.iter().copied().reduce(f64::min)?;
    let below = std::iter::repeat_n(lowest - 1.0, unknown);
    let all: Vec<f64> = known.iter().copied().chain(below).collect();
    let ranks_below = (all.len() - 1) / 2;
    median(&all).filter(|_| ranks_below >= unknown)
}

fn apart(past: &PastMatch) -> Option<Apart> {
    let mut sums = Apart {
        best_carp: 0.0,
        best_silvers: 0.0,
        all_carp: 0.0,
        all_silvers: 0.0,
    };
    for angler in &past.anglers {
        // Who did not weigh shows neither; everyone else must show both.
        if angler.showing.known().is_none() {
            continue;
        }
        let (carp, silvers) = (angler.carp_g?, angler.silvers_g?);
        sums.best_carp = sums.best_carp.max(carp);
        sums.best_silvers = sums.best_silvers.max(silvers);
        sums.all_carp += carp;
        sums.all_silvers += silvers;
    }
    (!past.anglers.is_empty()).then_some(sums)
}

/// `Carp and silvers` inside a sentence; `F1s` keeps its letter.
fn lower_first(text: &str) -> String {
    match text.strip_prefix("F1s") {
        Some(_) => text.to_owned(),
        None => text
            .chars()
            .take(1)
            .flat_map(char::to_lowercase)
            .chain(text.chars().skip(1))
            .collect(),
    }
}

/// `5` rather than `5.0`; `4.5` stays.
fn trimmed(hours: f64) -> String {
    format!("{hours:.1}").trim_end_matches(".0").to_owned()
}
