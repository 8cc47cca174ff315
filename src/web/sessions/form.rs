//! The report's form as its template shows it: every value comes from the pairs that were sent, so that a
//! fresh form, a form with problems, an edit and "same as last time" are one thing.

use std::str::FromStr;

use super::{
    choices::{Choices, offered},
    told::Told,
    typed::{Reading, rows},
};
use crate::{
    actions::tokens::new_pid,
    domain::{groups::Group, ids::VenueId, sessions::Visibility},
    web::forms::{AskedBack, Field, Form, Problems},
};

/// The most spells and single fish one form takes.
pub const MOST_SPELLS: usize = 12;
pub const MOST_NAMED: usize = 10;

pub struct SpellFields {
    pub row: usize,
    pub peg: Field,
    pub from: Field,
    pub to: Field,
    pub hours: Field,
    pub method: Field,
    pub methods: Vec<(String, String)>,
    pub bait: Field,
    pub baits: Vec<(String, String)>,
    pub depth: Field,
    pub line: Field,
    pub aim: Field,
    pub rods: Field,
}

pub struct GroupFields {
    pub name: &'static str,
    pub number: Field,
    pub number_unknown: bool,
    pub weight: Field,
    pub weight_unknown: bool,
    pub asked: Option<AskedBack>,
    pub tally: Field,
}

pub struct NamedFields {
    pub row: usize,
    pub fish: Field,
    pub weight: Field,
    pub asked: Option<AskedBack>,
    pub time: Field,
}

/// Everything the form's template needs.
pub struct ReportForm {
    pub water: String,
    pub venue: VenueId,
    /// The water as it may be chosen anew.
    pub at_water: Field,
    pub key: String,
    pub ver: String,
    pub ask_name: bool,
    pub given: Field,
    pub surname: Field,
    /// Somebody of that name is on the list: the form asks whether it is another person.
    pub ask_another: bool,
    pub another: bool,
    pub peg: Field,
    pub date: Field,
    pub start: Field,
    pub end: Field,
    pub spells: Vec<SpellFields>,
    pub more_spells: bool,
    pub blank: bool,
    pub groups: Vec<GroupFields>,
    pub named: Vec<NamedFields>,
    pub more_named: bool,
    pub species: Vec<(String, String)>,
    pub remarks: Field,
    pub visibility: Field,
    pub visibilities: Vec<(&'static str, &'static str)>,
    /// The tick without which a report is not taken back.
    pub sure: Field,
    pub problems: Problems,
    pub details_open: bool,
    /// The report in a few lines, where nothing is to be mended and it was asked to be read back
    /// before anything is saved.
    pub told: Option<Told>,
}

impl ReportForm {
    /// The form with everything in `form`, and what `reading` made of it, if it was read.
    pub fn new(form: &Form, choices: &Choices, reading: Option<&Reading>) -> Self {
        let look = Look { form, reading };
        let problems = reading.map(|r| r.problems.clone()).unwrap_or_default();
        let adding = form.get("do");
        let spells = rows(form, "spells", 1, MOST_SPELLS) + usize::from(adding == "add-spell");
        let named = rows(form, "named", 1, MOST_NAMED) + usize::from(adding == "add-fish");
        let key = form.get("key");
        let details_open = Group::ALL
            .iter()
            .any(|g| !form.get(&format!("{}_tally", g.slug())).is_empty())
            || !form.get("fish_1").is_empty()
            || adding == "add-fish"
            || problems
                .list
                .iter()
                .any(|p| p.field.ends_with("_tally") || p.field.starts_with("fish_"));
        Self {
            water: choices.water.name.clone(),
            venue: choices.water.id,
            at_water: Field::new("venue", "Water", choices.water.id.to_string())
                .problems(&problems),
            key: if (16..=64).contains(&key.len()) {
                key.to_owned()
            } else {
                new_pid().to_string()
            },
            ver: form.get("ver").to_owned(),
            ask_name: choices.ask_name,
            given: look.field("given", "First name"),
            surname: look.field("surname", "Surname"),
            ask_another: form.has("another_person"),
            another: form.has("another_person"),
            peg: look.field("peg", &format!("Peg at {}", choices.water.name)),
            date: look.field("date", "Date you began"),
            start: look.field("start", "Started"),
            end: look.field("end", "Packed up"),
            spells: (1..=spells.min(MOST_SPELLS))
                .map(|row| look.spell(row, choices))
                .collect(),
            more_spells: spells < MOST_SPELLS,
            blank: form.has("blank"),
            groups: Group::ALL
                .into_iter()
                .map(|group| look.group(group))
                .collect(),
            named: (1..=named.min(MOST_NAMED))
                .map(|row| look.named(row))
                .collect(),
            more_named: named < MOST_NAMED,
            species: choices
                .fish
                .iter()
                .map(|f| (f.id.to_string(), f.name.clone()))
                .collect(),
            remarks: look.field("remarks", "Remarks, if any"),
            visibility: look.field("visibility", "Who may see this report"),
            visibilities: vec![
                ("private", "Only me"),
                ("team", "My team"),
                ("club", "The club"),
            ],
            sure: Field::new("sure", "Yes, take this report back", "").problems(&problems),
            problems,
            details_open,
            told: reading
                .filter(|_| asks_back(form))
                .filter(|reading| reading.problems.is_empty())
                .and_then(|reading| reading.report.as_ref())
                .map(|report| Told::dated(report, choices)),
        }
    }
}

