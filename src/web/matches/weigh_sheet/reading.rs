//! What was typed on a weigh sheet, box by box: what it means, whose word stands where somebody saved
//! meanwhile, and what is asked before it can be saved.

use std::collections::BTreeSet;

use super::{At, Sheet, legend, meant_name, net_name, outcome_name, outcome_words};
use crate::{
    actions::record_weights::Weighed,
    domain::{
        matches::{Outcome, entry::NotReady},
        merging::{Merge, merge},
        units::{Bare, Choice, Weight, WeightReading, quoted, read_weight},
    },
    store::matches::entries::Entry,
    web::{
        figures::weights_held,
        forms::{AskedBack, Form, Problems, Sure},
        matches::meanwhile::Sent,
    },
};

/// What a sheet that was sent comes to.
#[derive(Default)]
pub(in crate::web::matches) struct Read {
    /// The entries that were changed here and can stand, whole, as they are to be.
    pub weighed: Vec<Weighed>,
    /// What cannot stand, each at its field.
    pub problems: Problems,
    /// What was changed here and there, each at its field with both values.
    pub clashes: Problems,
}

impl Read {
    /// Something cannot stand, and can be mended later without what can be saved now. What was typed
    /// of somebody who is no longer here cannot: the next page has no box for it.
    pub fn spares_some(&self) -> bool {
        let problems = &self.problems.list;
        !self.weighed.is_empty()
            && !problems.is_empty()
            && problems.iter().all(|problem| !problem.field.is_empty())
    }
}

/// A box that was sent.
pub(super) struct Said {
    /// The weight to be saved, or the one on record.
    weight: Option<Weight>,
    pub stands: Merge,
    /// What keeps it from being saved.
    why: Option<String>,
}

impl Sheet {
    pub fn read(&self, sent: &Sent<'_>) -> Read {
        let mut read = Read::default();
        self.find_strays(sent, &mut read.problems);
        for entry in &self.entered {
            self.read_entry(entry, sent, &mut read);
        }
        read
    }

    fn read_entry(&self, entry: &Entry, sent: &Sent<'_>, read: &mut Read) {
        let open = (read.problems.len(), read.clashes.len());
        let (mut nets, mut touched) = (Vec::new(), false);
        for kind in &self.kinds {
            let mut typed = Vec::new();
            for slot in 0..self.slots(entry, *kind) {
                let at = (entry, *kind, slot);
                let said = self.said(at, sent);
                touched |= said.stands != Merge::Theirs;
                let whose = format!("{}. {}", legend(entry), self.label(at));
                if let Some(why) = said.why {
                    read.problems.add(net_name(at), format!("{whose}: {why}"));
                } else if said.stands == Merge::Clash {
                    let sentence = both(&whose, &words(said.weight), &words(self.saved(at)));
                    read.clashes.add(net_name(at), sentence);
                }
                typed.push(said.weight);
            }
            nets.push((*kind, typed));
        }
        let (outcome, stands) = self.said_outcome(entry, sent);
        if stands == Merge::Clash {
            let whose = format!("{}. Outcome", legend(entry));
            let (ours, theirs) = (outcome_words(outcome), outcome_words(entry.outcome));
            let sentence = both(&whose, ours, theirs);
            read.clashes.add(outcome_name(entry), sentence);
        }
        if !touched && stands == Merge::Theirs {
            return;
        }
        let weighed = nets.iter().any(|(_, all)| all.iter().any(Option::is_some));
        // A net that is asked about, or a choice to be made, comes before what hangs on it.
        if open == (read.problems.len(), read.clashes.len())
            && outcome.is_some()
            && let Some(reason) = NotReady::check(outcome, weighed)
        {
            let sentence = reason.sentence(&legend(entry));
            read.problems.add(outcome_name(entry), sentence);
        }
        if open == (read.problems.len(), read.clashes.len()) {
            read.weighed.push(Weighed {
                entry: entry.id,
                outcome,
                nets,
            });
        }
    }

    /// What the box of a net says.
    pub(super) fn said(&self, at: At<'_>, sent: &Sent<'_>) -> Said {
        let (name, record, saved) = (net_name(at), self.saved(at), self.saved_text(at));
        let on_record = Said {
            weight: record,
            stands: Merge::Theirs,
            why: None,
        };
        let Some(typed) = sent.typed(at.0.id, &name, &saved) else {
            return on_record;
        };
        let (weight, why) = self.read_net(typed, sent.form, at);
        if weight.is_none() && why.is_some() {
            return Said {
                stands: Merge::Ours,
                why,
                ..on_record
            };
        }
        let shown = sent.shown(at.0.id, &name, &saved);
        let shown = shown.map(|text| match self.read_text(&text) {
            WeightReading::Understood(weight) if !text.is_empty() => Some(weight),
            _ => None,
        });
        match merge(shown.as_ref(), &weight, &record) {
            Merge::Theirs => on_record,
            stands => Said {
                weight,
                stands,
                why,
            },
        }
    }

