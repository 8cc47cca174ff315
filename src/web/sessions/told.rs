//! A report in words.

use super::{choices::Choices, pairs::tally_words};
use crate::{
    domain::{
        dates::Instant,
        groups::Group,
        sessions::{NamedFish, Report, Spell, Tally, fish::hours_written},
        units::{Length, Minutes, Scale, Weight},
    },
    statistics::wording,
    web::figures::weights_held,
};

/// The labels of time that no spell covers, and of a report that tells of none.
const NO_SPELL: &str = "No spell";
const SPELLS: &str = "Spells";

/// A line of a report in words: its label and what it says.
pub struct Line {
    kind: Kind,
    pub label: String,
    pub words: String,
    /// The other version has no such line.
    pub differs: bool,
}

/// In the order in which they are told.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    Water,
    Date,
    Fished,
    Spell,
    RodHours,
    Caught,
    Tally,
    Named,
    Remarks,
    SeenBy,
}

impl Kind {
    fn label(self) -> &'static str {
        match self {
            Self::Water => "Water",
            Self::Date => "Date",
            Self::Fished => "Fished",
            Self::Spell => "Spell",
            Self::RodHours => "Rod-hours",
            Self::Caught => "Caught",
            Self::Tally => "Hour by hour",
            Self::Named => "Worth naming",
            Self::Remarks => "Remarks",
            Self::SeenBy => "Seen by",
        }
    }

    fn line(self, words: impl Into<String>) -> Line {
        Line {
            kind: self,
            label: self.label().to_owned(),
            words: words.into(),
            differs: false,
        }
    }
}

impl Line {
    /// Its words were typed in lines of their own.
    pub fn is_remarks(&self) -> bool {
        self.kind == Kind::Remarks
    }

    /// The groups of fish that a line of a catch tells of.
    fn groups(&self) -> &str {
        match self.kind {
            Kind::Caught | Kind::Tally => self.words.split(':').next().unwrap_or(""),
            _ => "",
        }
    }

    /// This line of a version that has nothing there; `None` of a line that every version has.
    fn absent(&self) -> Option<Line> {
        let words = match self.kind {
            Kind::Spell if self.label == NO_SPELL => "no such time".to_owned(),
            Kind::Spell if self.label == SPELLS => return None,
            Kind::RodHours => "not known".to_owned(),
            Kind::Caught | Kind::Tally => format!("{}: not written down", self.groups()),
            Kind::Spell | Kind::Named | Kind::Remarks => "none".to_owned(),
            Kind::Water | Kind::Date | Kind::Fished | Kind::SeenBy => return None,
        };
        Some(Line {
            label: self.label.clone(),
            differs: true,
            ..self.kind.line(words)
        })
    }
}

/// A report in a few lines, for a session's page and for two versions side by side.
pub struct Told {
    pub lines: Vec<Line>,
    /// It has no hours, and so enters no rate.
    pub no_rate: bool,
    pub uncovered: bool,
}

impl Told {
    pub fn new(report: &Report, choices: &Choices) -> Self {
        let mut lines = vec![Kind::Fished.line(hours_words(report, choices))];
        lines.extend(spell_lines(report, choices));
        let rod_hours = report.rod_hours().map(|hours| format!("{hours:.1}"));
        lines.extend(rod_hours.map(|words| Kind::RodHours.line(words)));
        let caught = report.caught.iter().map(|one| one.sentence());
        lines.extend(caught.map(|words| Kind::Caught.line(weights_held(&words))));
        let tallies = Group::ALL
            .into_iter()
            .filter_map(|group| tally(report, group));
        lines.extend(tallies.map(|words| Kind::Tally.line(words)));
        let named = report.named.iter().map(|fish| fish_words(fish, choices));
        lines.extend(named.map(|words| Kind::Named.line(words)));
        let remarks = report.remarks.as_ref();
        lines.extend(remarks.map(|words| Kind::Remarks.line(words.as_str())));
        lines.push(Kind::SeenBy.line(report.visibility.words()));
        Self {
            lines,
            no_rate: report.rod_hours().is_none(),
            uncovered: report
                .spells
                .iter()
                .any(|s| s.uncovered && s.minutes.is_some()),
        }
    }