struct Look<'a> {
    form: &'a Form,
    reading: Option<&'a Reading>,
}

impl Look<'_> {
    fn field(&self, name: &str, label: &str) -> Field {
        let field = Field::new(name, label, self.form.raw(name));
        match self.reading {
            None => field,
            Some(reading) => {
                let echo = reading.echoes.iter().find(|(known, _)| known == name);
                let question = reading.questions.iter().find(|(known, _)| known == name);
                let mut field = field
                    .problems(&reading.problems)
                    .echo(echo.map(|(_, words)| words.clone()));
                field.sure = question.map(|(_, sure)| sure.clone());
                let see = reading.see.iter().find(|(known, _)| known == name);
                field.see = see.map(|(_, see)| see.clone());
                field
            }
        }
    }

    fn spell(&self, row: usize, choices: &Choices) -> SpellFields {
        let field = |name: &str, label: &str| self.field(&format!("{name}_{row}"), label);
        let (method, bait) = (field("method", "Method"), field("bait", "Bait"));
        SpellFields {
            row,
            peg: field("peg", "Peg, if you moved"),
            from: field("from", "From"),
            to: field("to", "To"),
            hours: field("hours", "Or hours"),
            methods: offered(&choices.methods, &method.value),
            method,
            baits: offered(&choices.baits, &bait.value),
            bait,
            depth: field("depth", "Depth, m"),
            line: field("line", "Line, m"),
            aim: field("aim", "Aim, m left or right"),
            rods: field("rods", "Rods"),
        }
    }

    fn asked(&self, field: &str) -> Option<AskedBack> {
        let asked = self
            .reading?
            .asked
            .iter()
            .find(|asked| asked.field == field)?;
        let name = format!("{field}_meant");
        Some(AskedBack::new(name, &asked.choices, self.form))
    }

    fn group(&self, group: Group) -> GroupFields {
        let name = |what: &str| format!("{}_{what}", group.slug());
        GroupFields {
            name: group.name(),
            number: self.field(&name("number"), "How many"),
            number_unknown: self.form.has(&name("number_unknown")),
            weight: self.field(&name("weight"), "Weight"),
            weight_unknown: self.form.has(&name("weight_unknown")),
            asked: self.asked(&name("weight")),
            tally: self.field(&name("tally"), group.name()),
        }
    }

    fn named(&self, row: usize) -> NamedFields {
        NamedFields {
            row,
            fish: self.field(&format!("fish_{row}"), "Fish"),
            weight: self.field(&format!("fish_weight_{row}"), "Weight"),
            asked: self.asked(&format!("fish_weight_{row}")),
            time: self.field(&format!("fish_time_{row}"), "When"),
        }
    }
}

/// Is the form to be told as it was understood, and not saved yet? With something to mend it comes
/// back as it would from saving.
pub fn asks_back(form: &Form) -> bool {
    form.get("do") == "read-back"
}

/// What is remembered of who may see reports.
pub fn remembered(word: Option<&str>) -> Option<&'static str> {
    word.and_then(Visibility::parse).map(Visibility::as_str)
}

/// A number in an address or a form.
pub fn number<T: FromStr>(text: &str) -> Option<T> {
    text.trim().parse().ok()
}
