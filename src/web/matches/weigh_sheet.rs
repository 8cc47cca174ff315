//! The weigh sheet as a form: a row an entry in the order in which the scales come round, a box a
//! net. A box never touched follows the record; a doubtful or unlikely weight is asked about.

use super::{
    drawn::Pegs,
    found, full_name,
    meanwhile::{Sent, held, held_name},
};
use crate::{
    domain::{
        groups::GroupSet,
        matches::{Outcome, section_heading},
        merging::Merge,
        units::{Weight, WeightReading},
    },
    store::matches::{
        self, Match,
        entries::{self, Entry},
        weights::{self, Net},
    },
    web::{
        errors::PageError,
        figures::weights_held,
        forms::{AskedBack, Field, Form, Problems, Sure},
        state::Site,
    },
};

mod reading; // what was typed, box by box, and whose word stands

/// The rows of a section, in walking order.
pub(super) struct Group {
    /// Empty in a match without sections.
    pub heading: String,
    pub rows: Vec<Row>,
}

pub(super) struct Row {
    pub legend: String,
    pub outcome: Field,
    pub nets: Vec<NetBox>,
    pub held_name: String,
    /// What the boxes held when the page was made; absent where that is not known.
    pub held: Option<String>,
}

/// A box for one net, the choice between the weights a doubtful text may mean, and the tick that
/// says an unlikely weight is right. The tick holds for that weight only.
pub(super) struct NetBox {
    pub field: Field,
    pub asked: Option<AskedBack>,
    pub sure: Option<Sure>,
}

/// A sheet that was sent, as it is shown again.
pub(super) struct Again<'a> {
    pub sent: &'a Sent<'a>,
    /// What each box of it clashes with is shown beside it, so that the next save is an answer to that.
    pub beside: bool,
}

/// Which box: the entry, the kind of net, and the place among the nets of that kind.
type At<'a> = (&'a Entry, GroupSet, usize);

pub(super) struct Sheet {
    pub the_match: Match,
    /// By section, then as one walks the pegs; whoever has no peg comes last.
    entered: Vec<Entry>,
    has_sections: bool,
    kinds: Vec<GroupSet>,
    nets: Vec<Net>,
}

impl Sheet {
    pub async fn of(site: &Site, id: &str) -> Result<Self, PageError> {
        let the_match = found(site, id).await?;
        let pegs = Pegs::of(site, &the_match).await?;
        let mut reading = site.db.read().await?;
        let sections = matches::sections(&mut reading, the_match.id).await?;
        let mut entered = entries::of_match(&mut reading, the_match.id).await?;
        entered.sort_by_key(|entry| {
            let section = sections.iter().position(|s| Some(s.id) == entry.section);
            let place = entry.peg.and_then(|peg| pegs.place(peg));
            let last = |place: Option<usize>| place.unwrap_or(usize::MAX);
            (entry.peg.is_none(), last(section), last(place))
        });
        Ok(Self {
            entered,
            has_sections: !sections.is_empty(),
            kinds: matches::net_kinds(&mut reading, the_match.id).await?,
            nets: weights::of_match(&mut reading, the_match.id).await?,
            the_match,
        })
    }

    pub fn is_early(&self, site: &Site) -> bool {
        self.the_match.on > site.now().day(&self.the_match.zone())
    }

    /// `5 of 12 anglers are still to weigh.`, as the record has it.
    pub fn waiting(&self) -> String {
        let waiting = self.entered.iter().filter(|entry| entry.outcome.is_none());
        match (waiting.count(), self.entered.len()) {
            (0, _) => "Nobody is still to weigh.".to_owned(),
            (1, all) => format!("1 of {all} is still to weigh."),
            (some, all) => format!("{some} of {all} are still to weigh."),
        }
    }

