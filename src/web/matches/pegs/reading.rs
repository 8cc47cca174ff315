//! What was typed on the form of pegs: whose word stands where somebody saved meanwhile, and what is
//! asked before it can be saved.

use std::collections::BTreeMap;

use super::{Sheet, range_name};
use crate::{
    actions::place_entries::Placed,
    domain::{
        ids::{EntryId, MatchTeamId, PegId, SectionId},
        merging::{Merge, merge},
        pegs::{bare_number, read_peg_list},
    },
    store::matches::entries::{Entry, Placing},
    web::{
        forms::{Form, Problems},
        matches::{full_name, meanwhile::Sent},
    },
};

/// What a form that was sent comes to.
#[derive(Default)]
pub(super) struct Read {
    pub placed: Vec<Placed>,
    /// What cannot stand, each at its field.
    pub problems: Problems,
    /// What was changed here and there, each at its field with both values.
    pub clashes: Problems,
}

impl Sheet {
    /// What a box is to say, and whose word that is.
    pub(super) fn said(
        &self,
        entry: &Entry,
        (name, saved): (&str, &str),
        sent: &Sent<'_>,
    ) -> (String, Merge) {
        let Some(typed) = sent.typed(entry.id, name, saved) else {
            return (saved.to_owned(), Merge::Theirs);
        };
        let folded = |text: &str| text.to_lowercase();
        let shown = sent.shown(entry.id, name, saved).map(|text| folded(&text));
        match merge(shown.as_ref(), &folded(typed), &folded(saved)) {
            Merge::Theirs => (saved.to_owned(), Merge::Theirs),
            stands => (typed.to_owned(), stands),
        }
    }

    /// The peg of that number for an entry; asked about where it is closed that day.
    fn read_peg(
        &self,
        entry: &Entry,
        number: &str,
        form: &Form,
        problems: &mut Problems,
    ) -> Option<PegId> {
        let field = format!("peg-{}", entry.id);
        let number = bare_number(number);
        if number.is_empty() {
            return None;
        }
        let Some(peg) = self.pegs.numbered(number) else {
            problems.add(
                field,
                format!(
                    "{} has no peg {number}. Check the number against the draw.",
                    self.the_match.venue_name
                ),
            );
            return None;
        };
        let withdrawn = form.has(&format!("withdrawn-{}", entry.id));
        let asks = self.pegs.asks(peg, form, &entry.id.to_string());
        if let Some(asks) = asks.filter(|_| !withdrawn) {
            problems.add(field, asks);
        }
        Some(peg)
    }

    /// The section of each peg that a range names; a peg belongs to one.
    fn ranges(&self, form: &Form, problems: &mut Problems) -> BTreeMap<String, SectionId> {
        let mut ranges: BTreeMap<String, SectionId> = BTreeMap::new();
        for section in &self.sections {
            let field = range_name(section);
            if form.get(&field).is_empty() {
                continue;
            }
            let list = read_peg_list(form.get(&field)).map_err(|all| all.join(" "));
            let numbers = problems.take(&field, list).map(|list| list.numbers);
            for number in numbers.into_iter().flatten() {
                let Some(other) = ranges.insert(number.clone(), section.id) else {
                    continue;
                };
                let other = self.sections.iter().find(|known| known.id == other);
                if problems.at(&field).is_empty() {
                    problems.add(
                        field.as_str(),
                        format!(
                            "Peg {number} is given to section {} too. Take it out of one of the two.",
                            other.map(|section| section.name.as_str()).unwrap_or_default()
                        ),
                    );
                }
            }
        }
        ranges
    }

    /// Everybody whose boxes were changed here, placed as they are to stand.
    pub(super) fn read(&self, sent: &Sent<'_>) -> Read {
        let mut read = Read::default();
        let known = self.entered.iter().map(|entry| format!("peg-{}", entry.id));
        for value in sent.strays(&["peg-"], &known.collect()) {
            let sentence = "was typed as the peg of an angler who is no longer in this match, and cannot be saved. Look over who is entered.";
            read.problems.add("", format!("“{value}” {sentence}"));
        }
        let ranges = self.ranges(sent.form, &mut read.problems);
        let mut taken: BTreeMap<PegId, EntryId> = BTreeMap::new();
        for entry in &self.entered {
            let boxes = self.saved(entry).map(|(name, label, saved)| {
                let (value, stands) = self.said(entry, (&name, &saved), sent);
                if stands == Merge::Clash {
                    let nothing = |text: &str| match text {
                        "" => "nothing".to_owned(),
                        text => self.words(label, text),
                    };
                    read.clashes.add(
                        name,
                        format!(
                            "{}. {label}: you have {}, and the record now says {}. Leave in the box what is right, then save again.",
                            full_name(entry),
                            nothing(&value),
                            nothing(&saved)
                        ),
                    );
                }
                (value, stands)
            });
            let withdrawn = sent.form.has(&format!("withdrawn-{}", entry.id));
            let [(number, of_peg), (section, of_section), (team, of_team)] = boxes;
            let peg = match of_peg {
                Merge::Theirs => entry.peg,
                _ => self.read_peg(entry, &number, sent.form, &mut read.problems),
            };
            if let Some(peg) = peg.filter(|_| !withdrawn)
                && let Some(other) = taken.insert(peg, entry.id)
            {
                self.say_taken((entry, other, &number), of_peg, &mut read.problems);
            }
            let of_range = ranges.get(&bare_number(&number).to_uppercase()).copied();
            let stands = [of_peg, of_section, of_team];
            let moved = of_range.is_some_and(|section| entry.section != Some(section));
            if !withdrawn && !moved && stands.iter().all(|stands| *stands == Merge::Theirs) {
                continue;
            }
            let section = of_range.or(section.parse().ok().map(SectionId));
            let team = team.parse().ok().map(MatchTeamId);
            read.placed.push(Placed {
                entry: entry.id,
                placing: Placing {
                    section: section.filter(|id| self.sections.iter().any(|s| s.id == *id)),
                    team: team.filter(|id| self.teams.iter().any(|t| t.id == *id)),
                    peg,
                },
                withdrawn,
            });
        }
        read
    }

    /// Says that a peg is given twice, at the box that was changed.
    fn say_taken(
        &self,
        (entry, other, number): (&Entry, EntryId, &str),
        of_peg: Merge,
        problems: &mut Problems,
    ) {
        let whose = self.entered.iter().find(|e| e.id == other).map(full_name);
        let at = if of_peg == Merge::Theirs {
            other
        } else {
            entry.id
        };
        problems.add(
            format!("peg-{at}"),
            format!(
                "Peg {number} is given to both {} and {}. Check both against the draw.",
                whose.unwrap_or_default(),
                full_name(entry)
            ),
        );
    }
}
