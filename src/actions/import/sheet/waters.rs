//! The waters a file names. One that is not on record by that name is asked about.

use std::collections::BTreeMap;

use super::{Plan, WaterAnswer};
use crate::{
    domain::{ids::VenueId, names::key},
    formats::old_sheets::OldSheet,
    store::imports::known::Water,
};

/// A water as the file names it.
#[derive(Clone, Debug)]
pub struct WaterNamed {
    pub key: String,
    pub name: String,
    pub rows: usize,
    /// On record by this very name.
    pub certain: bool,
    /// The only water on record whose name has these words in it.
    pub likely: Option<VenueId>,
    pub answer: Option<WaterAnswer>,
}

impl WaterNamed {
    pub fn is_open(&self) -> bool {
        self.answer.is_none()
    }

    pub fn venue(&self) -> Option<VenueId> {
        match self.answer {
            Some(WaterAnswer::OnRecord(id)) => Some(id),
            Some(WaterAnswer::LeftOut) | None => None,
        }
    }
}

pub(super) fn named(read: &OldSheet, waters: &[Water], plan: &Plan) -> Vec<WaterNamed> {
    let mut names: BTreeMap<String, WaterNamed> = BTreeMap::new();
    for entry in &read.entries {
        let own = key(&entry.venue);
        let named = names.entry(own.clone()).or_insert_with(|| {
            let equal = waters.iter().find(|water| key(&water.name) == own);
            let answered = plan
                .waters
                .get(&own)
                .copied()
                .filter(|answer| match answer {
                    WaterAnswer::OnRecord(id) => waters.iter().any(|water| water.id == *id),
                    WaterAnswer::LeftOut => true,
                });
            WaterNamed {
                likely: likely(&own, waters),
                key: own,
                name: entry.venue.clone(),
                rows: 0,
                certain: equal.is_some(),
                answer: equal
                    .map(|water| WaterAnswer::OnRecord(water.id))
                    .or(answered),
            }
        });
        named.rows += 1;
    }
    names.into_values().collect()
}

/// The water that a name names in part, `quillet` of `Quillet Water`, where it is one only. Put
/// to an officer like any other, never taken.
fn likely(own: &str, waters: &[Water]) -> Option<VenueId> {
    let in_part = |water: &&Water| {
        let whole = key(&water.name);
        own.split(' ')
            .all(|word| whole.split(' ').any(|other| other == word))
    };
    let mut found = waters.iter().filter(in_part);
    let only = found.next()?;
    found.next().is_none().then_some(only.id)
}
