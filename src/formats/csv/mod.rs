//! Any CSV file as a [`Sheet`] of headed columns, and lists of ours as CSV.
//!
//! Reading takes files as spreadsheets and people leave them: any of the usual encodings,
//! commas, semicolons or tabs, titles above the heading, headings missing or twice. What cannot
//! be read at all is one sentence that says how to mend it; a bad row is a problem of that row.
//! Writing follows RFC 4180 (2005): CRLF, quotes where needed.

mod encoding;
mod write;

pub use encoding::decode;
pub use write::Writer;

/// The most rows read from one file.
pub const MOST_ROWS: usize = 100_000;
/// The most columns.
pub const MOST_COLUMNS: usize = 200;
/// The longest cell, characters.
pub const LONGEST_CELL: usize = 10_000;

/// A file read as rows under a heading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sheet {
    /// One name a column, none empty, none twice.
    pub header: Vec<String>,
    /// The names are those of the file; else its columns are numbered.
    pub headed: bool,
    pub rows: Vec<Row>,
    /// Lines above the heading that hold one cell only, such as the title of a sheet.
    pub titles: Vec<String>,
    /// `,`, `;` or a tab.
    pub delimiter: char,
    /// The name of the encoding it was in.
    pub encoding: &'static str,
    /// What was made of oddities, each a sentence: shown, not refused.
    pub notes: Vec<String>,
}

/// One row, as many cells as the heading has names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// The line of the file on which it begins; the first is 1.
    pub line: u64,
    pub cells: Vec<String>,
    /// Why it cannot be taken, if so.
    pub problem: Option<String>,
}

impl Row {
    /// The cell of column `at`; empty where there is none.
    pub fn cell(&self, at: usize) -> &str {
        self.cells.get(at).map_or("", String::as_str)
    }

    pub fn is_empty(&self) -> bool {
        self.cells.iter().all(|cell| cell.trim().is_empty())
    }
}

impl Sheet {
    /// The column of this name, capitals and spaces apart.
    pub fn column(&self, name: &str) -> Option<usize> {
        let plain = |text: &str| text.trim().to_lowercase();
        self.header.iter().position(|own| plain(own) == plain(name))
    }

    /// The cells of one column, from the first row.
    pub fn cells(&self, at: usize) -> impl Iterator<Item = &str> {
        self.rows.iter().map(move |row| row.cell(at))
    }
}

/// Whether the first row names the columns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Heading {
    Present,
    Absent,
    /// Present, unless its cells are figures and dates.
    Guess,
}

/// Reads any CSV file. Rows without a cell are left out.
///
/// Errors: one sentence, for the person who chose the file.
pub fn read(bytes: &[u8], heading: Heading) -> Result<Sheet, String> {
    let (text, encoding) = decode(bytes)?;
    let (text, told) = told_delimiter(&text);
    let above = u64::from(told.is_some());
    let delimiter = told.unwrap_or_else(|| likely_delimiter(text));
    let mut records = records(text, delimiter, above)?;
    let mut notes = Vec::new();
    let titles = take_titles(&mut records);
    let Some(first) = records.first() else {
        return Err("The file has no rows. Choose the CSV file that holds the list.".to_owned());
    };
    let headed = match heading {
        Heading::Present => true,
        Heading::Absent => false,
        Heading::Guess => !first.cells.iter().any(|cell| looks_like_data(cell)),
    };
    let names = if headed {
        records.remove(0).cells
    } else {
        Vec::new()
    };
    if !headed && heading == Heading::Guess {
        notes.push(
            "The file has no heading: its first line holds figures, so columns are numbered."
                .to_owned(),
        );
    }
    let header = name_columns(names, &records, &mut notes)?;
    fit_rows(&mut records, header.len());
    mark_cut_row(&mut records, text);
    Ok(Sheet {
        header,
        headed,
        rows: records,
        titles,
        delimiter,
        encoding,
        notes,
    })
}

