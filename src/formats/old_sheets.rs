//! Past results from any CSV: which column holds what, what a file leaves out and is asked once,
//! and each row understood or a problem with its line. Pure: names are matched to anglers, and
//! rows to what is on record, elsewhere.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::csv::{Row, Sheet};
use super::days::{DayOrder, OrderFound, find_order, read_day};
use crate::domain::dates::Day;
use crate::domain::matches::{Outcome, PegsAllotted};
use crate::domain::names::{
    Name, key,
    text::{clean_line, clean_words},
};
use crate::domain::units::{
    Bare, Minutes, Scale, Weight, WeightReading, quoted, read_count, read_hours, read_weight,
};

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Field {
    Date,
    Match,
    Venue,
    Peg,
    Angler,
    Team,
    Section,
    /// May stand in several columns, one a net.
    Weight,
    Outcome,
    /// Checked against the weights, never trusted.
    Place,
    Hours,
    Method,
    Count,
    Remarks,
}

impl Field {
    pub const ALL: [Self; 14] = [
        Self::Date,
        Self::Match,
        Self::Venue,
        Self::Peg,
        Self::Angler,
        Self::Team,
        Self::Section,
        Self::Weight,
        Self::Outcome,
        Self::Place,
        Self::Hours,
        Self::Method,
        Self::Count,
        Self::Remarks,
    ];

    /// The word in forms and mappings.
    pub fn slug(self) -> &'static str {
        match self {
            Self::Date => "date",
            Self::Match => "match",
            Self::Venue => "venue",
            Self::Peg => "peg",
            Self::Angler => "angler",
            Self::Team => "team",
            Self::Section => "section",
            Self::Weight => "weight",
            Self::Outcome => "outcome",
            Self::Place => "place",
            Self::Hours => "hours",
            Self::Method => "method",
            Self::Count => "count",
            Self::Remarks => "remarks",
        }
    }

    pub fn from_slug(slug: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|field| field.slug() == slug)
    }

    /// As the mapping page says it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Match => "name of the match",
            Self::Weight => "weight of a net",
            Self::Outcome => "blank, did not weigh, absent or disqualified",
            Self::Place => "place (checked, not trusted)",
            Self::Hours => "hours fished",
            Self::Count => "number of fish",
            other => other.slug(),
        }
    }

    /// Words of headings that mean it. Common practice, no source.
    fn headings(self) -> &'static [&'static str] {
        match self {
            Self::Date => &["date", "day", "on"],
            Self::Match => &["match", "competition", "event", "cup", "fixture", "round"],
            Self::Venue => &[
                "venue", "water", "lake", "fishery", "pool", "river", "canal",
            ],
            Self::Peg => &["peg", "swim"],
            Self::Angler => &["angler", "name", "member", "competitor", "who"],
            Self::Team => &["team", "club"],
            Self::Section => &["section", "sec", "zone", "sector"],
            Self::Weight => &["weight", "wt", "net", "catch", "lb", "lbs", "kg", "total"],
            Self::Outcome => &["outcome", "status", "dnw", "result"],
            Self::Place => &["place", "position", "pos", "rank"],
            Self::Hours => &["hours", "hrs", "duration", "time"],
            Self::Method => &["method", "tactic"],
            Self::Count => &["count", "number", "fish"],
            Self::Remarks => &["remarks", "remark", "notes", "note", "comments", "comment"],
        }
    }
}

/// What a number without a unit means in a file: answered once.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BareWeights {
    /// 12.8 is 12 lb 8 oz.
    PoundsPointOunces,
    /// 12.8 is twelve pounds and eight tenths.
    DecimalPounds,
    Ounces,
    Kilograms,
    Grams,
}

/// How an officer says a file is to be read.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Mapping {
    /// What each column holds, left to right.
    pub columns: Vec<Option<Field>>,
    pub day_order: Option<DayOrder>,
    pub bare: Option<BareWeights>,
    /// For every row that has none of its own.
    pub date: Option<Day>,
    pub venue: Option<String>,
    pub match_name: Option<String>,
    pub minutes: Option<Minutes>,
    pub pegs_allotted: Option<PegsAllotted>,
}

