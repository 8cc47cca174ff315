//! A row of a day on which its angler has an outing on record at that water: the same one told
//! again, or another.

use std::collections::BTreeMap;

use super::people::Is;
use crate::{
    domain::{
        dates::Day,
        ids::{AnglerId, VenueId},
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
/// peg tells a row from it; what names no other peg would be joined to the entry.
pub(super) fn beside<'a>(
    outings: &'a Outings,
    angler: &Is,
    water: &Water,
    row: &Entry,
) -> Option<Beside<'a>> {
    let Is::OnRecord(id) = angler else {
        return None;
    };
    let number = row.peg.as_deref();
    let peg = number.and_then(|number| water.peg(number, row.day));
    let told = Telling {
        pegs: peg.as_slice(),
        minutes: row.minutes.filter(|_| row.own_hours),
    };
    let of_day = outings.get(&(*id, water.id, row.day))?;
    let compared = of_day.iter().map(|outing| Beside {
        sameness: match told.compared(&outing.telling()) {
            Sameness::Unclear | Sameness::OtherHours if outing.in_match() => Sameness::Same,
            sameness => sameness,
        },
        outing,
    });
    compared.min_by_key(|beside| beside.sameness)
}

impl Beside<'_> {
    /// Is the row another outing, and taken? `None` while that has to be asked.
    pub fn is_another(&self, answer: Option<SameDay>) -> Option<bool> {
        match self.sameness {
            Sameness::Same => Some(false),
            Sameness::OtherPeg | Sameness::OtherHours => Some(true),
            Sameness::Unclear => answer.map(|answer| answer == SameDay::AnotherOuting),
        }
    }

    /// What stands on record, what becomes of the row, and how to mend it.
    pub fn sentence(&self, row: &Entry, water: &Water, answer: Option<SameDay>) -> String {
        let (who, known) = (row.angler.full(), self.known(water));
        let stands = match &self.outing.match_name {
            Some(name) => format!("{who} fished {name} there that day{known}"),
            None => format!("{who} has a session on record there that day{known}"),
        };
        let taken = |what: &str| {
            format!(
                "{stands}. This row says {what}, so it is taken as another outing. If it only puts right what is on record, take the row out, or undo the file that brought the other."
            )
        };
        match (self.sameness, answer) {
            (Sameness::Same, _) if self.outing.in_match() => format!(
                "{stands}, and this row says no other peg, so it is left out. If it was another outing, give its peg in the sheet, or have it reported with its times."
            ),
            (Sameness::Same, _) => format!(
                "{stands}, and this row says the same peg and hours, so it is left out. If it was another outing, have it reported with its times."
            ),
            (Sameness::OtherPeg, _) => taken("another peg"),
            (Sameness::OtherHours, _) => taken("other hours"),
            (Sameness::Unclear, None) => format!(
                "{stands}, and neither peg nor hours tell this row from it. Give both in the sheet, or answer for the whole file."
            ),
            (Sameness::Unclear, Some(SameDay::SameOuting)) => format!(
                "{stands}, and neither peg nor hours tell this row from it. It is left out as the same outing, as you answered."
            ),
            (Sameness::Unclear, Some(SameDay::AnotherOuting)) => format!(
                "{stands}, and neither peg nor hours tell this row from it. It is taken as another outing, as you answered."
            ),
        }
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
