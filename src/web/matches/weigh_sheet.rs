//! The weigh sheet as a form: a row an entry in the order in which the scales come round, a box a
//! net. What was typed is read box by box; a doubtful or unlikely weight is asked about.

use super::{drawn::Pegs, found, full_name};
use crate::{
    actions::record_weights::Weighed,
    domain::{
        groups::GroupSet,
        matches::{Outcome, entry::NotReady},
        units::{Bare, Choice, Weight, WeightReading, quoted, read_weight},
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

pub(super) struct Row {
    pub legend: String,
    pub outcome: Field,
    pub nets: Vec<NetBox>,
}

/// A box for one net, the choice between the weights a doubtful text may mean, and the tick that
/// says an unlikely weight is right. The tick holds for that weight only.
pub(super) struct NetBox {
    pub field: Field,
    pub asked: Option<AskedBack>,
    pub sure: Option<Sure>,
}

/// Which box: the entry, the kind of net, and the place among the nets of that kind.
type At<'a> = (&'a Entry, GroupSet, usize);

pub(super) struct Sheet {
    pub the_match: Match,
    /// By section, then as one walks the pegs; whoever has no peg comes last.
    entered: Vec<Entry>,
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
            kinds: matches::net_kinds(&mut reading, the_match.id).await?,
            nets: weights::of_match(&mut reading, the_match.id).await?,
            the_match,
        })
    }

    pub fn is_early(&self, site: &Site) -> bool {
        self.the_match.on > site.now().day(&self.the_match.zone())
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

    /// The rows of the page: as typed when there is a form, else as on record.
    pub fn rows(&self, form: Option<&Form>, problems: &Problems) -> Vec<Row> {
        self.entered
            .iter()
            .map(|entry| Row {
                legend: legend(entry),
                outcome: self.outcome_field(entry, form, problems),
                nets: self
                    .boxes(entry)
                    .map(|at| self.net_box(at, form, problems))
                    .collect(),
            })
            .collect()
    }

    fn boxes<'a>(&'a self, entry: &'a Entry) -> impl Iterator<Item = At<'a>> {
        self.kinds.iter().flat_map(move |kind| {
            (0..self.slots(entry, *kind)).map(move |slot| (entry, *kind, slot))
        })
    }

    fn outcome_field(&self, entry: &Entry, form: Option<&Form>, problems: &Problems) -> Field {
        let name = format!("outcome-{}", entry.id);
        let value = match form {
            Some(form) => form.get(&name).to_owned(),
            None => entry.outcome.map_or("", Outcome::as_str).to_owned(),
        };
        Field::new(&name, "Outcome", value).problems(problems)
    }

    fn net_box(&self, at: At<'_>, form: Option<&Form>, problems: &Problems) -> NetBox {
        let (name, label) = (net_name(at), self.label(at));
        let value = match form {
            Some(form) => form.get(&name).to_owned(),
            None => self.saved(at).map(Weight::typed).unwrap_or_default(),
        };
        let none = Form::default();
        let typed = form.unwrap_or(&none);
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
            .filter(|weight| weight.is_unlikely_of_a_net())
            .map(|weight| {
                let sure = Sure::new(typed, &name, weight.words());
                // Without a form the weight is on record, and was asked about when it was saved.
                let ticked = form.is_none() || sure.ticked;
                Sure { ticked, ..sure }
            });
        let mut field = Field::new(&name, &label, value)
            .problems(problems)
            .echo(understood.map(|weight| weights_held(&weight.words())));
        // The row says whose it is; only the summary at the top has to.
        let whose = format!("{}. ", legend(at.0));
        let short = |problem: String| {
            problem
                .strip_prefix(&whose)
                .map(str::to_owned)
                .unwrap_or(problem)
        };
        field.problem = field.problem.map(short);
        NetBox { field, asked, sure }
    }

    fn saved(&self, (entry, kind, slot): At<'_>) -> Option<Weight> {
        self.on_record(entry, kind).get(slot).copied().flatten()
    }

    fn label(&self, (_, kind, slot): At<'_>) -> String {
        match self.kinds.len() {
            1 => format!("Net {}", slot + 1),
            _ => format!("{kind}, net {}", slot + 1),
        }
    }

    fn read_text(&self, typed: &str) -> WeightReading {
        read_weight(typed, self.the_match.ranking().scale, Bare::AsScales)
    }

    /// What was typed, each thing that cannot stand named at its field.
    pub fn read(&self, form: &Form, problems: &mut Problems) -> Vec<Weighed> {
        let mut sheet = Vec::new();
        for entry in &self.entered {
            let mut nets = Vec::new();
            for kind in &self.kinds {
                let typed = (0..self.slots(entry, *kind))
                    .map(|slot| self.read_net(form, (entry, *kind, slot), problems))
                    .collect::<Vec<_>>();
                nets.push((*kind, typed));
            }
            let weighed = nets.iter().any(|(_, all)| all.iter().any(Option::is_some));
            let field = format!("outcome-{}", entry.id);
            let outcome = match Outcome::parse(form.get(&field)) {
                None if weighed => Some(Outcome::Fished),
                said => said,
            };
            if outcome.is_some()
                && let Some(reason) = NotReady::check(outcome, weighed)
                && !problems
                    .list
                    .iter()
                    .any(|p| p.field.starts_with(&format!("net-{}-", entry.id)))
            {
                problems.add(field, reason.sentence(&legend(entry)));
            }
            sheet.push(Weighed {
                entry: entry.id,
                outcome,
                nets,
            });
        }
        sheet
    }

    /// The weight in a box; what keeps it from standing says whose net it is.
    fn read_net(&self, form: &Form, at: At<'_>, problems: &mut Problems) -> Option<Weight> {
        let name = net_name(at);
        let typed = form.get(&name);
        if typed.is_empty() {
            return None;
        }
        let (weight, why) = match self.read_text(typed) {
            WeightReading::Understood(weight) => judged(weight, form, &name),
            WeightReading::Question { asks, choices } => {
                match AskedBack::answer(&meant_name(&name), &choices, form) {
                    Some(weight) => judged(weight, form, &name),
                    None => (None, Some(question(typed, asks, &choices))),
                }
            }
            WeightReading::Problem(sentence) => (None, Some(sentence)),
        };
        if let Some(why) = why {
            problems.add(name, format!("{}. {}: {why}", legend(at.0), self.label(at)));
        }
        weight
    }
}

/// A weight as far as it can stand, and what is asked about it.
fn judged(weight: Weight, form: &Form, name: &str) -> (Option<Weight>, Option<String>) {
    if weight.is_nothing() {
        let why = "A net of nothing is no net. Leave it empty; mark blank if nothing was caught.";
        return (None, Some(why.to_owned()));
    }
    let doubtful = weight.is_unlikely_of_a_net() && !Sure::new(form, name, weight.words()).ticked;
    let why = doubtful.then(|| {
        format!(
            "{} in one net is unlikely. Mend it, or tick that it is right.",
            weights_held(&weight.words())
        )
    });
    (Some(weight), why)
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
