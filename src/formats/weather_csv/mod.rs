//! Weather of days from CSV: the app's own layout, and any other by a mapping of its columns.
//!
//! The app's own layout, one row a day: `date` (2026-03-29), `min_c` and `max_c` (°C), `rain_mm`
//! (mm, or `trace`), `wind_ms` (mean, m/s), `wind_from` (degrees or points it comes from, or
//! `var`), `pressure_hpa` (at mean sea level), `cloud` (clear, broken, overcast), `snow` (none,
//! fell, lying), `ice` (none, edges, part, all). An empty cell, `-` or `NA` is a gap, never zero.

use std::collections::BTreeMap;

use super::csv::{Row, Sheet};
use super::days::{DayOrder, OrderFound, find_order, read_day};
use crate::domain::dates::Day;
use crate::domain::units::quoted;
use crate::domain::weather::typed::{self, TypedRain, WeatherProblem};
use crate::domain::weather::units::TemperatureUnit;
use crate::domain::weather::{Cloud, DailyWeather, Ice, Snow};

mod columns; // what each column holds
mod credit; // to which date a source's figures count
mod layout; // the app's own layout, written

pub use columns::{Column, Mapping, guess};
pub use credit::{Shifts, credit};
pub use layout::{EXPORT, LAYOUT, SourceCells, WHAT_STANDS, export_row, layout_row};

/// One row, understood or not.
#[derive(Clone, Debug, PartialEq)]
pub enum DayRow {
    Understood {
        line: u64,
        day: Day,
        weather: DailyWeather,
    },
    Problem {
        line: u64,
        sentences: Vec<String>,
    },
}

/// One cell that could not be read, in a row that could.
#[derive(Clone, Debug, PartialEq)]
pub struct Unread {
    pub line: u64,
    /// The name of its column.
    pub column: String,
    pub sentence: String,
}

/// A row as it was understood, with the cells of it that were not.
struct ReadRow {
    day: Day,
    weather: DailyWeather,
    unread: Vec<Unread>,
}

/// A weather file as far as it could be read.
#[derive(Clone, Debug, PartialEq)]
pub struct WeatherRead {
    /// In the order of the file; rows without any figure are left out.
    pub rows: Vec<DayRow>,
    /// Single cells of days understood that could not be read: each figure stays a gap.
    pub unread: Vec<Unread>,
    pub order: OrderFound,
}

impl WeatherRead {
    /// The days understood.
    pub fn days(&self) -> impl Iterator<Item = (Day, &DailyWeather)> {
        self.rows.iter().filter_map(|row| match row {
            DayRow::Understood { day, weather, .. } => Some((*day, weather)),
            DayRow::Problem { .. } => None,
        })
    }

    pub fn problems(&self) -> usize {
        self.rows
            .iter()
            .filter(|row| matches!(row, DayRow::Problem { .. }))
            .count()
    }
}

/// Reads a sheet with its mapping.
///
/// Errors: problems of the mapping itself (no date, an element twice, nothing else), a sentence each.
pub fn read(sheet: &Sheet, mapping: &Mapping) -> Result<WeatherRead, Vec<String>> {
    let date = check(mapping)?;
    let order = find_order(sheet.cells(date));
    let settled = order.settled(mapping.day_order);
    let mut seen: BTreeMap<Day, (u64, DailyWeather)> = BTreeMap::new();
    let (mut rows, mut unread) = (Vec::new(), Vec::new());
    for row in sheet.rows.iter().filter(|row| !row.is_empty()) {
        let read = read_row(row, sheet, mapping, (date, settled))
            .and_then(|read| once(&mut seen, row.line, read));
        match read {
            Ok(read) => {
                unread.extend(read.unread);
                if !read.weather.is_empty() {
                    rows.push(DayRow::Understood {
                        line: row.line,
                        day: read.day,
                        weather: read.weather,
                    });
                }
            }
            Err(sentences) => rows.push(DayRow::Problem {
                line: row.line,
                sentences,
            }),
        }
    }
    Ok(WeatherRead {
        rows,
        unread,
        order,
    })
}

fn check(mapping: &Mapping) -> Result<usize, Vec<String>> {
    let mut problems = Vec::new();
    let mut elements = Vec::new();
    for column in mapping.columns.iter().flatten() {
        if elements.contains(&column.element()) {
            problems.push(format!(
                "Two columns are said to hold the {}. Choose one.",
                column.element()
            ));
        }
        elements.push(column.element());
    }
    if mapping
        .columns
        .iter()
        .flatten()
        .all(|column| matches!(column, Column::Date | Column::Source))
    {
        problems.push(
            "No column is said to hold any weather. Say what at least one of them holds."
                .to_owned(),
        );
    }
    match mapping
        .columns
        .iter()
        .position(|column| *column == Some(Column::Date))
    {
        None => {
            problems.push("No column is said to hold the date. Say which one does.".to_owned());
            Err(problems)
        }
        Some(date) if problems.is_empty() => Ok(date),
        Some(_) => Err(problems),
    }
}

/// A day that stands twice is taken once when both rows agree, else the later is a problem.
fn once(
    seen: &mut BTreeMap<Day, (u64, DailyWeather)>,
    line: u64,
    read: ReadRow,
) -> Result<ReadRow, Vec<String>> {
    match seen.get(&read.day) {
        Some((_, before)) if *before == read.weather => Ok(ReadRow {
            weather: DailyWeather::default(),
            ..read
        }),
        Some((first, _)) => Err(vec![format!(
            "{} stands on line {first} already, with other figures. Take out one of the two.",
            read.day.short()
        )]),
        None => {
            seen.insert(read.day, (line, read.weather));
            Ok(read)
        }
    }
}

