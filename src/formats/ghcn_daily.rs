//! GHCN-Daily (NOAA National Centers for Environmental Information) in its long per-day CSV
//! form: one line a station, day and element, without a heading:
//! `ID, YYYYMMDD, ELEMENT, VALUE, M-FLAG, Q-FLAG, S-FLAG, OBS-TIME`.
//!
//! Units and flags by the published description (readme of GHCN-Daily and of its by-year
//! files): PRCP in tenths of a millimetre; SNOW, SNWD in mm; TMAX, TMIN in tenths of a degree
//! Celsius; AWND in tenths of a metre a second; AWDR, WDF2, WDF5 in degrees. A quality flag that
//! is not blank means the value failed a check: dropped. Measurement flag T is a trace, P
//! "missing presumed zero". MDPR, DAPR and their like are totals over several days, which cannot
//! be divided: refused, by name. -9999 is missing.

use std::collections::BTreeMap;

use super::csv::decode;
use super::days::read_day;
use crate::domain::dates::Day;
use crate::domain::units::quoted;
use crate::domain::weather::{DailyWeather, Snow, WindFrom};

/// The most lines of one file: a station of eight elements over two centuries.
pub const MOST_LINES: usize = 600_000;

/// Problems listed singly; beyond them, only their number.
const MOST_PROBLEMS: usize = 200;

/// Elements that are totals or extremes over several days, or count those days.
const SEVERAL_DAYS: [&str; 13] = [
    "DAEV", "DAPR", "DASF", "DATN", "DATX", "DAWM", "DWPR", "MDEV", "MDPR", "MDSF", "MDTN", "MDTX",
    "MDWM",
];

/// What was read for one station.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Station {
    /// By the printed date.
    pub days: BTreeMap<Day, DailyWeather>,
    /// Values dropped for their quality flag, by flag.
    pub failed: BTreeMap<char, usize>,
    /// Amounts marked "missing presumed zero", taken as nought.
    pub presumed: usize,
    /// Days whose wind bearing is that of the fastest two minutes or five seconds (WDF2, WDF5),
    /// for want of the mean (AWDR).
    pub fastest_bearing: usize,
    /// Totals over several days that were refused, in words.
    pub refused: Vec<String>,
    /// Elements that Peglore does not keep, and how many values of each.
    pub left_out: BTreeMap<String, usize>,
    /// When the observer's day ends, HHMM local time, where rain states it: the commonest.
    pub day_ends: Option<String>,
}

/// A file as far as it could be read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ghcn {
    /// By identifier of the station.
    pub stations: BTreeMap<String, Station>,
    /// Lines that could not be read: line number and sentence; the first few hundred.
    pub problems: Vec<(u64, String)>,
    /// All of them.
    pub problem_count: usize,
}

impl Ghcn {
    fn problem(&mut self, line: u64, sentence: String) {
        self.problem_count += 1;
        if self.problems.len() < MOST_PROBLEMS {
            self.problems.push((line, sentence));
        }
    }
}

/// What a quality flag says, in the words of the published description (readme of GHCN-Daily,
/// QFLAG1; National Centers for Environmental Information).
pub fn failed_check(flag: char) -> &'static str {
    match flag {
        'D' => "failed duplicate check",
        'G' => "failed gap check",
        'I' => "failed internal consistency check",
        'K' => "failed streak/frequent-value check",
        'L' => "failed check on length of multiday period",
        'M' => "failed megaconsistency check",
        'N' => "failed naught check",
        'O' => "failed climatological outlier check",
        'R' => "failed lagged range check",
        'S' => "failed spatial consistency check",
        'T' => "failed temporal consistency check",
        'W' => "temperature too warm for snow",
        'X' => "failed bounds check",
        'Z' => "flagged as a result of an official Datzilla investigation",
        _ => "failed a check that the description does not name",
    }
}

/// The elements that are kept.
const KEPT: [&str; 9] = [
    "PRCP", "SNOW", "SNWD", "TMAX", "TMIN", "AWND", "AWDR", "WDF2", "WDF5",
];

/// A value that passed.
#[derive(Clone, Copy)]
struct Value {
    line: u64,
    number: i64,
    trace: bool,
}