    /// With its water and its date before all else.
    pub fn dated(report: &Report, choices: &Choices) -> Self {
        let mut told = Self::new(report, choices);
        told.lines.insert(0, Kind::Date.line(report.day.long()));
        let water = choices.water.name.as_str();
        told.lines.insert(0, Kind::Water.line(water));
        told
    }

    /// Two versions of one report with their waters and dates, each line marked that the other does
    /// not have, and each row that only one has told in both: what is missing is seen nowhere else.
    /// Each comes with what is chosen from at its water.
    pub fn beside(one: (&Report, &Choices), other: (&Report, &Choices)) -> (Self, Self) {
        let [mut one, mut other] =
            [one, other].map(|(report, choices)| Self::dated(report, choices));
        one.mark(&other);
        other.mark(&one);
        let (lacks_one, lacks_other) = (one.lacks(&other), other.lacks(&one));
        one.add(lacks_one);
        other.add(lacks_other);
        (one, other)
    }

    /// What makes a line the same row in two versions: its label, its groups of fish, and its place
    /// among the lines alike in both.
    fn rows(&self) -> Vec<(&str, &str, usize)> {
        let mut rows: Vec<(&str, &str, usize)> = Vec::new();
        for line in &self.lines {
            let of = (line.label.as_str(), line.groups());
            let before = rows.iter().filter(|row| (row.0, row.1) == of).count();
            rows.push((of.0, of.1, before));
        }
        rows
    }

    /// The rows that only the other version has, as this one would tell them.
    fn lacks(&self, other: &Self) -> Vec<Line> {
        let known = self.rows();
        let none_told = self.lines.iter().any(|line| line.label == SPELLS);
        let theirs = other.lines.iter().zip(other.rows());
        theirs
            .filter(|(_, row)| !known.contains(row))
            .filter(|(line, _)| !(none_told && line.kind == Kind::Spell))
            .filter_map(|(line, _)| line.absent())
            .collect()
    }

    fn add(&mut self, lines: Vec<Line>) {
        self.lines.extend(lines);
        self.lines.sort_by_key(|line| line.kind);
    }

    fn mark(&mut self, other: &Self) {
        for line in &mut self.lines {
            let same = |known: &Line| known.kind == line.kind && known.words == line.words;
            line.differs = !other.lines.iter().any(same);
        }
    }
}

/// The spells in the order of the day, those without a place in it last. Only what was written down
/// has a number; the time that no spell covers is told without one.
fn spell_lines(report: &Report, choices: &Choices) -> Vec<Line> {
    let mut spells: Vec<_> = report.spells.iter().collect();
    spells.sort_by_key(|spell| (spell.from.is_none(), spell.from));
    let none_told = spells.iter().all(|spell| spell.uncovered);
    let more_rods = spells.iter().any(|spell| spell.rods > 1);
    let mut number = 0;
    let line = |spell: &Spell| {
        let (label, words) = if !spell.uncovered {
            number += 1;
            (format!("Spell {number}"), spell_words(spell, choices))
        } else if none_told {
            (
                SPELLS.to_owned(),
                with_peg("none written down".to_owned(), spell, choices),
            )
        } else {
            let words = uncovered_words(spell, more_rods, choices);
            (NO_SPELL.to_owned(), with_peg(words, spell, choices))
        };
        Line {
            label,
            ..Kind::Spell.line(words)
        }
    };
    spells.into_iter().map(line).collect()
}

/// `12:30 to 13:00 not written down`; beside spells of more rods also how it counts in the rod-hours.
fn uncovered_words(spell: &Spell, more_rods: bool, choices: &Choices) -> String {
    let words = format!("{} not written down", when_words(spell, choices));
    match more_rods {
        true => format!("{words}, counted with one rod"),
        false => words,
    }
}

fn with_peg(words: String, spell: &Spell, choices: &Choices) -> String {
    match spell.peg {
        Some(peg) => format!("{words}, peg {}", choices.peg_number(peg)),
        None => words,
    }
}

