//! A report's form, read: what was understood, what is asked back, what has to be mended.

mod caught;
mod spells;

use jiff::civil::Time;

use super::choices::Choices;
use crate::{
    domain::{
        dates::{Day, Instant, parse_time},
        ids::PegId,
        names::{Name, text::clean_words},
        sessions::{Report, Visibility, spell},
        units::{self, Choice},
    },
    web::forms::{Form, Problems},
};
use spells::outer_hours;

/// A weight that could be several.
#[derive(Clone, Debug)]
pub struct Asked {
    pub field: String,
    pub choices: Vec<Choice>,
}

/// What was made of a form.
pub struct Reading {
    /// The report, when nothing stands in its way.
    pub report: Option<Report>,
    pub name: Option<Name>,
    pub problems: Problems,
    pub asked: Vec<Asked>,
    /// What was understood, by field.
    pub echoes: Vec<(String, String)>,
}

/// How many numbered rows a form has: the hidden count, or one.
pub fn rows(form: &Form, name: &str, least: usize, most: usize) -> usize {
    form.get(name).parse().unwrap_or(least).clamp(least, most)
}

/// Reads a whole form. `now` refuses what has not happened yet.
pub fn read(form: &Form, choices: &Choices, now: Instant) -> Reading {
    let mut reader = Reader {
        form,
        choices,
        problems: Problems::default(),
        asked: Vec::new(),
        echoes: Vec::new(),
    };
    let name = reader.name();
    let report = reader.report(now);
    Reading {
        report: report.filter(|_| reader.problems.is_empty()),
        name,
        problems: reader.problems,
        asked: reader.asked,
        echoes: reader.echoes,
    }
}

struct Reader<'a> {
    form: &'a Form,
    choices: &'a Choices,
    problems: Problems,
    asked: Vec<Asked>,
    echoes: Vec<(String, String)>,
}

impl Reader<'_> {
    fn name(&mut self) -> Option<Name> {
        if !self.choices.ask_name {
            return None;
        }
        let name = Name::new(self.form.get("given"), self.form.get("surname"));
        self.problems.take("given", name)
    }

    fn report(&mut self, now: Instant) -> Option<Report> {
        let day = self.day(now);
        let peg = self.peg("peg", day);
        let hours = self.hours(day, now);
        let spells = self.spells(day, peg, hours);
        let hours = hours.or_else(|| outer_hours(&spells));
        let caught = self.caught();
        let named = self.named(day, hours);
        let tallies = self.tallies(&caught, hours);
        let remarks = clean_words(self.form.raw("remarks"), "the remarks", 4_000);
        let remarks = self.problems.take("remarks", remarks);
        let visibility = Visibility::parse(self.form.get("visibility"));
        if visibility.is_none() {
            self.problems
                .add("visibility", "Choose who may see this report.");
        }
        Some(Report {
            venue: self.choices.water.id,
            day: day?,
            start: hours.map(|h| h.0),
            end: hours.map(|h| h.1),
            spells,
            caught,
            named,
            tallies,
            remarks: remarks.filter(|words| !words.is_empty()),
            visibility: visibility?,
        })
    }

    fn day(&mut self, now: Instant) -> Option<Day> {
        let Some(day) = Day::parse(self.form.get("date")) else {
            self.problems
                .add("date", "Enter the date you began, for example 2026-11-14.");
            return None;
        };
        if day > now.day(&self.choices.zone) {
            self.problems.add(
                "date",
                format!("{} is still to come. Enter the date you began.", day.long()),
            );
            return None;
        }
        Some(day)
    }

    fn peg(&mut self, field: &str, day: Option<Day>) -> Option<PegId> {
        let typed = self.form.get(field);
        if typed.is_empty() {
            return None;
        }
        let day = day?;
        let folded = typed.to_lowercase();
        let found = self.choices.pegs.iter().find(|peg| {
            peg.number.to_lowercase() == folded
                && peg.from <= day
                && peg.to.is_none_or(|to| day <= to)
        });
        if found.is_none() {
            let sentence = format!(
                "There was no peg {} at {} that day. Enter the number on the stake, or leave it empty.",
                units::quoted(typed),
                self.choices.water.name
            );
            self.problems.add(field, sentence);
        }
        found.map(|peg| peg.id)
    }

    fn time(&mut self, field: &str) -> Option<Time> {
        let typed = self.form.get(field);
        if typed.is_empty() {
            return None;
        }
        let time = parse_time(typed).ok_or_else(|| {
            format!(
                "{} is not a time of day. Enter it like 7:30 or 15:00.",
                units::quoted(typed)
            )
        });
        self.problems.take(field, time)
    }

    /// When the session began and ended.
    fn hours(&mut self, day: Option<Day>, now: Instant) -> Option<(Instant, Instant)> {
        let (start, end) = (self.time("start"), self.time("end"));
        let given = |field| !self.form.get(field).is_empty();
        if given("start") != given("end") {
            let missing = if given("start") { "end" } else { "start" };
            self.problems.add(
                missing,
                "Enter both times, when you started and when you packed up, or neither.",
            );
        }
        let (start, end) = spell::hours(day?, start?, end?, &self.choices.zone);
        if end > now {
            self.problems.add(
                "end",
                "That is still to come. Report when you have packed up.",
            );
            return None;
        }
        let minutes = units::Minutes((end.0 - start.0) / 60);
        self.echo("end", format!("{}, {}", day?.long(), minutes.words()));
        Some((start, end))
    }

    fn echo(&mut self, field: &str, words: String) {
        self.echoes.push((field.to_owned(), words));
    }
}