/// A first line `sep=;`, as some spreadsheets write it.
fn told_delimiter(text: &str) -> (&str, Option<char>) {
    let (first, rest) = text.split_once('\n').unwrap_or((text, ""));
    match first.trim_end().strip_prefix("sep=") {
        Some(sign @ ("," | ";" | "\t")) => (rest, sign.chars().next()),
        _ => (text, None),
    }
}

/// The sign that divides the most of the first rows into the same number of cells, two or more.
fn likely_delimiter(text: &str) -> char {
    let start: String = text.lines().take(40).collect::<Vec<_>>().join("\n");
    let score = |sign: char| {
        let mut widths = std::collections::BTreeMap::new();
        for record in reader(&start, sign).records().flatten() {
            *widths.entry(record.len()).or_insert(0_usize) += 1;
        }
        let alike = widths.iter().filter(|(width, _)| **width > 1);
        alike
            .map(|(width, rows)| (*rows, *width))
            .max()
            .unwrap_or((0, 0))
    };
    let mut best = (',', score(','));
    for sign in [';', '\t'] {
        let own = score(sign);
        if own > best.1 {
            best = (sign, own);
        }
    }
    best.0
}

fn reader(text: &str, delimiter: char) -> ::csv::Reader<&[u8]> {
    ::csv::ReaderBuilder::new()
        .delimiter(delimiter as u8)
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes())
}

/// The rows of `text`, before which the file has `above` lines.
fn records(text: &str, delimiter: char, above: u64) -> Result<Vec<Row>, String> {
    let mut rows = Vec::new();
    let mut lines = Lines {
        text: text.as_bytes(),
        at: 0,
        line: above + 1,
    };
    for record in reader(text, delimiter).records() {
        // The text is UTF-8 and rows may be of any length: nothing is left to go wrong.
        let record = record.map_err(|fault| {
            format!("The file cannot be read as CSV: {fault}. Save it again as CSV.")
        })?;
        let line = lines.number_at(record.position().map_or(0, ::csv::Position::byte));
        if record.len() > MOST_COLUMNS {
            return Err(format!(
                "Line {line} has more than {MOST_COLUMNS} cells. Take out columns that are not needed."
            ));
        }
        let cells: Vec<String> = record.iter().map(write::literal).collect();
        if let Some(long) = cells.iter().find(|cell| cell.len() > LONGEST_CELL) {
            return Err(match long.contains('\n') {
                true => format!(
                    "A quotation mark opened near line {line} is not closed. Close it, or take it out, and choose the file again."
                ),
                false => format!(
                    "A cell on line {line} is longer than {LONGEST_CELL} characters. Shorten it and choose the file again."
                ),
            });
        }
        let row = Row {
            line,
            cells,
            problem: None,
        };
        if !row.is_empty() {
            rows.push(row);
        }
        if rows.len() > MOST_ROWS + 1 {
            return Err(format!(
                "The file has more than {MOST_ROWS} rows. Divide it, for example by year, and bring the parts in one by one."
            ));
        }
    }
    if let Some(last) = rows.last()
        && last.cells.iter().any(|cell| cell.contains('\n'))
        && text.matches('"').count() % 2 == 1
    {
        return Err(format!(
            "A quotation mark opened near line {} is not closed. Close it, or take it out, and choose the file again.",
            last.line
        ));
    }
    Ok(rows)
}

/// Counts line ends as an editor does. The reader's own count is one behind after CRLF.
struct Lines<'a> {
    text: &'a [u8],
    at: usize,
    line: u64,
}

impl Lines<'_> {
    /// The line of the first letter at or after `byte`, which never goes back.
    fn number_at(&mut self, byte: u64) -> u64 {
        let byte = usize::try_from(byte).unwrap_or(usize::MAX);
        while self.at < self.text.len() {
            let here = self.text[self.at];
            let lone_return = here == b'\r' && self.text.get(self.at + 1) != Some(&b'\n');
            if self.at >= byte && here != b'\r' && here != b'\n' {
                break;
            }
            self.line += u64::from(here == b'\n' || lone_return);
            self.at += 1;
        }
        self.line
    }
}