fn hours_words(report: &Report, choices: &Choices) -> String {
    let zone = &choices.zone;
    match (report.start, report.end) {
        (Some(start), Some(end)) => {
            let day = if end.day(zone) == report.day {
                ""
            } else {
                " the next day"
            };
            format!("{} to {}{day}", start.clock(zone), end.clock(zone))
        }
        _ => without_times(&report.spells),
    }
}

/// `Carp: 2 0 1 3`, and how much of the session that leaves out.
fn tally(report: &Report, group: Group) -> Option<String> {
    let of: Vec<_> = report.tallies.iter().filter(|t| t.group == group).collect();
    let start = report.start.filter(|_| !of.is_empty())?;
    let words = format!("{}: {}", group.name(), tally_words(&of, start.0));
    let rest = report.end.and_then(|end| not_noted(&of, (start, end)));
    Some(match rest {
        Some(rest) => format!("{words} ({rest})"),
        None => words,
    })
}

/// `four hours written of a session of 5 hours 30 minutes; the rest is kept as not noted`.
pub fn not_noted(tallies: &[&Tally], (start, end): (Instant, Instant)) -> Option<String> {
    let written = hours_written(tallies, start, end)?;
    Some(format!(
        "{} written of a session of {}; the rest is kept as not noted",
        wording::count(written, "hour", "hours"),
        Minutes((end.0 - start.0) / 60).words()
    ))
}

/// How long was fished where nobody said from when to when, as far as every spell has its length.
fn without_times(spells: &[Spell]) -> String {
    let minutes: Option<f64> = spells.iter().map(|spell| spell.minutes).sum();
    match minutes.filter(|minutes| *minutes >= 1.0) {
        Some(minutes) => {
            let length = Minutes(minutes.round() as i64).words();
            format!("{length}, clock times not known")
        }
        None => "hours not known".to_owned(),
    }
}

/// A weight kept in grams, to the unit of the scales that showed it.
pub fn scales_words(grams: f64, scale: Scale) -> String {
    let unit = Weight::new(1, scale).map_or(1.0, Weight::as_grams);
    let weight = Weight::new((grams / unit).round() as i64, scale);
    weight.map_or(String::new(), |weight| weights_held(&weight.words()))
}

fn when_words(spell: &Spell, choices: &Choices) -> String {
    let zone = &choices.zone;
    match (spell.from, spell.to, spell.minutes) {
        (Some(from), Some(to), _) => format!("{} to {}", from.clock(zone), to.clock(zone)),
        (_, _, Some(minutes)) => Minutes(minutes.round() as i64).words(),
        _ => "hours not known".to_owned(),
    }
}

fn spell_words(spell: &Spell, choices: &Choices) -> String {
    let mut words = vec![when_words(spell, choices)];
    match spell.method {
        Some(method) => words.push(choices.method_name(method.0).to_lowercase()),
        None => words.push("method unknown".to_owned()),
    }
    if let Some(bait) = spell.bait {
        words.push(choices.bait_name(bait.0).to_lowercase());
    }
    if let Some(line) = spell.line {
        words.push(format!("at {}", line.words()));
    }
    if let Some(aim) = spell.aim.filter(|aim| aim.mm() != 0) {
        let side = if aim.mm() < 0 { "left" } else { "right" };
        let length = Length::millimetres(aim.mm().abs());
        words.push(format!("{} {side} of straight out", length.words()));
    }
    if let Some(depth) = spell.depth {
        words.push(format!("{} deep", depth.words()));
    }
    if spell.rods > 1 {
        words.push(format!("{} rods", spell.rods));
    }
    if let Some(peg) = spell.peg {
        words.push(format!("peg {}", choices.peg_number(peg)));
    }
    words.join(", ")
}

fn fish_words(fish: &NamedFish, choices: &Choices) -> String {
    let name = choices
        .fish
        .iter()
        .find(|f| f.id == fish.species)
        .map_or("Fish", |f| &f.name);
    let mut words = name.to_owned();
    if let Some(weight) = fish.weight {
        words.push_str(&format!(", {}", weights_held(&weight.words())));
    }
    if let Some(at) = fish.at {
        words.push_str(&format!(", at {}", at.clock(&choices.zone)));
    }
    words
}
