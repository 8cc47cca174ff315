//! Rows of a day on which their angler has an outing on record: asked about once for the file, and
//! each shown, so that whoever answers sees what is answered.

use super::{Ask, OldSheet};
use crate::domain::dates::Day;
use crate::statistics::wording;

/// A row that may be of an outing on record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SameDayRow {
    pub line: u64,
    pub angler: String,
    pub day: Day,
    /// What the row says of its peg and hours.
    pub says: String,
    /// What is on record, as far as it is open to the club.
    pub known: String,
}

impl SameDayRow {
    /// `Dot Hazelpatch, Sat 5 Jan 2019: the row says peg 30, 4 hours; on record is Frost Cup 1.`
    pub fn sentence(&self) -> String {
        format!(
            "{}, {}: the row says {}; on record is {}.",
            self.angler,
            self.day.short(),
            self.says,
            self.known
        )
    }
}

/// The question about all of them, the first as an example.
pub(super) fn question(rows: &[SameDayRow]) -> String {
    let (first, more) = match rows {
        [] => return "Are such rows the same outing, or another?".to_owned(),
        [first, more @ ..] => (first, more.len()),
    };
    let stands = format!(
        "Line {}: {} has a session on record there that day",
        first.line, first.angler
    );
    match more {
        0 => format!("{stands}. Is the row the same outing, or another?"),
        more => format!(
            "{stands}, and so it is with {}. Are such rows the same outing, or another?",
            wording::count(more, "more row", "more rows")
        ),
    }
}

impl OldSheet {
    /// The rows behind the question about outings on record; none where it is answered.
    pub fn same_day_rows(&self) -> &[SameDayRow] {
        let rows = self.asks.iter().find_map(|ask| match ask {
            Ask::SameDay { rows } => Some(rows.as_slice()),
            _ => None,
        });
        rows.unwrap_or_default()
    }
}
