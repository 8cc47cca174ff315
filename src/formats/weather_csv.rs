//! Weather of days from CSV: the app's own layout, and any other by a mapping of its columns.
//!
//! The app's own layout, one row a day: `date` (2026-03-29), `min_c` and `max_c` (°C), `rain_mm`
//! (mm, or `trace`), `wind_ms` (mean, m/s), `wind_from` (degrees or points it comes from, or
//! `var`), `pressure_hpa` (at mean sea level), `cloud` (clear, broken, overcast), `snow` (none,
//! fell, lying), `ice` (none, edges, part, all). An empty cell, `-` or `NA` is a gap, never zero.

use std::collections::BTreeMap;
use std::fmt;

use serde::{Deserialize, Serialize};

use super::csv::{Row, Sheet};
use super::days::{DayOrder, OrderFound, find_order, read_day};
use crate::domain::dates::Day;
use crate::domain::units::quoted;
use crate::domain::weather::typed::{self, TypedRain, WeatherProblem};
use crate::domain::weather::units::{PressureUnit, RainUnit, SpeedUnit, TemperatureUnit};
use crate::domain::weather::{Cloud, DailyWeather, Ice, Snow, WeatherDays, WindFrom};

/// The heading of the app's own layout.
pub const LAYOUT: [&str; 10] = [
    "date",
    "min_c",
    "max_c",
    "rain_mm",
    "wind_ms",
    "wind_from",
    "pressure_hpa",
    "cloud",
    "snow",
    "ice",
];

/// What a column holds, and in which unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "element", content = "unit", rename_all = "kebab-case")]
pub enum Column {
    Date,
    Min(TemperatureUnit),
    Max(TemperatureUnit),
    Rain(RainUnit),
    Wind(SpeedUnit),
    WindFrom,
    Pressure(PressureUnit),
    Cloud,
    Snow,
    Ice,
}

impl Column {
    /// Every column a form may offer.
    pub fn all() -> Vec<Self> {
        let mut all = vec![Self::Date];
        all.extend(TemperatureUnit::ALL.iter().map(|u| Self::Min(*u)));
        all.extend(TemperatureUnit::ALL.iter().map(|u| Self::Max(*u)));
        all.extend(RainUnit::ALL.iter().map(|u| Self::Rain(*u)));
        all.extend(SpeedUnit::ALL.iter().map(|u| Self::Wind(*u)));
        all.push(Self::WindFrom);
        all.extend(PressureUnit::ALL.iter().map(|u| Self::Pressure(*u)));
        all.extend([Self::Cloud, Self::Snow, Self::Ice]);
        all
    }

    /// The word in forms: `min-c`, `rain-in`, `date`.
    pub fn slug(self) -> String {
        match self {
            Self::Date => "date".to_owned(),
            Self::Min(unit) => format!("min-{}", unit.slug()),
            Self::Max(unit) => format!("max-{}", unit.slug()),
            Self::Rain(unit) => format!("rain-{}", unit.slug()),
            Self::Wind(unit) => format!("wind-{}", unit.slug()),
            Self::WindFrom => "wind-from".to_owned(),
            Self::Pressure(unit) => format!("pressure-{}", unit.slug()),
            Self::Cloud => "cloud".to_owned(),
            Self::Snow => "snow".to_owned(),
            Self::Ice => "ice".to_owned(),
        }
    }

    pub fn from_slug(slug: &str) -> Option<Self> {
        Self::all().into_iter().find(|column| column.slug() == slug)
    }

    /// What it is, its unit apart: no two columns of a mapping may hold the same.
    pub fn element(self) -> &'static str {
        match self {
            Self::Date => "date",
            Self::Min(_) => "lowest temperature",
            Self::Max(_) => "highest temperature",
            Self::Rain(_) => "rain",
            Self::Wind(_) => "mean wind speed",
            Self::WindFrom => "where the wind came from",
            Self::Pressure(_) => "pressure at sea level",
            Self::Cloud => "cloud",
            Self::Snow => "snow",
            Self::Ice => "ice",
        }
    }
}

impl fmt::Display for Column {
    /// `rain, mm`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let unit = match self {
            Self::Min(unit) | Self::Max(unit) => unit.label(),
            Self::Rain(unit) => unit.label(),
            Self::Wind(unit) => unit.label(),
            Self::Pressure(unit) => unit.label(),
            _ => return f.write_str(self.element()),
        };
        write!(f, "{}, {unit}", self.element())
    }
}