/// Reads one row. A cell that cannot be read leaves a gap, as long as another figure of the day
/// can; without a date, or with a low above its high, nothing of the row is taken.
fn read_row(
    row: &Row,
    sheet: &Sheet,
    mapping: &Mapping,
    (date, order): (usize, Option<DayOrder>),
) -> Result<ReadRow, Vec<String>> {
    if let Some(problem) = &row.problem {
        return Err(vec![problem.clone()]);
    }
    let mut problems = Vec::new();
    let day = read_day(row.cell(date), order)
        .map_err(|sentence| problems.push(sentence))
        .ok();
    let mut weather = DailyWeather::default();
    let mut unread = Vec::new();
    for (at, column) in mapping.columns.iter().enumerate() {
        let cell = row.cell(at).trim();
        let Some(column) = column.filter(|_| !is_gap(cell)) else {
            continue;
        };
        if let Err(sentence) = read_cell(&mut weather, column, cell) {
            unread.push(Unread {
                line: row.line,
                column: sheet.header.get(at).cloned().unwrap_or_default(),
                sentence,
            });
        }
    }
    if let Err(problem) = typed::low_and_high(weather.min_c, weather.max_c) {
        let own = own_low_and_high(row, mapping);
        let ours = || match (weather.min_c, weather.max_c) {
            (Some(low), Some(high)) => format!(
                " ({} and {})",
                TemperatureUnit::Celsius.show(low),
                TemperatureUnit::Celsius.show(high)
            ),
            _ => String::new(),
        };
        problems.push(match own {
            Some((low, high)) => typed::low_above_high(&low, &format!("{high}{}", ours())),
            None => problem.to_string(),
        });
    }
    match day {
        Some(day) if problems.is_empty() && (unread.is_empty() || !weather.is_empty()) => {
            Ok(ReadRow {
                day,
                weather,
                unread,
            })
        }
        _ => {
            problems.extend(unread.into_iter().map(|cell| cell.sentence));
            Err(problems)
        }
    }
}

/// A row's low and high as it has them, with their units, where those are not both ours.
fn own_low_and_high(row: &Row, mapping: &Mapping) -> Option<(String, String)> {
    let written = |at: usize, unit: TemperatureUnit| {
        let cell = row.cell(at).trim();
        let bare = cell.ends_with(|c: char| c.is_ascii_digit());
        match bare {
            true => format!("{cell} {}", unit.label()),
            false => cell.to_owned(),
        }
    };
    let (mut low, mut high) = (None, None);
    for (at, column) in mapping.columns.iter().enumerate() {
        match column {
            Some(Column::Min(unit)) => low = Some(written(at, *unit)),
            Some(Column::Max(unit)) => high = Some(written(at, *unit)),
            _ => {}
        }
    }
    let ours = |words: &String| words.ends_with(TemperatureUnit::Celsius.label());
    low.zip(high)
        .filter(|(low, high)| !(ours(low) && ours(high)))
}

/// How files mark that nothing was observed. `-9999` and `-999` are customary in station files.
fn is_gap(cell: &str) -> bool {
    matches!(
        cell.to_ascii_lowercase().as_str(),
        "" | "-"
            | "--"
            | "–"
            | "—"
            | "na"
            | "n/a"
            | "nan"
            | "null"
            | "none recorded"
            | "missing"
            | "-999"
            | "-999.0"
            | "-9999"
    )
}

fn read_cell(weather: &mut DailyWeather, column: Column, cell: &str) -> Result<(), String> {
    let say = |problem: WeatherProblem| problem.to_string();
    match column {
        Column::Date | Column::Source => {}
        Column::Min(unit) => weather.min_c = typed::temperature(cell, unit).map_err(say)?,
        Column::Max(unit) => weather.max_c = typed::temperature(cell, unit).map_err(say)?,
        Column::Rain(unit) => match typed::rain(cell, unit).map_err(say)? {
            Some(TypedRain::Millimetres(mm)) => weather.rain_mm = Some(mm),
            Some(TypedRain::Trace) => (weather.rain_mm, weather.rain_trace) = (Some(0.0), true),
            None => {}
        },
        Column::Wind(unit) => weather.wind_ms = typed::wind_speed(cell, unit).map_err(say)?,
        Column::WindFrom => weather.wind_from = typed::wind_from(cell).map_err(say)?,
        Column::Pressure(unit) => {
            weather.pressure_hpa = typed::pressure(cell, unit).map_err(say)?
        }
        Column::Cloud => {
            weather.cloud = Some(word(cell, Cloud::from_slug, "clear, broken or overcast")?)
        }
        Column::Snow => weather.snow = Some(word(cell, Snow::from_slug, "none, fell or lying")?),
        Column::Ice => weather.ice = Some(word(cell, Ice::from_slug, "none, edges, part or all")?),
    }
    Ok(())
}

fn word<T>(cell: &str, from_slug: fn(&str) -> Option<T>, words: &str) -> Result<T, String> {
    from_slug(&cell.to_lowercase()).ok_or_else(|| {
        format!(
            "{} is not one of the words {words}. Use one of them, or leave it empty.",
            quoted(cell)
        )
    })
}
