//! Rows as understood, and the matches they make.

use std::collections::BTreeMap;

use jiff::civil::Time;
use sha2::{Digest, Sha256};

use super::{Ask, TotalLine};
use crate::domain::dates::Day;
use crate::domain::groups::GroupSet;
use crate::domain::matches::Outcome;
use crate::domain::names::{Name, key};
use crate::domain::units::{Minutes, Ranking, Scale, Weight};
use crate::statistics::wording;

/// A weight and the set of groups it covers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Net {
    pub groups: GroupSet,
    pub weight: Weight,
}

/// One row as understood.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    pub line: u64,
    pub day: Day,
    pub venue: String,
    /// Empty for a session that was no match.
    pub match_name: String,
    pub angler: Name,
    /// The sheet marks the name as a junior’s.
    pub junior: bool,
    pub peg: Option<String>,
    pub team: Option<String>,
    pub section: Option<String>,
    pub outcome: Outcome,
    pub nets: Vec<Net>,
    pub place: Option<u32>,
    pub minutes: Option<Minutes>,
    /// When a session began and ended, by a clock at the water; an end that is not later is the
    /// next day's.
    pub times: Option<(Time, Time)>,
    /// The row itself says how long was fished.
    pub own_hours: bool,
    pub method: Option<String>,
    pub bait: Option<String>,
    /// Fish, by the set of groups counted together.
    pub counts: Vec<(GroupSet, i64)>,
    pub remarks: Option<String>,
}

impl Entry {
    /// SHA-256 of what was understood, its line apart: the same row of the same or another file
    /// gives the same, so that nothing is taken twice. Words are compared folded.
    pub fn row_sha256(&self) -> [u8; 32] {
        let folded = |text: &Option<String>| text.as_deref().map(key).unwrap_or_default();
        let net = |net: &Net| {
            let (amount, scale) = (net.weight.amount(), net.weight.scale().as_str());
            format!("{}:{amount}{scale}", net.groups.bits())
        };
        let nets: Vec<String> = self.nets.iter().map(net).collect();
        let count = |(groups, n): &(GroupSet, i64)| format!("{}:{n}", groups.bits());
        let counts: Vec<String> = self.counts.iter().map(count).collect();
        let mut parts = vec![
            self.day.to_string(),
            key(&self.venue),
            key(&self.match_name),
            self.angler.key(),
            folded(&self.peg),
            folded(&self.team),
            folded(&self.section),
            self.outcome.to_string(),
            nets.join("+"),
            self.place.map(|n| n.to_string()).unwrap_or_default(),
            self.minutes.map(|m| m.0.to_string()).unwrap_or_default(),
            folded(&self.method),
            counts.join("+"),
            folded(&self.remarks),
        ];
        // Named, so that a row without them is what it was before there were such columns.
        parts.extend(self.times.map(|(from, to)| format!("times {from} {to}")));
        parts.extend(
            self.bait
                .as_deref()
                .map(|bait| format!("bait {}", key(bait))),
        );
        Sha256::digest(parts.join("\u{1f}").as_bytes()).into()
    }

    /// The same of what it tells of an outing: nothing caught is the same however it is written.
    pub fn outing_sha256(&self) -> [u8; 32] {
        if self.outcome != Outcome::Blank {
            return self.row_sha256();
        }
        let plain = Self {
            nets: Vec::new(),
            counts: Vec::new(),
            ..self.clone()
        };
        plain.row_sha256()
    }
}

/// A row that cannot be taken, with everything that is wrong with it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BadRow {
    pub line: u64,
    pub sentences: Vec<String>,
    pub of: RowOf,
}

/// What can be read of the match that a bad row is of, so that its result can say it lacks the row.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RowOf {
    pub day: Option<Day>,
    /// Folded, as the match's name.
    pub venue: Option<String>,
    pub match_name: Option<String>,
}

impl RowOf {
    pub fn entry(entry: &Entry) -> Self {
        Self {
            day: Some(entry.day),
            venue: Some(key(&entry.venue)),
            match_name: Some(key(&entry.match_name)),
        }
    }

    /// Its day or its name is that of the match, and neither is another's.
    pub fn may_be(&self, day: Day, match_name: &str) -> bool {
        let name = self.match_name.as_deref();
        (self.day.is_some() || name.is_some())
            && self.day.is_none_or(|own| own == day)
            && name.is_none_or(|own| own == match_name)
    }
}

/// `line 3`, `lines 3, 5 and 6`; past forty the rest is counted.
pub fn lines_named(lines: &[u64]) -> String {
    let named = lines.iter().map(u64::to_string).collect();
    let line = if lines.len() == 1 { "line" } else { "lines" };
    format!("{line} {}", wording::list_of_many(named))
}

/// Something an officer should know of a row that is taken all the same.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    pub line: u64,
    pub sentence: String,
}

/// A file as far as it could be read.
#[derive(Clone, Debug, PartialEq)]
pub struct OldSheet {
    /// In the order of the file.
    pub entries: Vec<Entry>,
    pub problems: Vec<BadRow>,
    /// Lines that add up others, and are nobody's.
    pub totals: Vec<TotalLine>,
    /// What still has to be answered; while any stands, rows that hang on it are problems.
    pub asks: Vec<Ask>,
}

/// Entries of one day, venue and name.
#[derive(Clone, Debug, PartialEq)]
pub struct PastMatch<'a> {
    pub day: Day,
    pub venue: &'a str,
    pub name: &'a str,
    pub entries: Vec<&'a Entry>,
}

impl OldSheet {
    /// The matches of the file, earliest first.
    pub fn matches(&self) -> Vec<PastMatch<'_>> {
        let mut groups: BTreeMap<(Day, String, String), Vec<&Entry>> = BTreeMap::new();
        for entry in &self.entries {
            groups
                .entry((entry.day, key(&entry.venue), key(&entry.match_name)))
                .or_default()
                .push(entry);
        }
        groups
            .into_values()
            .filter_map(|entries| {
                let first = *entries.first()?;
                Some(PastMatch {
                    day: first.day,
                    venue: &first.venue,
                    name: &first.match_name,
                    entries,
                })
            })
            .collect()
    }
}

/// The coarsest usual step that every one of `weights` is a whole number of, in the unit that
/// most of them were weighed in: what the scales of that day showed, as far as can be told.
pub fn ranking<'a>(weights: impl Iterator<Item = &'a Weight> + Clone) -> Ranking {
    let grams = weights
        .clone()
        .filter(|w| w.scale() == Scale::Grams)
        .count();
    let drams = weights.clone().count() - grams;
    if grams > drams {
        return Ranking::GRAM;
    }
    let whole = |step: i64| {
        weights
            .clone()
            .filter(|w| w.scale() == Scale::Drams)
            .all(|w| w.amount() % step == 0)
    };
    match (whole(16), whole(4)) {
        (true, _) => Ranking::OUNCE,
        (false, true) => Ranking::of(Scale::Drams, 4),
        (false, false) => Ranking::of(Scale::Drams, 1),
    }
}
