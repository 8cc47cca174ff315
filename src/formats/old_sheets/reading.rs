//! Reading a sheet row by row with its mapping.

use std::collections::BTreeMap;

use super::caught::Caught;
use super::contradictions::contradictions;
use super::{
    Ask, BadRow, Entry, Field, Mapping, Net, OldSheet, RowOf, SheetOf, headings_not_taken, parts,
    times,
};
use crate::domain::dates::Day;
use crate::domain::groups::GroupSet;
use crate::domain::matches::Outcome;
use crate::domain::names::{
    Name, key,
    text::{clean_line, clean_words},
};
use crate::domain::pegs::bare_number;
use crate::domain::sessions::fish::MOST_FISH;
use crate::domain::units::{is_gap, quoted, read_count};
use crate::formats::csv::{Row, Sheet};
use crate::formats::days::{DayOrder, OrderFound, find_order, read_day};

use repeated::{own, twice};
pub(super) use totals::is_total_name;

mod nets;
mod repeated;
mod totals;

/// Reads a sheet with its mapping. Dates after `latest` are problems.
///
/// Errors: problems of the mapping itself, a sentence each.
pub fn read(sheet: &Sheet, mapping: &Mapping, latest: Day) -> Result<OldSheet, Vec<String>> {
    let reader = Reader::new(sheet, mapping, latest)?;
    let mut read = OldSheet {
        entries: Vec::new(),
        problems: Vec::new(),
        totals: Vec::new(),
        asks: reader.asks(sheet),
    };
    let mut seen: BTreeMap<String, u64> = BTreeMap::new();
    for row in sheet.rows.iter().filter(|row| !row.is_empty()) {
        let line = row.line;
        if let Some(total) = reader.total(row) {
            read.totals.push(total);
            continue;
        }
        let entry = match reader.entry(row) {
            Ok(entry) => entry,
            Err(bad) => {
                read.problems.push(bad);
                continue;
            }
        };
        match seen.get(&own(&entry, mapping.of)) {
            Some(first) => {
                let before = read.entries.binary_search_by_key(first, |one| one.line);
                let all_said =
                    before.is_ok_and(|at| read.entries[at].row_sha256() == entry.row_sha256());
                read.problems.push(BadRow {
                    line,
                    sentences: vec![twice(&entry, *first, mapping.of)],
                    // Nothing lacks a row that another says word for word.
                    of: match all_said {
                        true => RowOf::default(),
                        false => RowOf::entry(&entry),
                    },
                });
            }
            None => {
                seen.insert(own(&entry, mapping.of), line);
                read.entries.push(entry);
            }
        }
    }
    Ok(read)
}

struct Reader<'a> {
    mapping: &'a Mapping,
    order: OrderFound,
    day_order: Option<DayOrder>,
    noughts_kept: bool,
    /// The columns that belong to each column of a weight.
    parts: BTreeMap<usize, Vec<(usize, Field)>>,
    latest: Day,
}

impl<'a> Reader<'a> {
    fn new(sheet: &Sheet, mapping: &'a Mapping, latest: Day) -> Result<Self, Vec<String>> {
        let mut problems = contradictions(mapping);
        if problems.is_empty() {
            problems = parts::left_out(sheet, mapping);
        }
        if !problems.is_empty() {
            return Err(problems);
        }
        let order = match place_of(mapping, Field::Date) {
            Some(at) => find_order(sheet.cells(at)),
            None => OrderFound::NotNeeded,
        };
        let noughts_kept = weights(sheet, mapping).any(|cell| cell.trim().ends_with(".10"));
        Ok(Self {
            day_order: order.settled(mapping.day_order),
            order,
            mapping,
            parts: parts::parts(mapping),
            noughts_kept,
            latest,
        })
    }

    fn asks(&self, sheet: &Sheet) -> Vec<Ask> {
        let m = self.mapping;
        let has = |field| place_of(m, field).is_some();
        let others = || headings_not_taken(sheet, m);
        let timed = has(Field::Started) && has(Field::PackedUp);
        let matches = m.of == SheetOf::Matches;
        let mut asks: Vec<Ask> = [
            (!has(Field::Date) && m.date.is_none(), Ask::Date(others())),
            (
                !has(Field::Venue) && m.venue.is_none(),
                Ask::Venue(others()),
            ),
            (
                matches && !has(Field::Match) && m.match_name.is_none(),
                Ask::MatchName,
            ),
            (
                !has(Field::Hours) && !timed && m.minutes.is_none() && !m.hours_unknown,
                Ask::Hours,
            ),
            (matches && m.pegs_allotted.is_none(), Ask::PegsAllotted),
            (m.is_mixed() && m.groups.is_none(), Ask::Groups),
            (!matches && m.visibility.is_none(), Ask::Visibility),
        ]
        .into_iter()
        .filter_map(|(needed, ask)| needed.then_some(ask))
        .collect();
        if self.day_order.is_none() {
            asks.extend(self.order.asks().map(Ask::DayOrder));
        }
        if m.bare.is_none() {
            let unclear = weights(sheet, m).find(|cell| is_bare(cell));
            asks.extend(unclear.map(|cell| Ask::Bare {
                example: cell.trim().to_owned(),
            }));
        }
        asks
    }