    /// The box and the words of whom the scales come to next; `None` where that is the first row or nobody.
    pub fn next_to_weigh(&self) -> Option<(String, String)> {
        let waits = self.entered.iter().position(|e| e.outcome.is_none())?;
        let entry = &self.entered[waits];
        let first_box = self.boxes(entry).next()?;
        (waits > 0).then(|| (net_name(first_box), legend(entry)))
    }

    fn on_record(&self, entry: &Entry, kind: GroupSet) -> Vec<Option<Weight>> {
        self.nets
            .iter()
            .filter(|net| net.entry == entry.id && net.groups == kind)
            .map(|net| net.weight)
            .collect()
    }

    /// Room for one net more than the entry has, two at least.
    fn slots(&self, entry: &Entry, kind: GroupSet) -> usize {
        self.on_record(entry, kind).len().max(1) + 1
    }

    fn heading(&self, entry: &Entry) -> String {
        match (self.has_sections, entry.peg, &entry.section_name) {
            (false, ..) => String::new(),
            (true, None, _) => "No peg yet".to_owned(),
            (true, Some(_), Some(section)) => section_heading(section),
            (true, Some(_), None) => "No section".to_owned(),
        }
    }

    /// The rows of the page: as they were sent and merged with the record, else as on record.
    pub fn groups(&self, again: Option<&Again<'_>>, problems: &Problems) -> Vec<Group> {
        self.entered
            .chunk_by(|a, b| self.heading(a) == self.heading(b))
            .map(|entered| Group {
                heading: self.heading(&entered[0]),
                rows: entered
                    .iter()
                    .map(|entry| self.row(entry, again, problems))
                    .collect(),
            })
            .collect()
    }

    fn row(&self, entry: &Entry, again: Option<&Again<'_>>, problems: &Problems) -> Row {
        let (outcome, was) = self.outcome_field(entry, again, problems);
        let (nets, held_nets): (Vec<NetBox>, Vec<Option<String>>) = self
            .boxes(entry)
            .map(|at| self.net_box(at, again, problems))
            .unzip();
        let texts = std::iter::once((&outcome, &was))
            .chain(nets.iter().map(|net| &net.field).zip(&held_nets));
        let texts = texts.map(|(field, text)| (field.name.as_str(), text.as_deref()));
        Row {
            legend: legend(entry),
            held_name: held_name(entry.id),
            held: held(texts),
            outcome,
            nets,
        }
    }

    fn boxes<'a>(&'a self, entry: &'a Entry) -> impl Iterator<Item = At<'a>> {
        self.kinds.iter().flat_map(move |kind| {
            (0..self.slots(entry, *kind)).map(move |slot| (entry, *kind, slot))
        })
    }

    /// The choice, and what it held when its page was made.
    fn outcome_field(
        &self,
        entry: &Entry,
        again: Option<&Again<'_>>,
        problems: &Problems,
    ) -> (Field, Option<String>) {
        let name = outcome_name(entry);
        let saved = entry.outcome.map_or("", Outcome::as_str);
        let on_record = (saved.to_owned(), Some(saved.to_owned()), Merge::Theirs);
        let (value, was, stands) = match again {
            None => on_record,
            Some(again) => match self.said_outcome(entry, again.sent) {
                (_, Merge::Theirs) => on_record,
                (ours, stands) => {
                    let was = match again.beside {
                        true => Some(saved.to_owned()),
                        false => again.sent.shown(entry.id, &name, saved),
                    };
                    (ours.map_or("", Outcome::as_str).to_owned(), was, stands)
                }
            },
        };
        let mut field = Field::new(&name, "Outcome", value).problems(problems);
        if again.is_some_and(|again| again.beside) && stands == Merge::Clash {
            field = field.hint(&format!("On record now: {}", outcome_words(entry.outcome)));
        }
        (field, was)
    }

