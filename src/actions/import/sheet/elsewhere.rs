//! Rows that stand on record already in a match of another name: the same water, day, angler, peg
//! and weight. Another match can hold them, so an officer says; unsaid, every angler counts twice.

use std::collections::{BTreeMap, HashMap};

use super::{EntryToMake, Is, MatchToMake};
use crate::{
    domain::{
        dates::Day,
        ids::{AnglerId, VenueId},
        matches::Outcome,
    },
    statistics::wording,
    store::imports::known::EntryOnRecord,
};

/// A match to be made whose rows, or some of them, stand in a match on record.
#[derive(Clone, Debug)]
pub struct Elsewhere {
    pub name: String,
    pub on: Day,
    /// The match on record.
    pub stands_in: String,
    pub rows: usize,
    /// The rows of the match to be made.
    pub of: usize,
}

impl Elsewhere {
    /// `Other of Sat 5 Jan 2019`.
    pub fn named(&self) -> String {
        format!("{} of {}", self.name, self.on.short())
    }

    pub fn sentence(&self) -> String {
        let of = wording::number(self.of);
        let rows = match (self.rows, self.of) {
            (1, 1) => "its only row stands".to_owned(),
            (rows, all) if rows == all => format!("all its {of} rows stand"),
            (1, _) => format!("one of its {of} rows stands"),
            (rows, _) => format!("{} of its {of} rows stand", wording::number(rows)),
        };
        format!(
            "{}: {rows} on record in {} of that day, with the same angler, peg and weight.",
            self.named(),
            self.stands_in
        )
    }
}

/// For each match to be made, every match on record that holds rows of it.
pub(super) fn found(matches: &[MatchToMake], on_record: &[EntryOnRecord]) -> Vec<Elsewhere> {
    let mut outings: HashMap<(VenueId, Day, AnglerId), Vec<&EntryOnRecord>> = HashMap::new();
    for entry in on_record {
        let own = (entry.venue, entry.on, entry.angler);
        outings.entry(own).or_default().push(entry);
    }
    let mut found = Vec::new();
    for made in matches {
        let mut held: BTreeMap<&str, usize> = BTreeMap::new();
        for entry in &made.entries {
            let Is::OnRecord(angler) = entry.angler else {
                continue;
            };
            let there = outings.get(&(made.venue, made.on, angler));
            let same = there.into_iter().flatten().find(|one| is_same(entry, one));
            if let Some(one) = same {
                *held.entry(one.match_name.as_str()).or_default() += 1;
            }
        }
        found.extend(held.into_iter().map(|(stands_in, rows)| Elsewhere {
            name: made.name.clone(),
            on: made.on,
            stands_in: stands_in.to_owned(),
            rows,
            of: made.entries.len(),
        }));
    }
    found
}

fn is_same(made: &EntryToMake, one: &EntryOnRecord) -> bool {
    let row = &made.row;
    let nets = row.nets.iter().map(|net| net.weight);
    let total = nets.reduce(|sum, net| sum.plus(net).unwrap_or(sum));
    row.outcome != Outcome::Absent
        && made.peg == one.peg
        && row.outcome == one.outcome
        && total.filter(|weight| !weight.is_nothing()) == one.weight
}
