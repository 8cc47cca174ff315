//! Who is placed where, overall and in each section. No points yet.
//!
//! Placing compares whole ranking steps of the counted weight, so that ties are exact. Tied
//! entries share the place and the places after it are skipped (1, 2, 2, 4), as in the German
//! federation's competition rule, club SFV Bruchsal, "Platzzifferwertung" (reference 1.3).
//! Blanks and did-not-weighs rank below any weight and are given no place here; what points
//! they take is a rule of the league. Custom of British clubs, common practice, no source.

use std::collections::BTreeMap;
use std::fmt;

use serde::{Deserialize, Serialize};

use super::Outcome;
use crate::domain::ids::{EntryId, SectionId};
use crate::domain::units::{Ranking, Total, Weight};

/// What one entry brought to the scales.
#[derive(Clone, Debug, PartialEq)]
pub struct Caught {
    pub entry: EntryId,
    pub section: Option<SectionId>,
    pub outcome: Outcome,
    /// All that was weighed.
    pub raw: Total,
    /// What counts: each net capped, then added.
    pub counted: Total,
}

/// A place, shared or not: `1`, `4=`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Place {
    pub number: u32,
    pub shared: bool,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.number, if self.shared { "=" } else { "" })
    }
}

/// An entry with its places. `None` for who fished no weight to the scales.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    pub entry: EntryId,
    pub section: Option<SectionId>,
    pub outcome: Outcome,
    pub raw: Weight,
    pub counted: Weight,
    pub overall: Option<Place>,
    pub in_section: Option<Place>,
}

impl Placed {
    /// `31-4` for a weight, else the word of the outcome.
    pub fn figure(&self) -> String {
        match self.outcome {
            Outcome::Fished => self.counted.short(),
            outcome => outcome.as_str().to_owned(),
        }
    }
}

/// Places every entry.
///
/// The answer is in the order of a result: weights from the heaviest, then blanks, did not
/// weigh, disqualified, absent; entries alike keep the order they came in.
pub fn place(entries: &[Caught], ranking: Ranking) -> Vec<Placed> {
    let ranked: Vec<(usize, i64)> = entries
        .iter()
        .enumerate()
        .filter(|(_, caught)| caught.outcome == Outcome::Fished)
        .map(|(at, caught)| (at, caught.counted.steps(ranking)))
        .collect();
    let overall = places(&ranked);
    let mut sections: BTreeMap<SectionId, Vec<(usize, i64)>> = BTreeMap::new();
    for &(at, steps) in &ranked {
        if let Some(section) = entries[at].section {
            sections.entry(section).or_default().push((at, steps));
        }
    }
    let in_sections: BTreeMap<usize, Place> = sections
        .values()
        .flat_map(|members| places(members))
        .collect();

    let mut placed: Vec<Placed> = entries
        .iter()
        .enumerate()
        .map(|(at, caught)| Placed {
            entry: caught.entry,
            section: caught.section,
            outcome: caught.outcome,
            raw: caught.raw.to(Ranking::of(ranking.scale, 1)),
            counted: caught.counted.to(ranking),
            overall: overall.get(&at).copied(),
            in_section: in_sections.get(&at).copied(),
        })
        .collect();
    placed.sort_by_key(|p| (p.outcome, p.overall.map(|place| place.number)));
    placed
}

/// The place of each of `ranked` (where it stands, its steps), most steps first.
pub(super) fn places(ranked: &[(usize, i64)]) -> BTreeMap<usize, Place> {
    let mut steps: Vec<i64> = ranked.iter().map(|(_, steps)| *steps).collect();
    steps.sort_unstable_by(|a, b| b.cmp(a));
    ranked
        .iter()
        .map(|&(at, own)| {
            let better = steps.partition_point(|other| *other > own);
            let level = steps.partition_point(|other| *other >= own) - better;
            let number = u32::try_from(better + 1).unwrap_or(u32::MAX);
            (
                at,
                Place {
                    number,
                    shared: level > 1,
                },
            )
        })
        .collect()
}