    /// The outcome that is to stand, and whose word it is. A weight typed here without an outcome
    /// says that the angler weighed in.
    pub(super) fn said_outcome(&self, entry: &Entry, sent: &Sent<'_>) -> (Option<Outcome>, Merge) {
        let (name, saved) = (
            outcome_name(entry),
            entry.outcome.map_or("", Outcome::as_str),
        );
        let nets: Vec<Said> = self.boxes(entry).map(|at| self.said(at, sent)).collect();
        let touched = sent.typed(entry.id, &name, saved).is_some();
        let implied = nets
            .iter()
            .any(|said| said.weight.is_some() && (touched || said.stands != Merge::Theirs));
        let text = match sent.form.has(&name) {
            true => sent.form.get(&name),
            false => saved,
        };
        let outcome = Outcome::parse(text).or(implied.then_some(Outcome::Fished));
        if !touched && (outcome.is_none() || !text.is_empty()) {
            return (entry.outcome, Merge::Theirs);
        }
        let shown = sent.shown(entry.id, &name, saved);
        let shown = shown.map(|text| Outcome::parse(&text));
        match merge(shown.as_ref(), &outcome, &entry.outcome) {
            Merge::Theirs => (entry.outcome, Merge::Theirs),
            stands => (outcome, stands),
        }
    }

    pub(super) fn read_text(&self, typed: &str) -> WeightReading {
        read_weight(typed, self.the_match.ranking().scale, Bare::AsScales)
    }

    /// The weight that was typed into a box, and what keeps it from being saved.
    fn read_net(&self, typed: &str, form: &Form, at: At<'_>) -> (Option<Weight>, Option<String>) {
        if typed.is_empty() {
            return (None, None);
        }
        // As the paper sheet has it, where the weight would be.
        if let Some(outcome) = Outcome::from_sheet(typed).filter(|o| *o != Outcome::Fished) {
            let why = format!(
                "{} is no weight. Leave the net empty, and choose “{}” at Outcome.",
                quoted(typed),
                outcome_words(Some(outcome))
            );
            return (None, Some(why));
        }
        match self.read_text(typed) {
            WeightReading::Understood(weight) => self.judged(weight, form, at),
            WeightReading::Question { asks, choices } => {
                match AskedBack::answer(&meant_name(&net_name(at)), &choices, form) {
                    Some(weight) => self.judged(weight, form, at),
                    None => (None, Some(question(typed, asks, &choices))),
                }
            }
            WeightReading::Problem(sentence) => (None, Some(sentence)),
        }
    }

    /// A weight as far as it can stand, and what is asked about it.
    fn judged(&self, weight: Weight, form: &Form, at: At<'_>) -> (Option<Weight>, Option<String>) {
        if weight.is_nothing() {
            let why =
                "A net of nothing is no net. Leave it empty; mark blank if nothing was caught.";
            return (None, Some(why.to_owned()));
        }
        let Some(beyond) = self.doubt(weight, form, at) else {
            return (Some(weight), None);
        };
        let ticked = Sure::new(form, &net_name(at), weight.words()).ticked;
        let why = format!(
            "{} in one net is unlikely{beyond}. Mend it, or tick that it is right.",
            weights_held(&weight.words())
        );
        (Some(weight), (!ticked).then_some(why))
    }

    /// Why a net is likelier a slip of the pencil, in words after `is unlikely`; `None` where it is not.
    pub(super) fn doubt(&self, weight: Weight, form: &Form, at: At<'_>) -> Option<&'static str> {
        if weight.is_unlikely_of_a_net() {
            return Some("");
        }
        let mut others = self.others(form, at).peekable();
        let far = others.peek().is_some() && others.all(|other| weight.is_far_above(other));
        far.then_some(": it is more than three times any other of this match")
    }

    /// The other nets of the match, as typed or else as on record.
    fn others<'a>(&'a self, form: &'a Form, at: At<'a>) -> impl Iterator<Item = Weight> {
        let own = net_name(at);
        let boxes = self.entered.iter().flat_map(move |entry| self.boxes(entry));
        let weights = boxes.filter_map(move |other| {
            let name = net_name(other);
            match form.has(&name) {
                _ if name == own => None,
                true => self.read_text(form.get(&name)).understood(),
                false => self.saved(other),
            }
        });
        weights.filter(|weight| !weight.is_nothing())
    }

    /// Names what was typed for an angler or a kind of net that the match has no longer.
    fn find_strays(&self, sent: &Sent<'_>, problems: &mut Problems) {
        let mut known = BTreeSet::new();
        for entry in &self.entered {
            known.insert(outcome_name(entry));
            known.extend(self.boxes(entry).map(net_name));
        }
        for (_, value) in sent.strays(&["net-", "outcome-"], &known) {
            let sentence = "was entered for an angler or a kind of net that is no longer in this match, and cannot be saved. Look over who is entered and which fish count.";
            problems.add("", format!("“{value}” {sentence}"));
        }
    }
}

fn both(whose: &str, ours: &str, theirs: &str) -> String {
    format!(
        "{whose}: you have {ours}, and the record now says {theirs}. Leave in the box what is right, then save again."
    )
}

fn words(weight: Option<Weight>) -> String {
    weight.map_or_else(
        || "nothing".to_owned(),
        |weight| weights_held(&weight.words()),
    )
}

/// The question with the weights it is about: `“12.8” could be 12 lb 8 oz or 12 lb 12 oz 12 dr.`
fn question(typed: &str, asks: String, choices: &[Choice]) -> String {
    match choices {
        [_] | [] => asks,
        several => {
            let words = several.iter().map(|c| weights_held(&c.weight.words()));
            let words: Vec<_> = words.collect();
            format!(
                "{} could be {}. Choose what the scales said.",
                quoted(typed),
                words.join(" or ")
            )
        }
    }
}
