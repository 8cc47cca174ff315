//! Dates in the columns of a file. Whether `01/02/2025` is the first of February is asked once
//! for a file, unless the file itself settles it; it is never guessed row by row.

use serde::{Deserialize, Serialize};

use crate::domain::dates::Day;
use crate::domain::units::quoted;

/// Which comes first in dates of three numbers with the year last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DayOrder {
    DayFirst,
    MonthFirst,
}

impl DayOrder {
    pub const ALL: [Self; 2] = [Self::DayFirst, Self::MonthFirst];

    /// The word in forms and mappings.
    pub fn slug(self) -> &'static str {
        match self {
            Self::DayFirst => "day-first",
            Self::MonthFirst => "month-first",
        }
    }

    pub fn from_slug(slug: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|order| order.slug() == slug)
    }
}

/// What the dates of a file tell of their order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OrderFound {
    /// No date hangs on it.
    NotNeeded,
    /// Some date can be read in one way only, and all others agree with it.
    Settled(DayOrder),
    /// Every date can be read both ways: ask. `example` is one of them.
    Unsettled { example: String },
    /// Some can be read in one way only, others in the other way only.
    Mixed {
        day_first: String,
        month_first: String,
    },
}

/// Looks through the dates of a file.
pub fn find_order<'a>(cells: impl IntoIterator<Item = &'a str>) -> OrderFound {
    let (mut only_day, mut only_month, mut either) = (None, None, None);
    for cell in cells {
        let Some((
            weekday,
            Written::Numbers {
                first,
                second,
                year,
            },
        )) = written(cell)
        else {
            continue;
        };
        let (day_first, month_first) = (day(year, second, first), day(year, first, second));
        // A day of the week that fits one reading alone tells which is meant.
        let says = |found: Option<Day>| found.is_some_and(|day| weekday == Some(weekday_of(day)));
        let seen = match (day_first.is_some(), month_first.is_some()) {
            (true, true) if says(day_first) && !says(month_first) => &mut only_day,
            (true, true) if says(month_first) && !says(day_first) => &mut only_month,
            (true, false) => &mut only_day,
            (false, true) => &mut only_month,
            (true, true) if first != second => &mut either,
            _ => continue,
        };
        seen.get_or_insert(cell);
    }
    match (only_day, only_month, either) {
        (Some(day_first), Some(month_first), _) => OrderFound::Mixed {
            day_first: day_first.trim().to_owned(),
            month_first: month_first.trim().to_owned(),
        },
        (Some(_), None, _) => OrderFound::Settled(DayOrder::DayFirst),
        (None, Some(_), _) => OrderFound::Settled(DayOrder::MonthFirst),
        (None, None, Some(example)) => OrderFound::Unsettled {
            example: example.trim().to_owned(),
        },
        (None, None, None) => OrderFound::NotNeeded,
    }
}

impl OrderFound {
    /// The order to read with, where an answer or the file settles it. An answer stands before
    /// all that the file shows: one mistyped cell turns no other date about.
    pub fn settled(&self, answer: Option<DayOrder>) -> Option<DayOrder> {
        answer.or(match self {
            Self::Settled(order) => Some(*order),
            Self::NotNeeded => Some(DayOrder::DayFirst),
            Self::Unsettled { .. } | Self::Mixed { .. } => None,
        })
    }

    /// The question for the whole file, if one is needed.
    pub fn asks(&self) -> Option<String> {
        match self {
            Self::NotNeeded | Self::Settled(_) => None,
            Self::Unsettled { example } => Some(format!(
                "Dates like {} could be two days. Does the day or the month come first in this file?",
                quoted(example)
            )),
            Self::Mixed {
                day_first,
                month_first,
            } => Some(format!(
                "The file writes dates in both orders: {} and {}. Which is its own? The others will be listed as problems.",
                quoted(day_first),
                quoted(month_first)
            )),
        }
    }
}

