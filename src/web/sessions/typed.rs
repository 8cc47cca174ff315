//! A report's form, read: what was understood, what is asked back, what has to be mended.

mod caught;
mod named;
mod spell_hours;
mod spells;

use std::collections::BTreeSet;

use jiff::civil::Time;

use super::choices::Choices;
use crate::{
    domain::{
        dates::{Day, Instant, parse_time},
        ids::{PegId, Pid, VenueId},
        names::{Name, text::clean_words},
        pegs::bare_number,
        sessions::{Report, Visibility, spell},
        units::{self, Choice},
    },
    store::sessions::overlapping::Overlapping,
    web::{
        forms::{Form, Problem, Problems, Sure},
        state::Site,
    },
};
use spell_hours::outer_hours;

/// Days after which a date is asked about: ten years.
const LONG_AGO: i64 = 3_653;

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
    /// The report as far as it was understood, whatever else is to be mended.
    pub understood: Option<Report>,
    pub name: Option<Name>,
    pub problems: Problems,
    pub asked: Vec<Asked>,
    /// What was understood, by field.
    pub echoes: Vec<(String, String)>,
    /// Questions whether something unusual is right, by field.
    pub questions: Vec<(String, Sure)>,
    /// What to look at, by field: its address and its words.
    pub see: Vec<(String, (String, &'static str))>,
}

impl Reading {
    /// The match of this report has another of the same angler's: where to change that one.
    pub fn reported(&mut self, site: &Site, other: &Pid) {
        let address = format!("{}/sessions/{other}/edit", site.settings.prefix());
        self.problems.add(
            "date",
            "Your report of that day’s match is in the record already. Change that one instead.",
        );
        let link = (address, "Change the report you have");
        self.see.push(("date".to_owned(), link));
    }

    /// Another session of the angler's was in these hours: asks whether both are right.
    pub fn overlaps(&mut self, site: &Site, form: &Form, other: &Overlapping, venue: VenueId) {
        let water = &other.venue_name;
        let sentence = match &other.match_name {
            _ if other.venue == venue => {
                "You have a report of those hours already. Tick if this is another.".to_owned()
            }
            None => format!(
                "You have a report of those hours at {water}. Mend the date or the hours, or tick that this is another."
            ),
            Some(name) => format!(
                "You fished {name} at {water} in those hours. Mend the date or the hours, or tick that this is another."
            ),
        };
        self.problems.add("start", sentence);
        let words = match other.match_name {
            Some(_) => "Your session of that match",
            None => "The report you have",
        };
        self.ask_another(site, form, (&other.pid, words));
    }

    /// The very same words were sent within the hour, without hours: asks whether both are right.
    pub fn sent_before(&mut self, site: &Site, form: &Form, other: &Pid) {
        self.problems.add(
            "start",
            "You sent the very same report within the hour. Tick if this is another.",
        );
        self.ask_another(site, form, (other, "The report you have"));
    }

    fn ask_another(&mut self, site: &Site, form: &Form, (other, words): (&Pid, &'static str)) {
        let address = format!("{}/sessions/{other}", site.settings.prefix());
        let question = Sure {
            see: Some((address, words)),
            ..another(form)
        };
        self.questions.push(("start".to_owned(), question));
    }

    /// Adds what the match of the report has against it, at fields where nothing else is wrong.
    pub fn add_against(&mut self, against: Vec<(&'static str, String)>) {
        for (field, sentence) in against {
            if self.problems.at(field).is_empty() {
                self.problems.add(field, sentence);
            }
        }
    }
}

/// The tick that this is another session than the one of the same hours or words.
pub fn another(form: &Form) -> Sure {
    let typed = ["date", "start", "end"].map(|field| form.get(field));
    Sure {
        words: "This is another",
        ..Sure::new(form, "start", typed.join(" ").trim().to_owned())
    }
}

/// Of a form that is not to be judged yet, only the questions about weights that could be several:
/// an answer given to one stays given.
pub fn questions_only(form: &Form, choices: &Choices, now: Instant) -> Reading {
    Reading {
        report: None,
        understood: None,
        problems: Problems::default(),
        echoes: Vec::new(),
        questions: Vec::new(),
        ..read(form, choices, now)
    }
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
        now: None,
        problems: Problems::default(),
        asked: Vec::new(),
        echoes: Vec::new(),
        questions: Vec::new(),
    };
    let name = reader.name();
    let report = reader.report(now);
    // One thing to mend at each field: the first that was found.
    let mut named = BTreeSet::new();
    let one_each = |problem: &Problem| named.insert(problem.field.clone());
    reader.problems.list.retain(one_each);
    Reading {
        report: report.clone().filter(|_| reader.problems.is_empty()),
        understood: report,
        name,
        problems: reader.problems,
        asked: reader.asked,
        echoes: reader.echoes,
        questions: reader.questions,
        see: Vec::new(),
    }
}

struct Reader<'a> {
    form: &'a Form,
    choices: &'a Choices,
    /// Now, once the date is known: what is still to come is named.
    now: Option<Instant>,
    problems: Problems,
    asked: Vec<Asked>,
    echoes: Vec<(String, String)>,
    questions: Vec<(String, Sure)>,
}

impl Reader<'_> {
    fn name(&mut self) -> Option<Name> {
        if !self.choices.ask_name {
            return None;
        }
        let (given, surname) = (self.form.get("given"), self.form.get("surname"));
        // What is right without the surname is wrong at the surname.
        let field = match Name::new(given, "") {
            Ok(_) => "surname",
            Err(_) => "given",
        };
        self.problems.take(field, Name::new(given, surname))
    }

    fn report(&mut self, now: Instant) -> Option<Report> {
        let day = self.day(now);
        self.now = day.map(|_| now);
        // Without a date the rest is checked as if it were today, so that every problem is named at once.
        let checked = day.unwrap_or(now.day(&self.choices.zone));
        let peg = self.peg("peg", checked, day.is_some());
        let hours = self.hours(checked);
        let spells = self.spells((checked, day.is_some()), peg, hours);
        let hours = hours.or_else(|| outer_hours(&spells));
        let caught = self.caught(spell::rod_hours(&spells));
        let named = self.named(checked, hours, &caught);
        let tallies = self.tallies(&caught, hours);
        self.ask_hours(&named, &tallies);
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
            named: named.into_iter().map(|(_, fish)| fish).collect(),
            tallies,
            remarks: remarks.filter(|words| !words.is_empty()),
            visibility: visibility.unwrap_or(Visibility::Private),
        })
    }

    fn day(&mut self, now: Instant) -> Option<Day> {
        let typed = self.form.get("date");
        let Some(day) = Day::parse(typed) else {
            let ask = "Enter the date you began, for example 2026-11-14.";
            let sentence = match typed {
                "" => ask.to_owned(),
                _ => format!(
                    "Date: {} {}. {ask}",
                    units::quoted(typed),
                    Day::fault(typed)
                ),
            };
            self.problems.add("date", sentence);
            return None;
        };
        let today = now.day(&self.choices.zone);
        if day > today {
            self.problems.add(
                "date",
                format!(
                    "Date: {} is still to come. Enter the date you began.",
                    day.long()
                ),
            );
            return None;
        }
        if today.days_since(day) > LONG_AGO {
            let sentence = format!(
                "Date: {} is more than ten years ago. Mend it, or tick that it is right.",
                day.long()
            );
            self.ask("date", day.to_string(), sentence);
        }
        Some(day)
    }

    /// Asks whether what stands at a field is right, unless the tick there says so already.
    fn ask(&mut self, field: &str, about: String, sentence: String) {
        let sure = Sure::new(self.form, field, about);
        if !sure.ticked {
            self.problems.add(field, sentence);
        }
        self.questions.push((field.to_owned(), sure));
    }

    /// The peg typed at a field. `dated`: the day is the one that was typed.
    fn peg(&mut self, field: &str, day: Day, dated: bool) -> Option<PegId> {
        let typed = bare_number(self.form.get(field));
        if typed.is_empty() {
            return None;
        }
        let folded = typed.to_lowercase();
        let found = self.choices.pegs.iter().find(|peg| {
            peg.number.to_lowercase() == folded
                && peg.from <= day
                && peg.to.is_none_or(|to| day <= to)
        });
        let Some(peg) = found else {
            let sentence = format!(
                "There was no peg {} at {} that day. Enter the number on the stake, or leave it empty.",
                units::quoted(typed),
                self.choices.water.name
            );
            self.problems.add(field, sentence);
            return None;
        };
        let closed = self
            .choices
            .closures
            .iter()
            .find(|line| dated && line.peg == peg.id && line.closure.covers(day));
        if let Some(line) = closed {
            let sentence = format!(
                "Peg {} is closed that day: {}. Mend the peg or the date, or tick that it is right.",
                peg.number,
                line.closure.reason.trim_end_matches('.')
            );
            self.ask(field, format!("{typed} {day}"), sentence);
        }
        Some(peg.id)
    }

    /// The time typed at a field, which its sentence calls by `label`.
    fn time(&mut self, field: &str, label: &str) -> Option<Time> {
        let typed = self.form.get(field);
        if typed.is_empty() {
            return None;
        }
        let time = parse_time(typed).ok_or_else(|| {
            format!(
                "{label}: {} is not a time of day. Enter it like 7:30 or 15:00.",
                units::quoted(typed)
            )
        });
        self.problems.take(field, time)
    }

    /// When the session began and ended.
    fn hours(&mut self, day: Day) -> Option<(Instant, Instant)> {
        let (from, to) = (self.time("start", "Started"), self.time("end", "Packed up"));
        let given = |field| !self.form.get(field).is_empty();
        if given("start") != given("end") {
            let (missing, sentence) = match given("start") {
                true => (
                    "end",
                    "Packed up is empty and Started is not. Enter when you packed up, for example 15:00, or leave both empty.",
                ),
                false => (
                    "start",
                    "Started is empty and Packed up is not. Enter when you started, for example 7:30, or leave both empty.",
                ),
            };
            self.problems.add(missing, sentence);
        }
        let (from, to) = (from?, to?);
        let (start, end) = spell::hours(day, from, to, &self.choices.zone);
        let minutes = units::Minutes((end.0 - start.0) / 60);
        if self.is_to_come(end) {
            let zone = &self.choices.zone;
            let sentence = match to <= from {
                // The likelier slip is in one of the two times, so both are named.
                true => format!(
                    "Packed up at {} the next day, as you started at {}? That is still to come. Mend one of the two times, or the date.",
                    end.clock(zone),
                    start.clock(zone)
                ),
                false => {
                    "Packed up: that is still to come. Report when you have packed up.".to_owned()
                }
            };
            self.problems.add("end", sentence);
            return None;
        }
        if to <= from && minutes.0 > spell::LONG_NIGHT {
            let sentence = format!(
                "Packed up at {} the next day? That makes {}. Mend one of the two times, or tick that it is right.",
                end.clock(&self.choices.zone),
                minutes.words()
            );
            let about = format!("{} {}", self.form.get("start"), self.form.get("end"));
            self.ask("end", about, sentence);
        }
        if self.now.is_some() {
            self.echo("end", format!("{}, {}", day.long(), minutes.words()));
        }
        Some((start, end))
    }

    /// Is it still to come, where the date is known?
    fn is_to_come(&self, at: Instant) -> bool {
        self.now.is_some_and(|now| at > now)
    }

    fn echo(&mut self, field: &str, words: String) {
        self.echoes.push((field.to_owned(), words));
    }
}