/// What a file leaves out, asked once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ask {
    Date,
    Venue,
    MatchName,
    Hours,
    PegsAllotted,
    DayOrder(String),
    /// What a number without a unit means; one of them as an example.
    Bare {
        example: String,
    },
}

impl Ask {
    pub fn sentence(&self) -> String {
        match self {
            Self::Date => "The file has no dates. On which day was it fished?".to_owned(),
            Self::Venue => "The file does not say where. Which venue was it?".to_owned(),
            Self::MatchName => "The file does not name the matches. What were they called?".to_owned(),
            Self::Hours => "The file does not say how long was fished. How many hours is a match? Leave it empty where nobody knows; the weights then count for no rates.".to_owned(),
            Self::PegsAllotted => "How did pegs come to anglers: drawn from a bag, of choice, roving, or is it not known?".to_owned(),
            Self::DayOrder(asks) => asks.clone(),
            Self::Bare { example } => format!("Weights like {} have no unit. What do they mean in this file?", quoted(example)),
        }
    }
}

/// One row as understood.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    pub line: u64,
    pub day: Day,
    pub venue: String,
    pub match_name: String,
    pub angler: Name,
    pub peg: Option<String>,
    pub team: Option<String>,
    pub section: Option<String>,
    pub outcome: Outcome,
    pub nets: Vec<Weight>,
    pub place: Option<u32>,
    pub minutes: Option<Minutes>,
    pub method: Option<String>,
    pub count: Option<i64>,
    pub remarks: Option<String>,
}

impl Entry {
    /// SHA-256 of what was understood, its line apart: the same row of the same or another file
    /// gives the same, so that nothing is taken twice.
    pub fn row_sha256(&self) -> [u8; 32] {
        let nets: Vec<String> = self
            .nets
            .iter()
            .map(|w| format!("{}{}", w.amount(), w.scale().as_str()))
            .collect();
        let parts = [
            self.day.to_string(),
            key(&self.venue),
            key(&self.match_name),
            self.angler.key(),
            self.peg.as_deref().map(key).unwrap_or_default(),
            self.outcome.to_string(),
            nets.join("+"),
            self.count.map(|n| n.to_string()).unwrap_or_default(),
        ];
        Sha256::digest(parts.join("\u{1f}").as_bytes()).into()
    }
}

/// A row that cannot be taken, with everything that is wrong with it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BadRow {
    pub line: u64,
    pub sentences: Vec<String>,
}

/// A file as far as it could be read.
#[derive(Clone, Debug, PartialEq)]
pub struct OldSheet {
    /// In the order of the file.
    pub entries: Vec<Entry>,
    pub problems: Vec<BadRow>,
    /// What still has to be answered; while any stands, rows that hang on it are problems.
    pub asks: Vec<Ask>,
}

/// Entries of one day, venue and name.
#[derive(Clone, Debug, PartialEq)]
pub struct PastMatch<'a> {
    pub day: Day,
    pub venue: &'a str,
    pub name: &'a str,
    pub entries: Vec<&'a Entry>,
}

impl OldSheet {
    /// The matches of the file, earliest first.
    pub fn matches(&self) -> Vec<PastMatch<'_>> {
        let mut groups: BTreeMap<(Day, String, String), Vec<&Entry>> = BTreeMap::new();
        for entry in &self.entries {
            groups
                .entry((entry.day, key(&entry.venue), key(&entry.match_name)))
                .or_default()
                .push(entry);
        }
        groups
            .into_values()
            .filter_map(|entries| {
                let first = *entries.first()?;
                Some(PastMatch {
                    day: first.day,
                    venue: &first.venue,
                    name: &first.match_name,
                    entries,
                })
            })
            .collect()
    }
}