/// Reads one date: `2026-03-29`, `2026/3/29`, `20260329`, `29/03/2026`, `29.3.26`,
/// `29 March 2026`, `Sun 29th Mar 26`, `March 29, 2026`; a time of day after it is passed over.
/// A day of the week before it must be that of the date.
///
/// Years of two figures: 69 to 99 are 1969 to 1999, 00 to 68 are 2000 to 2068 (POSIX.1-2017,
/// strptime, %y). Errors: a sentence that says how to mend it.
pub fn read_day(cell: &str, order: Option<DayOrder>) -> Result<Day, String> {
    let mend = || {
        format!(
            "{} is not a date. Write it like 2026-03-29 or 29/03/2026.",
            quoted(cell)
        )
    };
    let none = || {
        format!(
            "{} is not a day of the calendar. Check the day and the month.",
            quoted(cell)
        )
    };
    let (weekday, numbers) = written(cell).ok_or_else(mend)?;
    let found = match numbers {
        Written::Certain {
            year,
            month,
            day: number,
        } => day(year, month, number).ok_or_else(none),
        Written::Numbers {
            first,
            second,
            year,
        } => {
            let (day_first, month_first) = (day(year, second, first), day(year, first, second));
            match order {
                Some(DayOrder::DayFirst) => day_first.ok_or_else(|| match month_first {
                    Some(_) => format!("{} is a day only with the month first, and in this file the day comes first. Write the date like 2026-03-29.", quoted(cell)),
                    None => none(),
                }),
                Some(DayOrder::MonthFirst) => month_first.ok_or_else(|| match day_first {
                    Some(_) => format!("{} is a day only with the day first, and in this file the month comes first. Write the date like 2026-03-29.", quoted(cell)),
                    None => none(),
                }),
                None => match (day_first, month_first) {
                    (Some(a), Some(b)) if a != b => Err(format!("{} could be two days. Say whether the day or the month comes first in this file.", quoted(cell))),
                    // It can be one day only, whichever comes first in the others.
                    (only, other) => only.or(other).ok_or_else(none),
                },
            }
        }
    }?;
    match weekday {
        Some(said) if said != weekday_of(found) => {
            let (own, date) = (weekday_of(found), found.0.strftime("%-d %B %Y"));
            Err(format!(
                "{} says {said}, but {date} is a {own}. Put right the date or the day of the week.",
                quoted(cell)
            ))
        }
        _ => Ok(found),
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Written {
    Certain { year: i64, month: i64, day: i64 },
    Numbers { first: i64, second: i64, year: i64 },
}

fn day(year: i64, month: i64, day: i64) -> Option<Day> {
    let found = Day::new(
        i16::try_from(year).ok()?,
        i8::try_from(month).ok()?,
        i8::try_from(day).ok()?,
    )?;
    (1900..=2200).contains(&found.year()).then_some(found)
}

/// The day of the week that a cell names, if any, and its numbers.
fn written(cell: &str) -> Option<(Option<&'static str>, Written)> {
    let text = without_time(cell.trim());
    if text.len() > 40 || !text.is_ascii() {
        return None;
    }
    if text.len() == 8 && text.bytes().all(|b| b.is_ascii_digit()) {
        let certain = Written::Certain {
            year: text[..4].parse().ok()?,
            month: text[4..6].parse().ok()?,
            day: text[6..].parse().ok()?,
        };
        return Some((None, certain));
    }
    let mut parts: Vec<&str> = text
        .split(['-', '/', '.', ' ', ','])
        .filter(|part| !part.is_empty())
        .collect();
    let weekday = match parts.as_slice() {
        [first, _, _, _] => weekday_named(first),
        _ => None,
    };
    if weekday.is_some() {
        parts.remove(0);
    }
    let [a, b, c] = parts.as_slice() else {
        return None;
    };
    let numbers = match (
        number(a),
        month_named(a),
        number(b),
        month_named(b),
        number(c),
    ) {
        (Some(year), _, Some(month), _, Some(day)) if a.len() == 4 => {
            Some(Written::Certain { year, month, day })
        }
        (Some(first), _, Some(second), _, Some(_)) => Some(Written::Numbers {
            first,
            second,
            year: year(c)?,
        }),
        (Some(day), _, _, Some(month), Some(_)) => Some(Written::Certain {
            year: year(c)?,
            month,
            day,
        }),
        (_, Some(month), Some(day), _, Some(_)) => Some(Written::Certain {
            year: year(c)?,
            month,
            day,
        }),
        _ => None,
    };
    Some((weekday, numbers?))
}

/// Takes off `T00:00`, ` 00:00:00`, ` 9:30 am`.
fn without_time(text: &str) -> &str {
    let Some(colon) = text.find(':') else {
        return text;
    };
    match text[..colon].rfind([' ', 'T']) {
        Some(at) => text[..at].trim_end(),
        None => text,
    }
}

fn number(part: &str) -> Option<i64> {
    let digits = ["st", "nd", "rd", "th"]
        .into_iter()
        .find_map(|ending| part.strip_suffix(ending))
        .unwrap_or(part);
    (!digits.is_empty() && digits.len() <= 4 && digits.bytes().all(|b| b.is_ascii_digit()))
        .then(|| digits.parse().ok())
        .flatten()
}

fn year(part: &str) -> Option<i64> {
    let year: i64 = number(part)?;
    match part.len() {
        4 => Some(year),
        2 if year >= 69 => Some(1900 + year),
        2 => Some(2000 + year),
        _ => None,
    }
}

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];
/// Monday first, as the calendar numbers them.
const WEEKDAYS: [&str; 7] = [
    "Monday",
    "Tuesday",
    "Wednesday",
    "Thursday",
    "Friday",
    "Saturday",
    "Sunday",
];

fn begins(part: &str, of: &[&str]) -> Option<usize> {
    let word = part.to_ascii_lowercase();
    let at = of
        .iter()
        .position(|name| word.len() >= 3 && name.starts_with(&word));
    at.or_else(|| (word == "sept").then_some(8))
}

fn month_named(part: &str) -> Option<i64> {
    begins(part, &MONTHS).map(|at| at as i64 + 1)
}

/// `Sat`, `Weds`, `saturday`.
fn weekday_named(part: &str) -> Option<&'static str> {
    let word = part.to_ascii_lowercase();
    WEEKDAYS.into_iter().find(|name| {
        let name = name.to_ascii_lowercase();
        (word.len() >= 3 && name.starts_with(&word)) || (word == "weds" && name == "wednesday")
    })
}

/// 1 January 1970 was a Thursday.
fn weekday_of(day: Day) -> &'static str {
    WEEKDAYS[(day.number() + 3).rem_euclid(7) as usize]
}
