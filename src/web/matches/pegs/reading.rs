//! What was typed on the form of pegs: whose word stands where somebody saved meanwhile, and what is
//! asked before it can be saved.

use std::collections::{BTreeMap, BTreeSet};

use super::{Sheet, range_name};
use crate::{
    actions::place_entries::Placed,
    domain::{
        ids::{EntryId, MatchTeamId, PegId, SectionId},
        matches::section_words,
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

/// What one box of an entry is to say, and whose word that is.
struct Word {
    name: String,
    label: &'static str,
    saved: String,
    value: String,
    stands: Merge,
    /// The peg for which a range says it.
    ranged: Option<String>,
}

impl Word {
    /// A range decides, whatever was chosen in the box. It was typed, so it is asked about wherever
    /// the record was changed meanwhile, even to leave the section that the range names.
    fn by_range(mut self, section: SectionId, peg: &str, shown: Option<&String>) -> Self {
        self.value = section.to_string();
        self.stands = match merge(shown, &self.value, &self.saved) {
            Merge::Theirs if self.value != self.saved => Merge::Clash,
            stands => stands,
        };
        self.ranged = Some(peg.to_owned());
        self
    }
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
        let folded = |text: &str| bare_number(text).to_lowercase();
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
        for (name, typed) in form.pairs() {
            let known = || self.sections.iter().any(|of| range_name(of) == *name);
            if name.starts_with("range-") && !typed.trim().is_empty() && !known() {
                let sentence = "was typed as the pegs of a section that is no longer in this match, and cannot be saved. Look over the sections.";
                problems.add("", format!("“{}” {sentence}", typed.trim()));
            }
        }
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
                            "Peg {number} is given to {} too. Take it out of one of the two.",
                            other
                                .map(|section| section_words(&section.name))
                                .unwrap_or_default()
                        ),
                    );
                }
            }
        }
        ranges
    }

    /// The three boxes of an entry, each with whose word it is.
    fn words_of(&self, entry: &Entry, sent: &Sent<'_>) -> [Word; 3] {
        self.saved(entry).map(|(name, label, saved)| {
            let (value, stands) = self.said(entry, (&name, &saved), sent);
            Word {
                name,
                label,
                saved,
                value,
                stands,
                ranged: None,
            }
        })
    }

    /// Everybody whose boxes were changed here, placed as they are to stand.
    pub(super) fn read(&self, sent: &Sent<'_>) -> Read {
        let mut read = Read::default();
        self.find_strays(sent, &mut read.problems);
        let ranges = self.ranges(sent.form, &mut read.problems);
        let mut of_somebody: BTreeSet<SectionId> = BTreeSet::new();
        let mut taken: BTreeMap<PegId, EntryId> = BTreeMap::new();
        for entry in &self.entered {
            let withdrawn = sent.form.has(&format!("withdrawn-{}", entry.id));
            let [number, mut section, team] = self.words_of(entry, sent);
            let peg = match number.stands {
                Merge::Theirs => entry.peg,
                _ => self.read_peg(entry, &number.value, sent.form, &mut read.problems),
            };
            if let Some(peg) = peg.filter(|_| !withdrawn)
                && let Some(other) = taken.insert(peg, entry.id)
            {
                let whose = (entry, other, number.value.as_str());
                self.say_taken(whose, number.stands, &mut read.problems);
            }
            let stake = bare_number(&number.value).to_uppercase();
            if let Some(of_range) = ranges.get(&stake).filter(|_| !withdrawn) {
                of_somebody.insert(*of_range);
                let shown = sent.shown(entry.id, &section.name, &section.saved);
                section = section.by_range(*of_range, &stake, shown.as_ref());
            }
            let words = [number, section, team];
            for word in &words {
                self.look_over(entry, word, withdrawn, &mut read);
            }
            if !withdrawn && words.iter().all(|word| word.stands == Merge::Theirs) {
                continue;
            }
            let [_, section, team] = words.map(|word| word.value.parse::<i64>().ok());
            read.placed.push(Placed {
                entry: entry.id,
                placing: Placing {
                    section: section.map(SectionId),
                    team: team.map(MatchTeamId),
                    peg,
                },
                withdrawn,
            });
        }
        for section in &self.sections {
            let field = range_name(section);
            let named = ranges.values().any(|id| *id == section.id);
            if named && !of_somebody.contains(&section.id) && read.problems.at(&field).is_empty() {
                let sentence = "Nobody has drawn a peg of these yet. Enter the pegs first.";
                read.problems.add(field, sentence);
            }
        }
        read
    }

    /// Says where a box chooses what the match has no longer, and asks where two changed it.
    fn look_over(&self, entry: &Entry, word: &Word, withdrawn: bool, read: &mut Read) {
        if word.stands == Merge::Theirs {
            return;
        }
        let whose = format!("{}. {}", full_name(entry), word.label);
        if !self.can_be_chosen(word.label, &word.value) {
            // Whoever withdraws is placed nowhere.
            if !withdrawn {
                let sentence = "what was chosen is no longer in this match. Choose again.";
                let field = match word.label {
                    "Section" if self.sections.is_empty() => "",
                    "Team" if self.teams.is_empty() => "",
                    _ => word.name.as_str(),
                };
                read.problems.add(field, format!("{whose}: {sentence}"));
            }
            return;
        }
        if word.stands == Merge::Ours {
            return;
        }
        let ours = self.words(word.label, &word.value);
        let theirs = self.words(word.label, &word.saved);
        let asked = match &word.ranged {
            Some(peg) => format!(
                "{whose}: the range puts peg {peg} into {ours}, and the record now says {theirs}. Take peg {peg} out of the range and choose here, or save again to have {ours}."
            ),
            None => format!(
                "{whose}: you have {ours}, and the record now says {theirs}. Leave in the box what is right, then save again."
            ),
        };
        read.clashes.add(word.name.as_str(), asked);
    }

    /// Names what was typed, chosen or ticked for somebody who is no longer entered. Whoever is
    /// withdrawn here too is as this form would have it.
    fn find_strays(&self, sent: &Sent<'_>, problems: &mut Problems) {
        let kinds = ["peg-", "section-", "team-", "withdrawn-"];
        let of_entry = |entry: &Entry| kinds.map(|kind| format!("{kind}{}", entry.id));
        let known: BTreeSet<String> = self.entered.iter().flat_map(of_entry).collect();
        for (name, value) in sent.strays(&kinds, &known) {
            let (kind, entry) = name.split_once('-').unwrap_or((name, ""));
            let left = entry
                .parse::<i64>()
                .is_ok_and(|id| self.left.contains(&EntryId(id)));
            if left && sent.form.has(&format!("withdrawn-{entry}")) {
                continue;
            }
            let what = match kind {
                "section" => "A section was chosen for".to_owned(),
                "team" => "A team was chosen for".to_owned(),
                "withdrawn" => "“Withdrawn” was ticked for".to_owned(),
                _ => format!("“{value}” was typed as the peg of"),
            };
            let sentence = "an angler who is no longer in this match, and cannot be saved. Look over who is entered.";
            problems.add("", format!("{what} {sentence}"));
        }
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