/// A mapping guessed from the names of the columns; an officer confirms it.
pub fn guess(sheet: &Sheet) -> Mapping {
    let mut taken = BTreeSet::new();
    let columns = sheet
        .header
        .iter()
        .map(|name| {
            let words = key(name);
            let words: Vec<&str> = words.split(' ').collect();
            let total = words.contains(&"total");
            let field = Field::ALL
                .into_iter()
                .find(|field| field.headings().iter().any(|h| words.contains(h)))?;
            // A total beside its nets would count them twice.
            let again = taken.contains(&field) && (field != Field::Weight || total);
            taken.insert(field);
            (!again).then_some(field)
        })
        .collect();
    Mapping {
        columns,
        match_name: sheet.titles.first().cloned(),
        ..Mapping::default()
    }
}

/// Reads a sheet with its mapping. Dates after `latest` are problems.
///
/// Errors: problems of the mapping itself, a sentence each.
pub fn read(sheet: &Sheet, mapping: &Mapping, latest: Day) -> Result<OldSheet, Vec<String>> {
    let reader = Reader::new(sheet, mapping, latest)?;
    let mut read = OldSheet {
        entries: Vec::new(),
        problems: Vec::new(),
        asks: reader.asks(sheet),
    };
    let mut seen: BTreeMap<(Day, String, String, String), u64> = BTreeMap::new();
    for row in sheet.rows.iter().filter(|row| !row.is_empty()) {
        match reader.entry(row) {
            Ok(entry) => {
                let own = (
                    entry.day,
                    key(&entry.venue),
                    key(&entry.match_name),
                    entry.angler.key(),
                );
                match seen.get(&own) {
                    Some(first) => read.problems.push(BadRow {
                        line: row.line,
                        sentences: vec![format!("{} stands in this match on line {first} already. Take out one of the two, or tell two of one name apart.", quoted(&entry.angler.full()))],
                    }),
                    None => {
                        seen.insert(own, row.line);
                        read.entries.push(entry);
                    }
                }
            }
            Err(sentences) => read.problems.push(BadRow {
                line: row.line,
                sentences,
            }),
        }
    }
    Ok(read)
}

struct Reader<'a> {
    mapping: &'a Mapping,
    order: OrderFound,
    day_order: Option<DayOrder>,
    noughts_kept: bool,
    latest: Day,
}

impl<'a> Reader<'a> {
    fn new(sheet: &Sheet, mapping: &'a Mapping, latest: Day) -> Result<Self, Vec<String>> {
        let mut problems = Vec::new();
        for field in Field::ALL
            .into_iter()
            .filter(|field| *field != Field::Weight)
        {
            if mapping
                .columns
                .iter()
                .filter(|column| **column == Some(field))
                .count()
                > 1
            {
                problems.push(format!(
                    "Two columns are said to hold the {}. Choose one.",
                    field.words()
                ));
            }
        }
        let has = |field| mapping.columns.contains(&Some(field));
        if !has(Field::Angler) {
            problems.push("No column is said to hold the angler. Say which one does.".to_owned());
        }
        if !has(Field::Weight) && !has(Field::Outcome) {
            problems.push(
                "No column is said to hold a weight or an outcome. Say which one does.".to_owned(),
            );
        }
        if !problems.is_empty() {
            return Err(problems);
        }
        let order = match mapping
            .columns
            .iter()
            .position(|column| *column == Some(Field::Date))
        {
            Some(at) => find_order(sheet.cells(at)),
            None => OrderFound::NotNeeded,
        };
        let noughts_kept = weights(sheet, mapping).any(|cell| cell.trim().ends_with(".10"));
        Ok(Self {
            day_order: order.settled(mapping.day_order),
            order,
            mapping,
            noughts_kept,
            latest,
        })
    }

