//! Lines that add up the rows above them. They are no angler's, so nothing is taken of them; what
//! they say is compared with the rows, because a total that differs is a weight mistyped once.

use super::{Entry, OldSheet, RowOf, Told};
use crate::domain::names::key;
use crate::domain::units::{Ranking, Total};

/// Grams by which a total may differ and still be told as the same: a little under an ounce, for
/// totals are rounded.
const ROUNDED: u64 = 28;

/// A line of totals, or of averages.
#[derive(Clone, Debug, PartialEq)]
pub struct TotalLine {
    pub line: u64,
    pub average: bool,
    /// What it says was weighed in all, where that can be read.
    pub weight: Option<Total>,
    /// The match it is of, where its own cells say so.
    pub of: RowOf,
}

impl OldSheet {
    /// A sentence for each line of totals: that it is not taken, and where its rows come to another
    /// weight.
    pub fn totals_told(&self) -> Vec<Told> {
        let mut before = 0;
        let mut told = Vec::new();
        for total in &self.totals {
            let what = match total.average {
                true => "an average",
                false => "a total",
            };
            let differs = self.differs(total, before);
            told.push(Told {
                line: total.line,
                sentence: format!(
                    "This line is {what}, and is not taken.{}",
                    differs.map(|more| format!(" {more}")).unwrap_or_default()
                ),
            });
            if !total.average {
                before = total.line;
            }
        }
        told
    }

    /// That the rows a total adds up come to another weight; `before` is the line of the total above.
    fn differs(&self, total: &TotalLine, before: u64) -> Option<String> {
        let said = total.weight?;
        let above = |line: u64| line < total.line;
        let since = |line: u64| above(line) && line > before;
        let own = |day, name: &str| total.of.may_be(day, &key(name));
        let (own, since, above) = (
            self.sum(|entry| own(entry.day, &entry.match_name)),
            self.sum(|entry| since(entry.line)),
            self.sum(|entry| above(entry.line)),
        );
        let all = [own, since, above];
        if all.iter().any(|sum| agree(*sum, said)) {
            return None;
        }
        let rows = all.into_iter().find(|sum| !sum.is_nothing())?;
        // Which rows it adds up is clear where they are of one match, or all of the file.
        let last = self.totals.last().is_some_and(|one| one.line == total.line);
        let from = if rows == since { before } else { 0 };
        if rows != own && !(rows == above && last) && self.of_several(total, from) {
            return None;
        }
        let bad = self.problems.iter().any(|bad| bad.line < total.line);
        let but = match bad {
            true => ", without those that cannot be taken",
            false => "",
        };
        Some(format!(
            "It says {}, and the rows it adds up come to {}{but}.",
            said.words(),
            rows.words()
        ))
    }

    fn sum(&self, which: impl Fn(&Entry) -> bool) -> Total {
        let rows = self.entries.iter().filter(|entry| which(entry));
        rows.flat_map(|entry| entry.nets.iter().map(|net| net.weight))
            .collect()
    }

    /// Do the rows since the total above belong to several matches?
    fn of_several(&self, total: &TotalLine, before: u64) -> bool {
        let mut rows = self.entries.iter();
        let own = |entry: &Entry| (entry.day, key(&entry.venue), key(&entry.match_name));
        let within = |entry: &&Entry| (before + 1..total.line).contains(&entry.line);
        let first = rows.find(within).map(own);
        rows.filter(within).any(|entry| Some(own(entry)) != first)
    }
}

fn agree(sum: Total, said: Total) -> bool {
    let grams = |total: Total| total.steps(Ranking::GRAM);
    grams(sum).abs_diff(grams(said)) < ROUNDED
}