/// A file half read. Its values lie by station, day and element: a file holds hundreds of
/// thousands, so a station stands here by its place and an element by its own name.
#[derive(Default)]
struct Reading {
    ghcn: Ghcn,
    places: BTreeMap<String, usize>,
    stations: Vec<Station>,
    values: BTreeMap<(usize, Day, &'static str), Value>,
    /// How often each hour of reading rain is stated, by station.
    times: BTreeMap<usize, BTreeMap<String, usize>>,
}

impl Reading {
    /// The place of a station, made on its first line.
    fn place(&mut self, id: &str) -> usize {
        if let Some(at) = self.places.get(id) {
            return *at;
        }
        self.stations.push(Station::default());
        let at = self.stations.len() - 1;
        self.places.insert(id.to_owned(), at);
        at
    }

    fn done(mut self) -> Ghcn {
        for (at, seen) in std::mem::take(&mut self.times) {
            let commonest = seen.into_iter().max_by_key(|(_, count)| *count);
            self.stations[at].day_ends = commonest.map(|(time, _)| time);
        }
        self.keep();
        for (id, at) in self.places {
            let station = std::mem::take(&mut self.stations[at]);
            self.ghcn.stations.insert(id, station);
        }
        self.ghcn
    }
}

/// Reads the file.
///
/// Errors: one sentence when it is not in this form at all.
pub fn read(bytes: &[u8]) -> Result<Ghcn, String> {
    let (text, _) = decode(bytes)?;
    refuse_other_forms(&text)?;
    let mut reading = Reading::default();
    for (line, text) in (1_u64..).zip(text.lines()) {
        if line as usize > MOST_LINES {
            return Err(format!(
                "The file has more than {MOST_LINES} lines. Take one station, or divide it by year."
            ));
        }
        if text.trim().is_empty() || line == 1 && is_heading(text) {
            continue;
        }
        if let Err(sentence) = read_line(text, line, &mut reading) {
            reading.ghcn.problem(line, sentence);
        }
    }
    if reading.stations.is_empty() {
        return Err(match reading.ghcn.problems.first() {
            Some((line, sentence)) => {
                format!("No line could be read as GHCN-Daily. Line {line}: {sentence}")
            }
            None => "The file has no lines.".to_owned(),
        });
    }
    Ok(reading.done())
}

fn is_heading(line: &str) -> bool {
    let lower = line.to_ascii_lowercase();
    lower.contains("element") && lower.contains("date")
}

fn refuse_other_forms(text: &str) -> Result<(), String> {
    let first = text.lines().next().unwrap_or_default();
    if first.to_ascii_uppercase().contains("_ATTRIBUTES")
        || first.to_ascii_uppercase().contains("STATION") && first.contains("LATITUDE")
    {
        return Err("This is the wide form, one row a day with a column an element. Use the long form, one line a day and element (the by-station or by-year files), or bring it in as any other weather CSV.".to_owned());
    }
    if !first.contains(',') && first.len() > 200 {
        return Err("This is the fixed-width form. Use the CSV form, one line a day and element (the by-station or by-year files).".to_owned());
    }
    Ok(())
}

fn read_line(text: &str, line: u64, reading: &mut Reading) -> Result<(), String> {
    let cells: Vec<&str> = text
        .split(',')
        .map(|cell| cell.trim().trim_matches('"').trim())
        .collect();
    let [
        id,
        date,
        element,
        value,
        measured,
        quality,
        _source,
        rest @ ..,
    ] = cells.as_slice()
    else {
        return Err("It has fewer than seven cells; a line holds station, date, element, value and three flags.".to_owned());
    };
    if id.is_empty()
        || id.len() > 11
        || !id
            .bytes()
            .all(|b| b.is_ascii_alphanumeric() || b == b'_' || b == b'-')
    {
        return Err(format!(
            "{} is not the identifier of a station: eleven letters and figures.",
            quoted(id)
        ));
    }
    let day = match date.len() {
        8 => read_day(date, None)?,
        _ => return Err(format!("{} is not a date like 20260329.", quoted(date))),
    };
    let number: i64 = value
        .parse()
        .map_err(|_| format!("{} is not a whole number.", quoted(value)))?;
    let at = reading.place(id);
    let station = &mut reading.stations[at];
    if number == -9999 {
        return Ok(());
    }
    if let Some(flag) = quality.chars().next() {
        *station.failed.entry(flag).or_default() += 1;
        return Ok(());
    }
    if SEVERAL_DAYS.contains(element) {
        refuse(station, day, element, number);
        return Ok(());
    }
    let Some(element) = KEPT.into_iter().find(|kept| kept == element) else {
        *station.left_out.entry((*element).to_owned()).or_default() += 1;
        return Ok(());
    };
    check_range(element, number)?;
    let amount = matches!(element, "PRCP" | "SNOW" | "SNWD");
    station.presumed += usize::from(amount && *measured == "P");
    if element == "PRCP"
        && let Some(time) = rest.first().filter(|time| time.len() == 4)
    {
        let times = reading.times.entry(at).or_default();
        *times.entry((*time).to_owned()).or_default() += 1;
    }
    let value = Value {
        line,
        number,
        trace: amount && *measured == "T",
    };
    let before = *reading.values.entry((at, day, element)).or_insert(value);
    match before.number == value.number && before.trace == value.trace {
        true => Ok(()),
        false => Err(format!(
            "{element} of {day} stands on line {} already, with another value.",
            before.line
        )),
    }
}

fn refuse(station: &mut Station, day: Day, element: &str, number: i64) {
    let words = match element {
        "MDPR" => format!(
            "{day}: {:.1} mm of rain over several days (MDPR) cannot be given to one day; rain stays unknown.",
            number as f64 / 10.0
        ),
        "DAPR" => format!(
            "{day}: the amount measured is the rain of {number} days (DAPR) and cannot be given to one day."
        ),
        other => format!("{day}: {other} is over several days and cannot be given to one day."),
    };
    station.refused.push(words);
}

/// Ranges within which the record keeps a day's values.
fn check_range(element: &str, number: i64) -> Result<(), String> {
    let (least, most, what) = match element {
        "TMAX" | "TMIN" => (-600, 600, "a temperature in tenths of °C"),
        "PRCP" => (0, 10_000, "rain in tenths of a millimetre"),
        "SNOW" | "SNWD" => (0, 20_000, "snow in millimetres"),
        "AWND" => (0, 750, "wind in tenths of a metre a second"),
        _ => (0, 360, "a bearing in degrees"),
    };
    match (least..=most).contains(&number) {
        true => Ok(()),
        false => Err(format!("{number} cannot be {what} ({element}).")),
    }
}

impl Reading {
    /// Makes days of the values, which come out of the map day by day.
    fn keep(&mut self) {
        let mut values = std::mem::take(&mut self.values).into_iter().peekable();
        while let Some(((at, day, element), value)) = values.next() {
            let mut elements = vec![(element, value)];
            let same = |next: &((usize, Day, &str), Value)| (next.0.0, next.0.1) == (at, day);
            while let Some(((_, _, element), value)) = values.next_if(same) {
                elements.push((element, value));
            }
            let (mut weather, fastest) = daily(&elements);
            let both = weather.min_c.zip(weather.max_c);
            if both.is_some_and(|(min, max)| min > max) {
                let line = elements.iter().map(|(_, value)| value.line).min();
                self.ghcn.problem(
                    line.unwrap_or(0),
                    format!("On {day} TMIN is above TMAX; both are left out."),
                );
                (weather.min_c, weather.max_c) = (None, None);
            }
            let station = &mut self.stations[at];
            station.fastest_bearing += usize::from(fastest);
            if !weather.is_empty() {
                station.days.insert(day, weather);
            }
        }
    }
}

/// The values of one day in the units of the record, and whether the bearing is the fastest wind's.
fn daily(elements: &[(&str, Value)]) -> (DailyWeather, bool) {
    let value = |name: &str| {
        let found = elements.iter().find(|(element, _)| *element == name);
        found.map(|(_, value)| *value)
    };
    let tenths = |name: &str| value(name).map(|v| v.number as f64 / 10.0);
    let bearing = |name: &str| value(name).map(|v| WindFrom::degrees(v.number as f64));
    let mean = bearing("AWDR");
    let fastest = bearing("WDF2").or_else(|| bearing("WDF5"));
    let fell = value("SNOW").map(|v| v.number > 0 || v.trace);
    let lying = value("SNWD").map(|v| v.number > 0 || v.trace);
    let weather = DailyWeather {
        min_c: tenths("TMIN"),
        max_c: tenths("TMAX"),
        rain_mm: tenths("PRCP"),
        rain_trace: value("PRCP").is_some_and(|v| v.trace && v.number == 0),
        wind_ms: tenths("AWND"),
        wind_from: mean.or(fastest),
        snow: match (fell, lying) {
            (_, Some(true)) => Some(Snow::Lying),
            (Some(true), _) => Some(Snow::Fell),
            (Some(false), Some(false)) => Some(Snow::None),
            _ => None,
        },
        ..DailyWeather::default()
    };
    (weather, mean.is_none() && fastest.is_some())
}