/// What each column of a sheet holds, left to right, and how its dates are written.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Mapping {
    pub columns: Vec<Option<Column>>,
    pub day_order: Option<DayOrder>,
}

/// A mapping guessed from the names of the columns; an officer confirms it.
pub fn guess(sheet: &Sheet) -> Mapping {
    let mut columns: Vec<Option<Column>> = Vec::new();
    for name in &sheet.header {
        let found = guess_column(name).filter(|column| {
            !columns
                .iter()
                .flatten()
                .any(|c: &Column| c.element() == column.element())
        });
        columns.push(found);
    }
    Mapping {
        columns,
        day_order: None,
    }
}

fn guess_column(name: &str) -> Option<Column> {
    let lower = name.to_lowercase();
    let words: Vec<&str> = lower
        .split(|c: char| !c.is_alphanumeric() && c != '°')
        .filter(|w| !w.is_empty())
        .collect();
    let has = |any: &[&str]| words.iter().any(|word| any.contains(word));
    let temperature = if has(&["f", "°f", "fahrenheit", "degf"]) {
        TemperatureUnit::Fahrenheit
    } else {
        TemperatureUnit::Celsius
    };
    if has(&[
        "gust", "gusts", "maxgust", "humidity", "grass", "ground", "soil", "dew", "station",
        "depth",
    ]) {
        return None;
    }
    if has(&["date", "day", "datum"]) {
        return Some(Column::Date);
    }
    if has(&["rain", "rainfall", "precipitation", "precip", "prcp"]) {
        return Some(Column::Rain(if has(&["in", "inch", "inches"]) {
            RainUnit::Inches
        } else {
            RainUnit::Millimetres
        }));
    }
    if has(&[
        "direction",
        "dir",
        "bearing",
        "from",
        "winddir",
        "winddirection",
    ]) {
        return Some(Column::WindFrom);
    }
    if has(&["wind", "windspeed", "wspd"]) && !has(&["max", "maximum", "highest"]) {
        return Some(Column::Wind(speed_unit(&lower, &has)));
    }
    if has(&["pressure", "mslp", "barometer", "pres", "hpa", "slp"]) {
        return Some(Column::Pressure(match () {
            () if has(&["inhg", "in"]) => PressureUnit::InchesOfMercury,
            () if has(&["mmhg"]) => PressureUnit::MillimetresOfMercury,
            () => PressureUnit::Hectopascals,
        }));
    }
    if has(&["min", "minimum", "tmin", "low", "lowest"]) {
        return Some(Column::Min(temperature));
    }
    if has(&["max", "maximum", "tmax", "high", "highest"]) {
        return Some(Column::Max(temperature));
    }
    [
        (Column::Cloud, "cloud"),
        (Column::Snow, "snow"),
        (Column::Ice, "ice"),
    ]
    .into_iter()
    .find_map(|(column, word)| has(&[word]).then_some(column))
}

/// Metres a second unless the name says otherwise.
fn speed_unit(name: &str, has: &dyn Fn(&[&str]) -> bool) -> SpeedUnit {
    if has(&["mph"]) {
        SpeedUnit::MilesPerHour
    } else if has(&["kmh", "kph"]) || name.contains("km/h") {
        SpeedUnit::KilometresPerHour
    } else if has(&["kn", "kt", "kts", "knots"]) {
        SpeedUnit::Knots
    } else {
        SpeedUnit::MetresPerSecond
    }
}

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

