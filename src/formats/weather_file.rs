//! A weather file of either kind, read into days: a table of days in any columns, or a station
//! file in the long form of GHCN-Daily. Which it is, the file itself says.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::csv::{self, Heading, Sheet};
use super::days::DayOrder;
use super::ghcn_daily::{self, Station, failed_check};
use super::weather_csv::{self, Column, DayRow, LAYOUT, Mapping, Unread};
use crate::domain::dates::{Day, parse_time};
use crate::domain::imports::ImportKind;
use crate::domain::weather::WeatherDays;
use crate::statistics::wording;

/// Refused rows listed singly; beyond them, only their number.
const MOST_LISTED: usize = 300;
/// Sources or stations of one file offered to choose from.
const MOST_WITHIN: usize = 200;

/// How an officer says a file is to be read.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct HowToRead {
    /// What each column holds; of a station file, nothing.
    pub columns: Vec<Option<Column>>,
    pub day_order: Option<DayOrder>,
    /// Which source or station of the file is meant, where it holds several.
    pub only: Option<String>,
    /// Its dates are those on which each period began already.
    pub credited: bool,
}

/// A file as far as it could be read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WeatherFile {
    /// Names of its columns, each with a few of its cells; empty for a station file.
    pub columns: Vec<(String, Vec<String>)>,
    /// Sources or stations in it, and how many rows or days each has.
    pub within: Vec<(String, usize)>,
    /// By the printed date.
    pub days: WeatherDays,
    /// The line on which each printed date stands; of a station file, whose days have several, none.
    pub lines: BTreeMap<Day, u64>,
    /// Rows that were not taken: their line, where it is known, and why. The first few hundred.
    pub refused: Vec<(Option<u64>, String)>,
    pub refused_count: usize,
    /// Single cells that could not be read: their figures stay gaps. The first few hundred.
    pub unread: Vec<Unread>,
    pub unread_count: usize,
    /// The local time at which the source's day ends, `HH:MM`, where the file states it.
    pub day_ends: Option<String>,
    /// What was made of oddities: shown, not refused.
    pub notes: Vec<String>,
    /// The question about its dates, if one is needed; answered or not.
    pub asks: Option<String>,
    /// What is still to be said before its days can be read.
    pub problems: Vec<String>,
}

impl WeatherFile {
    /// The names of the columns nothing is taken from, as `how` has it.
    pub fn columns_not_taken(&self, how: &HowToRead) -> Vec<&str> {
        let taken = |at: usize| how.columns.get(at).is_some_and(Option::is_some);
        self.columns
            .iter()
            .enumerate()
            .filter(|(at, _)| !taken(*at))
            .map(|(_, (name, _))| name.as_str())
            .collect()
    }

    fn refuse(&mut self, line: Option<u64>, sentence: String) {
        self.refused_count += 1;
        if self.refused.len() < MOST_LISTED {
            self.refused.push((line, sentence));
        }
    }
}

/// Which kind of file it is, by its first lines.
pub fn kind(bytes: &[u8]) -> ImportKind {
    let start = &bytes[..bytes.len().min(4_096)];
    let Ok((text, _)) = csv::decode(start) else {
        return ImportKind::Weather;
    };
    let long_form = |line: &str| {
        let cells: Vec<&str> = line
            .split(',')
            .map(|cell| cell.trim().trim_matches('"'))
            .collect();
        let figures = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
        matches!(cells.as_slice(), [_, date, element, value, _, _, _, ..]
            if date.len() == 8 && figures(date)
            && element.len() == 4 && element.bytes().all(|b| b.is_ascii_uppercase() || b.is_ascii_digit())
            && figures(value.trim_start_matches('-')))
    };
    match text.lines().take(3).any(long_form) {
        true => ImportKind::GhcnDaily,
        false => ImportKind::Weather,
    }
}

/// How a file is probably meant; an officer confirms it.
///
/// Errors: one sentence when it cannot be read at all.
pub fn guess(bytes: &[u8], kind: ImportKind) -> Result<HowToRead, String> {
    if kind == ImportKind::GhcnDaily {
        let file = ghcn_daily::read(bytes)?;
        return Ok(HowToRead {
            only: (file.stations.len() == 1)
                .then(|| file.stations.into_keys().next())
                .flatten(),
            ..HowToRead::default()
        });
    }
    let sheet = csv::read(bytes, Heading::Guess)?;
    let own = LAYOUT
        .iter()
        .zip(&sheet.header)
        .all(|(ours, theirs)| *ours == theirs.as_str());
    Ok(HowToRead {
        columns: weather_csv::guess(&sheet).columns,
        credited: own && sheet.header.len() >= LAYOUT.len(),
        ..HowToRead::default()
    })
}

/// Reads a file as an officer says. What is not said yet is among its `problems`, and then it
/// has no days.
///
/// Errors: one sentence when it cannot be read at all.
pub fn read(bytes: &[u8], kind: ImportKind, how: &HowToRead) -> Result<WeatherFile, String> {
    match kind {
        ImportKind::GhcnDaily => read_station(bytes, how),
        _ => read_table(bytes, how),
    }
}