    fn cell<'r>(&self, row: &'r Row, field: Field) -> &'r str {
        place_of(self.mapping, field).map_or("", |at| row.cell(at).trim())
    }

    fn entry(&self, row: &Row) -> Result<Entry, BadRow> {
        let bad_row = |sentences: Vec<String>| BadRow {
            line: row.line,
            sentences,
            of: self.row_of(row),
        };
        if let Some(problem) = &row.problem {
            return Err(bad_row(vec![problem.clone()]));
        }
        let (m, mut bad) = (self.mapping, Vec::new());
        let day = note(&mut bad, self.day(row));
        let venue = self.named(row, Field::Venue, m.venue.as_deref(), "the venue");
        let venue = note(&mut bad, venue);
        let match_name = match m.of {
            SheetOf::Sessions => Some(String::new()),
            SheetOf::Matches => {
                let name = m.match_name.as_deref();
                let name = self.named(row, Field::Match, name, "the name of the match");
                note(&mut bad, name)
            }
        };
        let angler = note(&mut bad, Name::read_marked(self.cell(row, Field::Angler)));
        let caught = note(&mut bad, self.caught(row)).unwrap_or_default();
        let mut some = |field: Field, most: usize| {
            let line = clean_line(self.cell(row, field), field.words(), most);
            note(&mut bad, line).filter(|text| !is_gap(text))
        };
        let (peg, team, section) = (
            some(Field::Peg, 12),
            some(Field::Team, 80),
            some(Field::Section, 40),
        );
        let (method, bait) = (some(Field::Method, 80), some(Field::Bait, 80));
        let remarks = clean_words(self.cell(row, Field::Remarks), "the remarks", 2000);
        let remarks = note(&mut bad, remarks).filter(|text| !is_gap(text));
        let cell = |field| self.cell(row, field);
        let told = [Field::Hours, Field::Started, Field::PackedUp].map(cell);
        let fished = note(&mut bad, times::fished(told, m)).unwrap_or_default();
        match (day, venue, match_name, angler) {
            (Some(day), Some(venue), Some(match_name), Some((angler, junior)))
                if bad.is_empty() =>
            {
                Ok(Entry {
                    line: row.line,
                    day,
                    venue,
                    match_name,
                    angler,
                    junior,
                    peg: peg.map(|peg| bare_number(&peg).to_owned()),
                    team,
                    section,
                    outcome: caught.outcome,
                    nets: caught.nets,
                    place: place(self.cell(row, Field::Place)),
                    minutes: fished.minutes,
                    times: fished.times,
                    own_hours: fished.own,
                    method,
                    bait,
                    counts: caught.counts,
                    remarks: fished.remarks(remarks),
                })
            }
            _ => Err(bad_row(bad)),
        }
    }

    fn row_of(&self, row: &Row) -> RowOf {
        let m = self.mapping;
        let named = |field, whole_file: Option<&str>| {
            let name = self.named(row, field, whole_file, field.words());
            name.ok().map(|name| key(&name))
        };
        RowOf {
            day: self.day(row).ok(),
            venue: named(Field::Venue, m.venue.as_deref()),
            match_name: named(Field::Match, m.match_name.as_deref()),
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
            name if key(&name).is_empty() => Err(format!(
                "The row does not give {what}. Enter it, or give it for the whole file."
            )),
            name => Ok(name),
        }
    }

    /// The columns of weights or of numbers, with the set of groups each covers.
    fn columns(&self, field: Field) -> impl Iterator<Item = (usize, GroupSet)> {
        let columns = self.mapping.columns.iter().enumerate();
        columns
            .filter_map(|(at, column)| Some((at, (*column)?)))
            .filter(move |(_, column)| column.field == field)
            .filter_map(|(at, column)| Some((at, self.mapping.covers(column)?)))
    }

    fn caught(&self, row: &Row) -> Result<Caught, String> {
        let mut said = match self.cell(row, Field::Outcome) {
            "" => None,
            cell => Some(outcome(cell)?.ok_or_else(|| format!("{} is not an outcome. Use blank, DNW, absent or DSQ, or leave it empty beside a weight.", quoted(cell)))?),
        };
        let mut caught = Caught::default();
        for (at, groups) in self.columns(Field::Weight) {
            let (own, weight) = self.net(row, at)?;
            said = own.or(said);
            caught
                .nets
                .extend(weight.map(|weight| Net { groups, weight }));
        }
        for (at, groups) in self.columns(Field::Count) {
            let cell = row.cell(at).trim();
            if !is_gap(cell) {
                let n = read_count(cell, "fish", 0, MOST_FISH)?;
                caught.counts.push((groups, n));
            }
        }
        caught.agree()?;
        match self.mapping.of {
            SheetOf::Matches => caught.in_a_match(said),
            SheetOf::Sessions => caught.in_a_session(said),
        }
    }
}

/// The outcome that a cell names, if it names one.
///
/// Errors: a sentence, where its word is used of two outcomes that are not the same fact.
fn outcome(cell: &str) -> Result<Option<Outcome>, String> {
    match Outcome::is_unclear(cell) {
        true => Err(format!(
            "{} is not understood: it may mean did not fish, or did not finish. Write absent for the one, DNW for the other.",
            quoted(cell)
        )),
        false => Ok(Outcome::from_sheet(cell)),
    }
}

pub(super) fn place_of(mapping: &Mapping, field: Field) -> Option<usize> {
    let mut columns = mapping.columns.iter();
    columns.position(|column| column.is_some_and(|c| c.field == field))
}

/// Keeps the sentence of a failed reading.
fn note<T>(bad: &mut Vec<String>, read: Result<T, String>) -> Option<T> {
    read.map_err(|sentence| bad.push(sentence)).ok()
}

/// The weights that may lack a unit: one with ounces or grams in a column of their own has it.
fn weights<'s>(sheet: &'s Sheet, mapping: &'s Mapping) -> impl Iterator<Item = &'s str> {
    let columns = mapping.columns.iter().enumerate();
    let parts = parts::parts(mapping);
    columns
        .filter(move |(at, column)| {
            column.is_some_and(|c| c.field == Field::Weight) && !parts.contains_key(at)
        })
        .flat_map(|(at, _)| sheet.cells(at))
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