/// A weather file as far as it could be read.
#[derive(Clone, Debug, PartialEq)]
pub struct WeatherRead {
    /// In the order of the file; rows without any figure are left out.
    pub rows: Vec<DayRow>,
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
    let mut rows = Vec::new();
    for row in sheet.rows.iter().filter(|row| !row.is_empty()) {
        let read = read_row(row, mapping, date, settled)
            .and_then(|(day, weather)| once(&mut seen, row.line, day, weather));
        match read {
            Ok((day, weather)) if !weather.is_empty() => rows.push(DayRow::Understood {
                line: row.line,
                day,
                weather,
            }),
            Ok(_) => {}
            Err(sentences) => rows.push(DayRow::Problem {
                line: row.line,
                sentences,
            }),
        }
    }
    Ok(WeatherRead { rows, order })
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
    if elements.iter().all(|element| *element == "date") {
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
    day: Day,
    weather: DailyWeather,
) -> Result<(Day, DailyWeather), Vec<String>> {
    match seen.get(&day) {
        Some((_, before)) if *before == weather => Ok((day, DailyWeather::default())),
        Some((first, _)) => Err(vec![format!(
            "{} stands on line {first} already, with other figures. Take out one of the two.",
            day.short()
        )]),
        None => {
            seen.insert(day, (line, weather));
            Ok((day, weather))
        }
    }
}

fn read_row(
    row: &Row,
    mapping: &Mapping,
    date: usize,
    order: Option<DayOrder>,
) -> Result<(Day, DailyWeather), Vec<String>> {
    if let Some(problem) = &row.problem {
        return Err(vec![problem.clone()]);
    }
    let mut problems = Vec::new();
    let day = read_day(row.cell(date), order)
        .map_err(|sentence| problems.push(sentence))
        .ok();
    let mut weather = DailyWeather::default();
    for (at, column) in mapping.columns.iter().enumerate() {
        let cell = row.cell(at).trim();
        let Some(column) = column.filter(|_| !is_gap(cell)) else {
            continue;
        };
        if let Err(sentence) = read_cell(&mut weather, column, cell) {
            problems.push(sentence);
        }
    }
    if let Err(problem) = typed::low_and_high(weather.min_c, weather.max_c) {
        problems.push(problem.to_string());
    }
    match day {
        Some(day) if problems.is_empty() => Ok((day, weather)),
        _ => Err(problems),
    }
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
        Column::Date => {}
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

/// Days by which a source's printed date differs from the date on which each period began.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Shifts {
    pub min: i64,
    pub max: i64,
    pub rain: i64,
}

/// Credits each element to the date on which its period began, given the printed dates.
/// Rain read at nine in the morning, for one, belongs to the day before (WMO climatological
/// day as used in the United Kingdom; Observers' Handbook, from memory).
pub fn credit<'a>(
    days: impl IntoIterator<Item = (Day, &'a DailyWeather)>,
    shifts: Shifts,
) -> WeatherDays {
    let mut credited = WeatherDays::new();
    for (printed, weather) in days {
        let mut on = |shift: i64, put: &dyn Fn(&mut DailyWeather)| {
            put(credited.entry(printed.plus(shift)).or_default())
        };
        if weather.min_c.is_some() {
            on(shifts.min, &|day| day.min_c = weather.min_c);
        }
        if weather.max_c.is_some() {
            on(shifts.max, &|day| day.max_c = weather.max_c);
        }
        if weather.rain_mm.is_some() || weather.rain_trace {
            on(shifts.rain, &|day| {
                (day.rain_mm, day.rain_trace) = (weather.rain_mm, weather.rain_trace)
            });
        }
        let rest = DailyWeather {
            min_c: None,
            max_c: None,
            rain_mm: None,
            rain_trace: false,
            ..*weather
        };
        if !rest.is_empty() {
            on(0, &|day| {
                *day = DailyWeather {
                    min_c: day.min_c,
                    max_c: day.max_c,
                    rain_mm: day.rain_mm,
                    rain_trace: day.rain_trace,
                    ..rest
                }
            });
        }
    }
    credited
}

/// One day as a row of the app's own layout. Figures are written in full, so that they read
/// back the same.
pub fn layout_row(day: Day, weather: &DailyWeather) -> [String; 10] {
    let figure = |value: Option<f64>| value.map(|v| v.to_string()).unwrap_or_default();
    let wind_from = match weather.wind_from {
        Some(WindFrom::Degrees(degrees)) => figure(Some(degrees)),
        Some(from) => from.to_string(),
        None => String::new(),
    };
    [
        day.to_string(),
        figure(weather.min_c),
        figure(weather.max_c),
        if weather.rain_trace {
            "trace".to_owned()
        } else {
            figure(weather.rain_mm)
        },
        figure(weather.wind_ms),
        wind_from,
        figure(weather.pressure_hpa),
        weather.cloud.map_or("", Cloud::slug).to_owned(),
        weather.snow.map_or("", Snow::slug).to_owned(),
        weather.ice.map_or("", Ice::slug).to_owned(),
    ]
}