    fn asks(&self, sheet: &Sheet) -> Vec<Ask> {
        let has = |field| self.mapping.columns.contains(&Some(field));
        let mut asks = Vec::new();
        let mut ask = |needed: bool, ask: Ask| {
            if needed {
                asks.push(ask)
            }
        };
        ask(!has(Field::Date) && self.mapping.date.is_none(), Ask::Date);
        ask(
            !has(Field::Venue) && self.mapping.venue.is_none(),
            Ask::Venue,
        );
        ask(
            !has(Field::Match) && self.mapping.match_name.is_none(),
            Ask::MatchName,
        );
        ask(
            !has(Field::Hours) && self.mapping.minutes.is_none(),
            Ask::Hours,
        );
        ask(self.mapping.pegs_allotted.is_none(), Ask::PegsAllotted);
        if self.day_order.is_none()
            && let Some(sentence) = self.order.asks()
        {
            asks.push(Ask::DayOrder(sentence));
        }
        if self.mapping.bare.is_none() {
            let unclear = weights(sheet, self.mapping).find(|cell| is_bare(cell));
            asks.extend(unclear.map(|cell| Ask::Bare {
                example: cell.trim().to_owned(),
            }));
        }
        asks
    }

    fn cell<'r>(&self, row: &'r Row, field: Field) -> &'r str {
        let at = self
            .mapping
            .columns
            .iter()
            .position(|column| *column == Some(field));
        at.map_or("", |at| row.cell(at).trim())
    }

    fn entry(&self, row: &Row) -> Result<Entry, Vec<String>> {
        if let Some(problem) = &row.problem {
            return Err(vec![problem.clone()]);
        }
        let mut bad = Vec::new();
        let day = note(&mut bad, self.day(row));
        let venue = note(
            &mut bad,
            self.named(
                row,
                Field::Venue,
                self.mapping.venue.as_deref(),
                "the venue",
            ),
        );
        let match_name = note(
            &mut bad,
            self.named(
                row,
                Field::Match,
                self.mapping.match_name.as_deref(),
                "the name of the match",
            ),
        );
        let angler = note(&mut bad, Name::read(self.cell(row, Field::Angler)));
        let (outcome, nets) =
            note(&mut bad, self.outcome(row)).unwrap_or((Outcome::Blank, Vec::new()));
        let mut some = |field: Field, most: usize| {
            let line = note(
                &mut bad,
                clean_line(self.cell(row, field), field.words(), most),
            );
            line.filter(|text| !text.is_empty())
        };
        let (peg, team, section, method) = (
            some(Field::Peg, 12),
            some(Field::Team, 80),
            some(Field::Section, 40),
            some(Field::Method, 80),
        );
        let remarks = note(
            &mut bad,
            clean_words(self.cell(row, Field::Remarks), "the remarks", 2000),
        )
        .filter(|text| !text.is_empty());
        let minutes = match self.cell(row, Field::Hours) {
            "" => self.mapping.minutes,
            cell => note(&mut bad, read_hours(cell, 48)),
        };
        let count = match self.cell(row, Field::Count) {
            "" => None,
            cell => note(&mut bad, read_count(cell, "fish", 0, 9_999)),
        };
        match (day, venue, match_name, angler) {
            (Some(day), Some(venue), Some(match_name), Some(angler)) if bad.is_empty() => {
                Ok(Entry {
                    line: row.line,
                    day,
                    venue,
                    match_name,
                    angler,
                    peg,
                    team,
                    section,
                    outcome,
                    nets,
                    place: place(self.cell(row, Field::Place)),
                    minutes,
                    method,
                    count,
                    remarks,
                })
            }
            _ => Err(bad),
        }
    }

    fn day(&self, row: &Row) -> Result<Day, String> {
        let day = match (self.cell(row, Field::Date), self.mapping.date) {
            ("", Some(day)) => day,
            ("", None) => {
                return Err(
                    "The row has no date. Enter one, or give the day for the whole file."
                        .to_owned(),
                );
            }
            (cell, _) => read_day(cell, self.day_order)?,
        };
        match day > self.latest {
            true => Err(format!("{} has not come yet. Check the date.", day.long())),
            false => Ok(day),
        }
    }

    fn named(
        &self,
        row: &Row,
        field: Field,
        whole_file: Option<&str>,
        what: &str,
    ) -> Result<String, String> {
        let cell = match self.cell(row, field) {
            "" => whole_file.unwrap_or_default(),
            cell => cell,
        };
        match clean_line(cell, what, 120)? {
            name if name.is_empty() => Err(format!(
                "The row does not give {what}. Enter it, or give it for the whole file."
            )),
            name => Ok(name),
        }
    }

    /// What became of the entry, and its nets. An empty row of weights is not a blank: it is asked.
    fn outcome(&self, row: &Row) -> Result<(Outcome, Vec<Weight>), String> {
        let mut said = match self.cell(row, Field::Outcome) {
            "" => None,
            cell => Some(Outcome::from_sheet(cell).ok_or_else(|| format!("{} is not an outcome. Use blank, DNW, absent or DSQ, or leave it empty beside a weight.", quoted(cell)))?),
        };
        let mut nets = Vec::new();
        for (at, _) in self
            .mapping
            .columns
            .iter()
            .enumerate()
            .filter(|(_, column)| **column == Some(Field::Weight))
        {
            let cell = row.cell(at).trim();
            if matches!(cell, "" | "-" | "–") {
                continue;
            }
            match Outcome::from_sheet(cell) {
                Some(outcome) => said = Some(outcome),
                None => nets.push(self.weight(cell)?),
            }
        }
        let nothing = nets.iter().all(|net| net.is_nothing());
        match said {
            None | Some(Outcome::Fished) if nets.is_empty() => Err(
                "The row has no weight. Enter one, or write blank, DNW, absent or DSQ.".to_owned(),
            ),
            None | Some(Outcome::Fished) if nothing => Ok((Outcome::Blank, Vec::new())),
            None | Some(Outcome::Fished) => Ok((Outcome::Fished, nets)),
            Some(Outcome::Disqualified) => Ok((Outcome::Disqualified, nets)),
            Some(outcome) if nothing => Ok((outcome, Vec::new())),
            Some(outcome) => Err(format!(
                "The row says {outcome} and has a weight. Take out one of the two."
            )),
        }
    }

    fn weight(&self, cell: &str) -> Result<Weight, String> {
        let bare = match self.mapping.bare {
            None => Bare::Ask,
            Some(BareWeights::PoundsPointOunces) => Bare::PoundsPointOunces {
                noughts_kept: self.noughts_kept,
            },
            Some(BareWeights::DecimalPounds) => Bare::DecimalPounds,
            Some(BareWeights::Ounces) => Bare::Ounces,
            Some(BareWeights::Kilograms) => Bare::Kilograms,
            Some(BareWeights::Grams) => Bare::Grams,
        };
        match read_weight(cell, Scale::Drams, bare) {
            WeightReading::Understood(weight) => Ok(weight),
            WeightReading::Problem(sentence) => Err(sentence),
            WeightReading::Question { asks, choices } => {
                let choices: Vec<_> = choices.into_iter().map(|choice| choice.words).collect();
                Err(format!(
                    "{asks} It may be {}. Answer for the whole file, or write it out in the sheet.",
                    choices.join(" or ")
                ))
            }
        }
    }
}

/// Keeps the sentence of a failed reading.
fn note<T>(bad: &mut Vec<String>, read: Result<T, String>) -> Option<T> {
    read.map_err(|sentence| bad.push(sentence)).ok()
}

fn weights<'s>(sheet: &'s Sheet, mapping: &'s Mapping) -> impl Iterator<Item = &'s str> {
    let columns = mapping
        .columns
        .iter()
        .enumerate()
        .filter(|(_, column)| **column == Some(Field::Weight));
    columns.flat_map(|(at, _)| sheet.cells(at))
}

/// A number other than nought without a unit.
fn is_bare(cell: &str) -> bool {
    let cell = cell.trim();
    let figures = cell
        .chars()
        .all(|c| c.is_ascii_digit() || matches!(c, '.' | ','));
    figures && cell.chars().any(|c| matches!(c, '1'..='9'))
}

/// `1`, `1st`, `4=`.
fn place(cell: &str) -> Option<u32> {
    let digits: String = cell.chars().take_while(char::is_ascii_digit).collect();
    digits.parse().ok()
}
