//! Matches: the list, making one and changing it, entries, weights, and the result.

pub mod change;
mod changed;
pub mod entries;
mod laid;
pub mod list;
pub mod new;
pub mod pegs;
pub mod publication;
pub mod result;
mod several;
pub mod the_match;
mod typed;
pub mod weights;

use super::{errors::PageError, people::Visitor, state::Site};
use crate::{
    domain::{
        ids::MatchId,
        names::{FORMER_MEMBER, Name, NamesOpen, Reader, shown},
    },
    store::{
        StoreError,
        matches::{self, Match, entries::Entry},
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
            reader: match &visitor.0 {
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

    pub(in crate::web) fn show(self, entry: &Entry) -> String {
        let name = entry
            .given
            .clone()
            .map(|given| Name::from_label(given, entry.surname.clone()));
        shown(
            name.as_ref(),
            entry.was_junior,
            self.reader,
            self.open,
            entry.peg_number.as_deref(),
        )
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
