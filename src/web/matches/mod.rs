//! Matches: the list, making one and changing it, entries, weights, and the result.

pub mod change;
mod changed;
mod corrections;
mod drawn;
pub mod entries;
mod laid;
pub mod list;
mod meanwhile;
pub mod new;
pub mod pegs;
pub mod publication;
pub mod result;
mod several;
pub mod the_match;
mod times;
mod typed;
mod weigh_sheet;
pub mod weights;

use std::collections::BTreeMap;

use super::{errors::PageError, people::Visitor, state::Site};
use crate::{
    actions::publish_results::differs,
    domain::{
        ids::{EntryId, MatchId},
        matches::{Figures, Line, section_words},
        names::{FORMER_MEMBER, Name, NamesOpen, Reader, shown},
    },
    store::{
        StoreError,
        matches::{
            self, Match,
            entries::{self as booked, Entry},
            publications, weights as nets,
        },
        settings,
    },
};

/// The match an address names.
pub(in crate::web) async fn found(site: &Site, id: &str) -> Result<Match, PageError> {
    let id = id.parse().map_err(|_| PageError::NotFound)?;
    let the_match = matches::by_id(&mut *site.db.read().await?, MatchId(id)).await?;
    the_match.ok_or(PageError::NotFound)
}

/// The name in full, for officers' own forms.
fn full_name(entry: &Entry) -> String {
    match &entry.given {
        Some(given) => Name::from_label(given.clone(), entry.surname.clone()).full(),
        None => FORMER_MEMBER.to_owned(),
    }
}

/// The same, and whether it is a junior's: `Tommy Newcomer (junior)`.
fn with_junior(entry: &Entry) -> String {
    match entry.was_junior {
        true => format!("{} (junior)", full_name(entry)),
        false => full_name(entry),
    }
}

/// The record no longer says what stands posted.
async fn changed_since_posting(site: &Site, the_match: &Match) -> Result<bool, PageError> {
    if !the_match.state.is_posted() {
        return Ok(false);
    }
    let mut reading = site.db.read().await?;
    let postings = publications::of_match(&mut reading, the_match.id).await?;
    let Some(last) = postings.first() else {
        return Ok(false);
    };
    let entered = booked::of_match(&mut reading, the_match.id).await?;
    let nets = nets::of_match(&mut reading, the_match.id).await?;
    Ok(differs(last, the_match, &entered, &nets)?)
}

/// How names stand for whoever is reading.
#[derive(Clone, Copy)]
pub(in crate::web) struct Naming {
    reader: Reader,
    open: NamesOpen,
}

impl Naming {
    pub(in crate::web) async fn of(site: &Site, visitor: &Visitor) -> Result<Self, StoreError> {
        let open = settings::get(&mut *site.db.read().await?, "names_open").await?;
        Ok(Self {
            reader: match &visitor.who {
                None => Reader::Visitor,
                Some(who) if who.role.is_officer() => Reader::Officer,
                Some(_) => Reader::Member,
            },
            open: open
                .as_deref()
                .and_then(NamesOpen::parse)
                .unwrap_or_default(),
        })
    }

    /// As visitors see names, whoever is reading: what is pinned to a notice board is for everybody.
    fn for_everybody(self) -> Self {
        Self {
            reader: Reader::Visitor,
            ..self
        }
    }

    /// Visitors see names in a posted result.
    fn opens_results(self) -> bool {
        self.open != NamesOpen::MembersOnly
    }

    /// The angler of an entry; `peg` is the one the page has beside it, which stands for the name
    /// where the reader sees none.
    pub(in crate::web) fn show(self, entry: &Entry, peg: Option<&str>) -> String {
        let name = entry
            .given
            .clone()
            .map(|given| Name::from_label(given, entry.surname.clone()));
        shown(name.as_ref(), entry.was_junior, self.reader, self.open, peg)
    }

    /// Everybody of a result. Two who shorten alike are told apart by their pegs, else by their
    /// sections: `A. Ashenfold, peg 4`.
    pub(in crate::web) fn of_result(
        self,
        figures: &Figures,
        entered: &[Entry],
    ) -> BTreeMap<EntryId, String> {
        let entered: BTreeMap<EntryId, &Entry> =
            entered.iter().map(|entry| (entry.id, entry)).collect();
        let mut alike: BTreeMap<String, usize> = BTreeMap::new();
        for line in &figures.lines {
            if let Some(entry) = entered.get(&line.entry).copied()
                && self.shortens(entry)
            {
                *alike.entry(self.show(entry, None)).or_default() += 1;
            }
        }
        let name = |line: &Line| {
            let Some(entry) = entered.get(&line.entry).copied() else {
                return FORMER_MEMBER.to_owned();
            };
            let name = self.show(entry, line.peg.as_deref());
            if !self.shortens(entry) || alike.get(&name).is_none_or(|count| *count < 2) {
                return name;
            }
            match (&line.peg, &line.section) {
                (Some(peg), _) => format!("{name}, peg {peg}"),
                (None, Some(section)) => format!("{name}, {}", section_words(section)),
                (None, None) => name,
            }
        };
        figures
            .lines
            .iter()
            .map(|line| (line.entry, name(line)))
            .collect()
    }

    /// This reader sees an initial for the given name.
    fn shortens(self, entry: &Entry) -> bool {
        self.reader == Reader::Visitor
            && self.open == NamesOpen::InitialAndSurname
            && !entry.was_junior
            && entry.given.is_some()
    }

    /// Who did something for the club: officers see the name of the account.
    fn account(self, name: Option<&str>) -> String {
        match (self.reader, name) {
            (Reader::Officer, Some(name)) => name.to_owned(),
            _ => "an organiser".to_owned(),
        }
    }
}

/// The version a form was fetched with; a form without one cannot be read.
fn version(text: &str) -> Result<i64, PageError> {
    text.parse().map_err(|_| {
        PageError::Unreadable(
            "This form is not whole. Fetch the page again and send it from there.".into(),
        )
    })
}