/// Takes off leading rows of one cell where wider rows follow.
fn take_titles(rows: &mut Vec<Row>) -> Vec<String> {
    let filled = |row: &Row| {
        row.cells
            .iter()
            .filter(|cell| !cell.trim().is_empty())
            .count()
    };
    let Some(at) = rows.iter().take(12).position(|row| filled(row) > 1) else {
        return Vec::new();
    };
    rows.drain(..at)
        .flat_map(|row| row.cells.into_iter().find(|cell| !cell.trim().is_empty()))
        .map(|cell| cell.trim().to_owned())
        .collect()
}

/// A figure or a date: no heading has one alone.
fn looks_like_data(cell: &str) -> bool {
    let cell = cell.trim();
    let figures = cell.chars().filter(char::is_ascii_digit).count();
    figures > 0
        && cell
            .chars()
            .all(|c| c.is_ascii_digit() || "+-.,/: ".contains(c))
}

/// Gives every column a name: its own, its number where it has none, a number after a second.
fn name_columns(
    mut names: Vec<String>,
    rows: &[Row],
    notes: &mut Vec<String>,
) -> Result<Vec<String>, String> {
    while names.last().is_some_and(|name| name.trim().is_empty()) {
        names.pop();
    }
    let headed = names.len();
    let used = |row: &Row| {
        row.cells
            .iter()
            .rposition(|cell| !cell.trim().is_empty())
            .map_or(0, |at| at + 1)
    };
    let mut widths: Vec<usize> = rows.iter().map(used).collect();
    widths.sort_unstable();
    // Columns that at least half of the rows fill are columns, named or not.
    let usual = widths.get(widths.len() / 2).copied().unwrap_or(0);
    let widest = if headed == 0 {
        widths.last().copied().unwrap_or(0)
    } else {
        usual
    };
    names.resize(widest.max(headed), String::new());
    if names.is_empty() {
        return Err("The file has no columns. Choose the CSV file that holds the list.".to_owned());
    }
    let mut given: Vec<String> = Vec::with_capacity(names.len());
    let mut twice = Vec::new();
    let mut nameless = 0;
    for (at, name) in names.iter().enumerate() {
        let name = name.split_whitespace().collect::<Vec<_>>().join(" ");
        let own = if name.is_empty() {
            format!("Column {}", at + 1)
        } else {
            name.clone()
        };
        nameless += usize::from(name.is_empty() && headed > 0);
        let mut unique = own.clone();
        let mut copy = 2;
        while given
            .iter()
            .any(|before| before.eq_ignore_ascii_case(&unique))
        {
            unique = format!("{own} ({copy})");
            copy += 1;
        }
        if unique != own {
            twice.push(own);
        }
        given.push(unique);
    }
    if !twice.is_empty() {
        notes.push(format!(
            "Heading “{}” stands more than once: the later ones carry a number.",
            twice.join("”, “")
        ));
    }
    if nameless > 0 {
        notes.push(format!(
            "{nameless} of the columns have no heading: they carry their number."
        ));
    }
    Ok(given)
}

/// Makes every row as wide as the heading, or names why it is not.
fn fit_rows(rows: &mut [Row], width: usize) {
    for row in rows {
        let beyond = row
            .cells
            .iter()
            .skip(width)
            .any(|cell| !cell.trim().is_empty());
        if beyond {
            row.problem = Some(format!(
                "The row has {} cells and the heading {width}. Put quotation marks round a cell with the dividing sign in it, or take out the extra cell.",
                row.cells.len()
            ));
        }
        row.cells.resize(width, String::new());
    }
}

/// The last row of a file that ends without a line end, and is shorter than the others, was cut.
fn mark_cut_row(rows: &mut [Row], text: &str) {
    if text.ends_with(['\n', '\r']) || rows.len() < 2 {
        return;
    }
    let filled = |row: &Row| {
        row.cells
            .iter()
            .rposition(|cell| !cell.is_empty())
            .map_or(0, |at| at + 1)
    };
    let least = rows[..rows.len() - 1].iter().map(filled).min().unwrap_or(0);
    let Some(last) = rows.last_mut() else { return };
    if filled(last) < least {
        last.problem = Some("The file ends in the middle of this row. Save the sheet again, and choose the whole file.".to_owned());
    }
}
