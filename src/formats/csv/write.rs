//! Lists of ours as CSV: RFC 4180 with CRLF, marked as UTF-8 for spreadsheets. A cell that a
//! spreadsheet would run as a formula gets an apostrophe before it (OWASP, "CSV Injection");
//! our own import takes it off again, so that what leaves comes back the same.

use std::io;

/// Signs that begin a formula, or hide one, in some spreadsheet.
fn begins_formula(c: char) -> bool {
    matches!(
        c,
        '=' | '+' | '-' | '@' | '\t' | '\r' | '\n' | '＝' | '＋' | '－' | '＠'
    )
}

/// A plain decimal is no formula and stays a number.
fn is_number(cell: &str) -> bool {
    let digits = cell.strip_prefix('-').unwrap_or(cell);
    let (whole, part) = digits.split_once('.').unwrap_or((digits, "0"));
    let figures = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    figures(whole) && figures(part)
}

/// The cell as it is written: with one apostrophe more where it could be run, or could be taken
/// for one of ours.
pub(super) fn neutral(cell: &str) -> String {
    let inner = cell.trim_start_matches('\'');
    let apostrophes = cell.len() - inner.len();
    let risky = inner.trim_start_matches(' ').starts_with(begins_formula);
    if risky && !(apostrophes == 0 && is_number(cell)) {
        return format!("'{cell}");
    }
    cell.to_owned()
}

/// The cell as it was before [`neutral`].
pub(super) fn literal(cell: &str) -> String {
    let inner = cell.trim_start_matches('\'');
    if inner.len() < cell.len() && inner.trim_start_matches(' ').starts_with(begins_formula) {
        return cell[1..].to_owned();
    }
    cell.to_owned()
}

/// Writes rows under a heading.
pub struct Writer<W: io::Write> {
    csv: ::csv::Writer<W>,
    width: usize,
}

impl<W: io::Write> Writer<W> {
    /// Begins with the mark of UTF-8 and the heading.
    pub fn new(mut to: W, header: &[&str]) -> io::Result<Self> {
        to.write_all("\u{feff}".as_bytes())?;
        let mut begun = Self::further(to, header.len());
        begun.csv.write_record(header)?;
        Ok(begun)
    }

    /// Goes on with a list whose heading, of `width` names, was written before.
    pub fn further(to: W, width: usize) -> Self {
        let csv = ::csv::WriterBuilder::new()
            .terminator(::csv::Terminator::CRLF)
            .from_writer(to);
        Self { csv, width }
    }

    /// Writes one row. Errors when it has not as many cells as the heading, or on a failed write.
    pub fn row<S: AsRef<str>>(&mut self, cells: impl IntoIterator<Item = S>) -> io::Result<()> {
        let cells: Vec<String> = cells
            .into_iter()
            .map(|cell| neutral(cell.as_ref()))
            .collect();
        if cells.len() != self.width {
            let fault = format!("a row of {} cells under {} names", cells.len(), self.width);
            return Err(io::Error::new(io::ErrorKind::InvalidInput, fault));
        }
        self.csv.write_record(&cells).map_err(io::Error::from)
    }

    /// Writes what is held back and gives the target back.
    pub fn finish(self) -> io::Result<W> {
        self.csv
            .into_inner()
            .map_err(|fault| io::Error::other(fault.to_string()))
    }
}
