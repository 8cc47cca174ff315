//! Anglers who read alike in a list to choose from, told apart by the day they last fished.

use std::collections::{BTreeMap, HashMap};

use crate::{
    domain::ids::AnglerId,
    store::{
        Connection, StoreError,
        anglers::{self, Angler, Fished},
    },
};

/// What is said beside the names that read alike; nothing beside any other.
pub struct Apart(HashMap<AnglerId, String>);

impl Apart {
    pub async fn of(reading: &mut Connection, list: &[Angler]) -> Result<Self, StoreError> {
        let mut alike: BTreeMap<String, Vec<AnglerId>> = BTreeMap::new();
        for angler in list {
            if let Some(name) = angler.name() {
                alike.entry(name.key()).or_default().push(angler.id);
            }
        }
        let mut notes = HashMap::new();
        for id in alike.into_values().filter(|ids| ids.len() > 1).flatten() {
            let note = note(&anglers::fished(reading, id).await?);
            notes.insert(id, note);
        }
        Ok(Self(notes))
    }

    /// `Larkin, Maud (last fished Sat 1 Aug 2026)`; the bare name where nobody else has it.
    pub fn sorted(&self, angler: &Angler) -> Option<String> {
        Some(self.beside(angler.id, angler.name()?.sorted()))
    }

    /// These words about an angler, with the note where there is one.
    pub fn beside(&self, angler: AnglerId, words: String) -> String {
        match self.0.get(&angler) {
            Some(note) => format!("{words} ({note})"),
            None => words,
        }
    }
}

fn note(fished: &Fished) -> String {
    match (fished.last, fished.sessions) {
        (Some(day), _) => format!("last fished {}", day.short()),
        (None, 0) => "no sessions yet".to_owned(),
        (None, _) => "sessions not shared with the club".to_owned(),
    }
}
