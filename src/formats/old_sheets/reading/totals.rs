//! Telling a line of totals from the row of an angler whose name was lost.

use super::{Reader, place_of};
use crate::domain::names::key;
use crate::domain::units::{Total, Weight, is_gap};
use crate::formats::csv::Row;
use crate::formats::old_sheets::{Field, RowOf, TotalLine};

/// Words of a total. Common practice, no source; so are the other two lists.
const SUMS: [&str; 6] = ["total", "totals", "subtotal", "subtotals", "sum", "σ"];
const AVERAGES: [&str; 5] = ["mean", "average", "averages", "avg", "median"];
/// Words that may stand beside them.
const BESIDE: [&str; 24] = [
    "grand", "sub", "overall", "match", "day", "section", "weight", "weights", "wt", "of", "the",
    "all", "for", "in", "per", "angler", "anglers", "net", "nets", "fish", "lb", "kg", "league",
    "season",
];

#[derive(Clone, Copy, PartialEq, Eq)]
enum Worded {
    Sum,
    Average,
}

/// A cell of nothing but such words: `Grand total`, `Mean per angler`, `Sub-total 12`.
fn worded(cell: &str) -> Option<Worded> {
    let folded = key(cell);
    let mut words = folded.split(' ');
    let known = |word: &str| {
        let lists = [&SUMS[..], &AVERAGES[..], &BESIDE[..]];
        let figures = !word.is_empty() && word.chars().all(|c| c.is_ascii_digit());
        figures || lists.iter().any(|list| list.contains(&word))
    };
    let has = |list: &[&str]| folded.split(' ').any(|word| list.contains(&word));
    match (words.all(known), has(&AVERAGES), has(&SUMS)) {
        (true, true, _) => Some(Worded::Average),
        (true, false, true) => Some(Worded::Sum),
        _ => None,
    }
}

/// The same of the cell of a name, which may go on after it or say first of what it is:
/// `Total (14 fished)`, `Section A total`.
fn worded_name(cell: &str) -> Option<Worded> {
    let folded = key(cell);
    let words = folded
        .split(' ')
        .skip_while(|word| matches!(*word, "grand" | "sub"));
    let ends = [words.clone().next(), words.last()];
    let mut ends = ends.into_iter().flatten();
    let total = ends.any(|word| SUMS[..4].contains(&word));
    worded(cell).or_else(|| total.then_some(Worded::Sum))
}

/// Would a row so named be a line of totals?
pub(in crate::formats::old_sheets) fn is_total_name(cell: &str) -> bool {
    worded_name(cell).is_some()
}

impl Reader<'_> {
    /// The row as a line of totals, if it is one: its name says so; or it has neither name nor peg,
    /// and another cell says so, or no cell says anything beside the weight.
    pub(super) fn total(&self, row: &Row) -> Option<TotalLine> {
        if row.problem.is_some() {
            return None;
        }
        let name = self.cell(row, Field::Angler);
        let worded = match is_gap(name) {
            false => worded_name(name)?,
            true => self.nameless(row)?,
        };
        Some(TotalLine {
            line: row.line,
            average: worded == Worded::Average,
            weight: match worded {
                Worded::Sum => self.summed(row),
                Worded::Average => None,
            },
            of: self.total_of(row),
        })
    }

    fn nameless(&self, row: &Row) -> Option<Worded> {
        let columns = self.mapping.columns.iter().enumerate();
        let figures = |at: usize| {
            let column = self.mapping.columns.get(at).copied().flatten();
            column.is_some_and(|column| column.field.is_figures())
        };
        let rest = columns.map(|(at, _)| at).filter(|at| !figures(*at));
        let said: Vec<&str> = rest.map(|at| row.cell(at).trim()).collect();
        let said: Vec<&str> = said.into_iter().filter(|cell| !is_gap(cell)).collect();
        let peg = self.cell(row, Field::Peg);
        if let Some(found) = said.iter().find_map(|cell| worded(cell)) {
            return (is_gap(peg) || worded(peg).is_some()).then_some(found);
        }
        // Of a sheet of names and weights alone, a weight by itself may be an angler’s.
        let mut more = self.mapping.columns.iter().flatten();
        let more = more.any(|column| !column.field.is_figures() && column.field != Field::Angler);
        let mut nets = self.columns(Field::Weight);
        let weighed = nets.any(|(at, _)| self.cells_of(row, at).next().is_some());
        (said.is_empty() && more && weighed).then_some(Worded::Sum)
    }

    /// What every column of weights comes to; `None` where one of them is empty or not read.
    fn summed(&self, row: &Row) -> Option<Total> {
        let weights: Option<Vec<Weight>> = self
            .columns(Field::Weight)
            .map(|(at, _)| self.net(row, at).ok()?.1)
            .collect();
        let weights = weights.filter(|weights| !weights.is_empty())?;
        Some(weights.into_iter().collect())
    }

    /// The match it is of, by its own cells.
    fn total_of(&self, row: &Row) -> RowOf {
        let own = |field| {
            let cell = place_of(self.mapping, field).map_or("", |at| row.cell(at).trim());
            (!is_gap(cell) && worded(cell).is_none()).then_some(cell)
        };
        RowOf {
            day: own(Field::Date).and_then(|_| self.day(row).ok()),
            venue: own(Field::Venue).map(key),
            match_name: own(Field::Match).map(key),
        }
    }
}