    /// The box, and what it held when its page was made.
    fn net_box(
        &self,
        at: At<'_>,
        again: Option<&Again<'_>>,
        problems: &Problems,
    ) -> (NetBox, Option<String>) {
        let (name, label) = (net_name(at), self.label(at));
        let saved = self.saved_text(at);
        let stands = again.map_or(Merge::Theirs, |again| self.said(at, again.sent).stands);
        let touched = again.filter(|_| stands != Merge::Theirs);
        let (value, was) = match touched {
            None => (saved.clone(), Some(saved.clone())),
            Some(again) => {
                let was = match again.beside {
                    true => Some(saved.clone()),
                    false => again.sent.shown(at.0.id, &name, &saved),
                };
                (again.sent.form.get(&name).to_owned(), was)
            }
        };
        let none = Form::default();
        let typed = touched.map_or(&none, |again| again.sent.form);
        let sent = again.map_or(&none, |again| again.sent.form);
        let (understood, asked) = match self.read_text(&value) {
            _ if value.is_empty() => (None, None),
            WeightReading::Understood(weight) => (Some(weight), None),
            WeightReading::Question { choices, .. } => {
                let name = meant_name(&name);
                let weight = AskedBack::answer(&name, &choices, typed);
                (weight, Some(AskedBack::new(name, &choices, typed)))
            }
            WeightReading::Problem(_) => (None, None),
        };
        let sure = understood
            .filter(|weight| self.doubt(*weight, sent, at).is_some())
            .map(|weight| {
                let sure = Sure::new(typed, &name, weight.words());
                // An untouched weight is on record, and was asked about when it was saved.
                let ticked = touched.is_none() || sure.ticked;
                Sure { ticked, ..sure }
            });
        let mut field = Field::new(&name, &label, value)
            .problems(problems)
            .echo(understood.map(|weight| weights_held(&weight.words())));
        if touched.is_some_and(|again| again.beside) && stands == Merge::Clash {
            let on_record = match saved.as_str() {
                "" => "nothing",
                words => words,
            };
            field = field.hint(&format!("On record now: {on_record}"));
        }
        // The row says whose it is; only the summary at the top has to.
        let whose = format!("{}. ", legend(at.0));
        let short = |problem: String| {
            problem
                .strip_prefix(&whose)
                .map(str::to_owned)
                .unwrap_or(problem)
        };
        field.problem = field.problem.map(short);
        (NetBox { field, asked, sure }, was)
    }

    fn saved(&self, (entry, kind, slot): At<'_>) -> Option<Weight> {
        self.on_record(entry, kind).get(slot).copied().flatten()
    }

    fn saved_text(&self, at: At<'_>) -> String {
        self.saved(at).map(Weight::typed).unwrap_or_default()
    }

    fn label(&self, (_, kind, slot): At<'_>) -> String {
        match self.kinds.len() {
            1 => format!("Net {}", slot + 1),
            _ => format!("{kind}, net {}", slot + 1),
        }
    }
}

/// What can become of an entry: the value of each choice, and its words.
pub(super) const OUTCOMES: [(&str, &str); 6] = [
    ("", "not yet weighed"),
    ("fished", "weighed in"),
    ("blank", "blank: caught nothing"),
    ("did not weigh", "fished, did not weigh in"),
    ("absent", "absent: did not fish"),
    ("disqualified", "disqualified"),
];

fn outcome_words(outcome: Option<Outcome>) -> &'static str {
    let value = outcome.map_or("", Outcome::as_str);
    let known = OUTCOMES.iter().find(|(known, _)| *known == value);
    known.map_or("", |(_, words)| words)
}

fn outcome_name(entry: &Entry) -> String {
    format!("outcome-{}", entry.id)
}

fn net_name((entry, kind, slot): At<'_>) -> String {
    format!("net-{}-{}-{slot}", entry.id, kind.bits())
}

fn meant_name(name: &str) -> String {
    format!("meant-{name}")
}

fn legend(entry: &Entry) -> String {
    let name = full_name(entry);
    match &entry.peg_number {
        Some(peg) => format!("Peg {peg}, {name}"),
        None => name,
    }
}
