//! A row of a day on which its angler has an outing on record at that water: the same one told
//! again, or another.

use std::collections::BTreeMap;

use super::people::Is;
use crate::{
    domain::{
        dates::{Day, Instant},
        ids::{AnglerId, PegId, VenueId},
        sessions::{
            Caught,
            outing::{Sameness, Telling},
        },
        units::{Minutes, Weight},
    },
    formats::old_sheets::{Entry, SameDay},
    statistics::wording,
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

    /// What stands on record, what becomes of the row, and how to mend it; with what the row says
    /// otherwise of the catch.
    pub fn sentence(
        &self,
        row: &Entry,
        water: &Water,
        answer: Option<SameDay>,
        differences: &[String],
    ) -> String {
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
            Sameness::Same if !differences.is_empty() => {
                return format!(
                    "{stands}, and this row says the same peg and hours, so it is left out. What it caught is told otherwise: {}. To take it as it stands here, undo the file that brought the earlier one, or have the session changed on its own page.",
                    wording::list(differences)
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

    /// What the row says otherwise of the catch of an outing that it is the same as, where the club
    /// may read it: `weight 12 lb 8 oz on record, 12 lb 12 oz here`.
    pub fn differences(&self, here: &[Caught]) -> Vec<String> {
        let mut told = Vec::new();
        if self.sameness != Sameness::Same {
            return told;
        }
        for known in &self.outing.caught {
            let Some(own) = here.iter().find(|own| own.groups == known.groups) else {
                continue;
            };
            let of = match self.outing.caught.len() {
                1 => String::new(),
                _ => format!(" of {}", known.groups),
            };
            let other_weight =
                |own: &Weight| known.weight.is_none_or(|known| known.compare(*own).is_ne());
            if let Some(own) = own.weight.filter(other_weight) {
                let known = known.weight.map(|weight| weight.words());
                let known = known.unwrap_or_else(|| "not known".to_owned());
                told.push(format!(
                    "weight{of} {known} on record, {} here",
                    own.words()
                ));
            }
            if let Some(own) = own.count.filter(|own| known.count != Some(*own)) {
                let known = known.count.map(|count| count.to_string());
                let known = known.unwrap_or_else(|| "not known".to_owned());
                told.push(format!("fish{of} {known} on record, {own} here"));
            }
        }
        told
    }

    /// What stands on record, as far as it is open to the club: `a session (peg 7, 4 hours), 07:00
    /// to 11:00`.
    pub fn on_record(&self, water: &Water) -> String {
        let what = self.outing.match_name.as_deref().unwrap_or("a session");
        let hours = self.outing.hours.map(|(from, to)| {
            let (from, to) = (from.clock(&water.zone), to.clock(&water.zone));
            format!(", {from} to {to}")
        });
        format!("{what}{}{}", self.known(water), hours.unwrap_or_default())
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

/// The hours on record, open to the club, that overlap a row's hours: nobody fished both.
pub(super) fn overlapping(
    outings: &Outings,
    angler: &Is,
    (venue, day): (VenueId, Day),
    hours: (Instant, Instant),
) -> Option<(Instant, Instant)> {
    let Is::OnRecord(id) = angler else {
        return None;
    };
    let of_day = outings.get(&(*id, venue, day))?;
    let mut known = of_day.iter().filter_map(|outing| outing.hours);
    known.find(|known| overlap(*known, hours))
}

pub(super) fn overlap(one: (Instant, Instant), other: (Instant, Instant)) -> bool {
    one.0 < other.1 && other.0 < one.1
}