fn read_table(bytes: &[u8], how: &HowToRead) -> Result<WeatherFile, String> {
    let mut sheet = csv::read(bytes, Heading::Guess)?;
    let mut mapping = Mapping {
        columns: how.columns.clone(),
        day_order: how.day_order,
    };
    mapping.columns.resize(sheet.header.len(), None);
    let mut file = WeatherFile {
        columns: samples(&sheet),
        notes: sheet.notes.clone(),
        ..WeatherFile::default()
    };
    let source = mapping
        .columns
        .iter()
        .position(|column| *column == Some(Column::Source));
    if let Some(at) = source {
        file.within = sources_within(&sheet, at);
        match (&how.only, file.within.len()) {
            (Some(only), _) => sheet.rows.retain(|row| row.cell(at).trim() == only),
            (None, 0 | 1) => {}
            (None, _) => {
                file.problems.push(SEVERAL.to_owned());
                return Ok(file);
            }
        }
    }
    match weather_csv::read(&sheet, &mapping) {
        Err(problems) => file.problems.extend(problems),
        Ok(read) => {
            file.asks = read.order.asks();
            if file.asks.is_some() && how.day_order.is_none() {
                file.problems.extend(file.asks.clone());
                return Ok(file);
            }
            file.unread_count = read.unread.len();
            file.unread = read.unread;
            file.unread.truncate(MOST_LISTED);
            for row in read.rows {
                match row {
                    DayRow::Understood { line, day, weather } => {
                        file.lines.insert(day, line);
                        file.days.insert(day, weather);
                    }
                    DayRow::Problem { line, sentences } => {
                        file.refuse(Some(line), sentences.join(" "));
                    }
                }
            }
        }
    }
    Ok(file)
}

const SEVERAL: &str = "The file holds the days of several sources. Say whose are meant.";

fn samples(sheet: &Sheet) -> Vec<(String, Vec<String>)> {
    let of = |at: usize| {
        let filled = sheet
            .cells(at)
            .map(str::trim)
            .filter(|cell| !cell.is_empty());
        filled
            .take(3)
            .map(|cell| cell.chars().take(40).collect())
            .collect()
    };
    sheet
        .header
        .iter()
        .enumerate()
        .map(|(at, name)| (name.clone(), of(at)))
        .collect()
}

fn sources_within(sheet: &Sheet, at: usize) -> Vec<(String, usize)> {
    let mut found: Vec<(String, usize)> = Vec::new();
    for cell in sheet
        .cells(at)
        .map(str::trim)
        .filter(|cell| !cell.is_empty())
    {
        match found.iter().position(|(name, _)| name == cell) {
            Some(at) => found[at].1 += 1,
            None if found.len() < MOST_WITHIN => found.push((cell.to_owned(), 1)),
            None => {}
        }
    }
    found
}

fn read_station(bytes: &[u8], how: &HowToRead) -> Result<WeatherFile, String> {
    let mut read = ghcn_daily::read(bytes)?;
    let mut file = WeatherFile {
        within: read
            .stations
            .iter()
            .map(|(id, station)| (id.clone(), station.days.len()))
            .collect(),
        ..WeatherFile::default()
    };
    let meant = match &how.only {
        Some(only) => Some(only.clone()),
        None if read.stations.len() == 1 => read.stations.keys().next().cloned(),
        None => None,
    };
    let Some(station) = meant.and_then(|id| read.stations.remove(&id)) else {
        file.problems.push(
            "The file holds the days of several stations. Say which one is meant.".to_owned(),
        );
        return Ok(file);
    };
    for (line, sentence) in read.problems {
        file.refuse(Some(line), sentence);
    }
    file.refused_count = file.refused_count.max(read.problem_count);
    for sentence in &station.refused {
        file.refuse(None, sentence.clone());
    }
    file.day_ends = station.day_ends.as_deref().and_then(clock);
    file.notes = station_notes(&station, file.day_ends.as_deref());
    file.days = station.days;
    Ok(file)
}

/// `09:00` of `0900`, and `24:00` of `2400`; `None` of what is no hour of a day.
fn clock(hhmm: &str) -> Option<String> {
    if hhmm.len() != 4 || !hhmm.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    let clock = format!("{}:{}", &hhmm[..2], &hhmm[2..]);
    (clock == "24:00" || parse_time(&clock).is_some()).then_some(clock)
}

/// What was made of flags and elements, a sentence each.
fn station_notes(station: &Station, day_ends: Option<&str>) -> Vec<String> {
    let mut notes = Vec::new();
    let list = |counts: &BTreeMap<String, usize>| {
        let each = counts.iter().map(|(name, count)| format!("{name} {count}"));
        each.collect::<Vec<_>>().join(", ")
    };
    if !station.failed.is_empty() {
        let each = station.failed.iter().map(|(flag, count)| {
            let values = wording::count(*count, "value", "values");
            format!("{} ({flag}), {values}", failed_check(*flag))
        });
        notes.push(format!(
            "Left out, with why in the words of the published description of GHCN-Daily (National Centers for Environmental Information): {}.",
            each.collect::<Vec<_>>().join("; ")
        ));
    }
    if station.presumed > 0 {
        notes.push(format!(
            "{} marked “missing, presumed zero” and taken as nought.",
            match station.presumed {
                1 => "1 amount is".to_owned(),
                n => format!("{n} amounts are"),
            }
        ));
    }
    if station.fastest_bearing > 0 {
        notes.push(format!(
            "On {} {} the wind’s bearing is that of its fastest minutes, because no mean is given.",
            station.fastest_bearing,
            if station.fastest_bearing == 1 {
                "day"
            } else {
                "days"
            }
        ));
    }
    if !station.left_out.is_empty() {
        notes.push(format!(
            "Elements that are not kept here, with how many values of each: {}.",
            list(&station.left_out)
        ));
    }
    if let Some(time) = day_ends {
        let before = match mostly_the_day_before(time) {
            true => " Most of that rain fell on the day before the printed date.",
            false => "",
        };
        notes.push(format!(
            "Its rain is mostly read at {time} local time: that is when its day ends.{before}"
        ));
    }
    notes
}

/// A day that ends before noon, `HH:MM`, has more of its hours on the date before the printed one.
pub fn mostly_the_day_before(day_ends: &str) -> bool {
    ("00:01".."12:00").contains(&day_ends)
}
