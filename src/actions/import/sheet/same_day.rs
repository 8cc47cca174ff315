//! A row of a day on which its angler has an outing on record at that water: the same one told
//! again, or another.

use std::collections::BTreeMap;

use super::people::Is;
use crate::{
    domain::{
        dates::Day,
        ids::{AnglerId, PegId, VenueId},
        sessions::outing::{Sameness, Telling},
        units::Minutes,
    },
    formats::old_sheets::{Entry, SameDay},
    store::imports::known::{Outing, Water},
};

pub(super) type Outings = BTreeMap<(AnglerId, VenueId, Day), Vec<Outing>>;

pub(super) fn by_day(outings: Vec<Outing>) -> Outings {
    let mut all = Outings::new();
    for outing in outings {
        let own = (outing.angler, outing.venue, outing.on);
        all.entry(own).or_default().push(outing);
    }
    all
}

/// An outing on record of a row's day, and how the row compares with it.
pub(super) struct Beside<'a> {
    sameness: Sameness,
    outing: &'a Outing,
}

/// The outing of that day that a row is likest to. A match's hours are the match's, so only another
/// peg tells a row from it; what names no other peg would be joined to the entry. A peg that the
/// water does not have that day tells nothing, and may be another.
pub(super) fn beside<'a>(
    outings: &'a Outings,
    angler: &Is,
    water: &Water,
    row: &Entry,
    peg: Option<PegId>,
) -> Option<Beside<'a>> {
    let Is::OnRecord(id) = angler else {
        return None;
    };
    let of_day = outings.get(&(*id, water.id, row.day))?;
    let told = Telling {
        pegs: peg.as_slice(),
        minutes: row.minutes.filter(|_| row.own_hours),
    };
    let unknown_peg = row.peg.is_some() && peg.is_none();
    let sameness = |outing: &Outing| match told.compared(&outing.telling()) {
        _ if unknown_peg => Sameness::Unclear,
        Sameness::Unclear | Sameness::OtherHours if outing.in_match() => Sameness::Same,
        sameness => sameness,
    };
    let compared = of_day.iter().map(|outing| Beside {
        sameness: sameness(outing),
        outing,
    });
    compared.min_by_key(|beside| beside.sameness)
}

impl Beside<'_> {
    /// Is the row another outing, and taken? `None` while that has to be asked: a row that says
    /// another peg or other hours may as well put right what is on record.
    pub fn is_another(&self, answer: Option<SameDay>) -> Option<bool> {
        match self.sameness {
            Sameness::Same => Some(false),
            Sameness::Unclear | Sameness::OtherPeg | Sameness::OtherHours => {
                answer.map(|answer| answer == SameDay::AnotherOuting)
            }
        }
    }

    /// What stands on record, what becomes of the row, and how to mend it.
    pub fn sentence(&self, row: &Entry, water: &Water, answer: Option<SameDay>) -> String {
        let (who, known) = (row.angler.full(), self.known(water));
        let stands = match &self.outing.match_name {
            Some(name) => format!("{who} fished {name} there that day{known}"),
            None => format!("{who} has a session on record there that day{known}"),
        };
        let told = match self.sameness {
            Sameness::Same if self.outing.in_match() => {
                return format!(
                    "{stands}, and this row says no other peg, so it is left out. If it was another outing, give its peg in the sheet, or have it reported with its times."
                );
            }
            Sameness::Same => {
                return format!(
                    "{stands}, and this row says the same peg and hours, so it is left out. If it was another outing, have it reported with its times."
                );
            }
            Sameness::OtherPeg => "This row says another peg.",
            Sameness::OtherHours => "This row says other hours.",
            Sameness::Unclear if self.is_compared() => {
                "Neither peg nor hours tell this row from it."
            }
            Sameness::Unclear => {
                "Its peg and hours are not open to the club, so this row is not compared with them."
            }
        };
        let becomes = match answer {
            None => "Say for the whole file whether such rows are the same outing or another.",
            Some(SameDay::SameOuting) => {
                "It is left out as the same outing, as you answered. If it puts right what is on record, have that changed on its own page, or undo the file that brought it first."
            }
            Some(SameDay::AnotherOuting) => {
                "It is taken as another outing, as you answered. If it only puts right what is on record, take the row out, or undo the file that brought the other."
            }
        };
        format!("{stands}. {told} {becomes}")
    }

    /// Something of the outing is open to the club, or posted.
    fn is_compared(&self) -> bool {
        self.outing.is_open || self.outing.in_match()
    }

    /// ` (peg 7, 4 hours)`, as far as it is known and open to the club.
    fn known(&self, water: &Water) -> String {
        if !self.outing.is_open {
            return String::new();
        }
        let pegs = water.pegs.iter();
        let pegs = pegs.filter(|peg| self.outing.pegs.contains(&peg.id));
        let mut parts: Vec<String> = pegs.map(|peg| format!("peg {}", peg.number)).collect();
        parts.extend(self.outing.minutes.map(Minutes::words));
        match parts.is_empty() {
            true => String::new(),
            false => format!(" ({})", parts.join(", ")),
        }
    }
}
