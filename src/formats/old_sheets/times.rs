//! How long a row says was fished: a length, from when to when, or one of these and the length.

use jiff::{Span, civil::Time};

use super::{Mapping, SheetOf};
use crate::domain::dates::parse_time;
use crate::domain::units::{Minutes, is_gap, quoted, read_hours};

/// The longest that one row may say, hours.
const MOST_HOURS: i64 = 48;
const DAY: i64 = 24 * 60;

/// What a row, or the answer for its whole file, says of how long was fished.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Fished {
    /// By the clock: a night when clocks change is an hour longer or shorter than this.
    pub minutes: Option<Minutes>,
    /// Of a session alone: a match has the hours of its own page.
    pub times: Option<(Time, Time)>,
    /// The row itself says it.
    pub own: bool,
    /// A start or an end alone, where the answer for the whole file gives the length: the other is
    /// not made up from that.
    lone: Option<(&'static str, Time)>,
}

impl Fished {
    /// The remarks of the row, and after them a time that is kept nowhere else:
    /// `started on the sheet: 07:00`.
    pub fn remarks(&self, own: Option<String>) -> Option<String> {
        let lone = self.lone.map(|(what, at)| {
            let at = at.strftime("%H:%M");
            format!("{what} on the sheet: {at}")
        });
        let lines: Vec<String> = own.into_iter().chain(lone).collect();
        (!lines.is_empty()).then(|| lines.join("\n"))
    }
}

/// Reads the cells of hours, of the start and of the end; each may be empty.
pub(super) fn fished(cells: [&str; 3], mapping: &Mapping) -> Result<Fished, String> {
    let [hours, began, ended] = cells;
    let range = range(hours)?;
    let length = match (hours, range) {
        ("", _) | (_, Some(_)) => None,
        (cell, None) => Some(read_hours(cell, MOST_HOURS)?),
    };
    let from = time("Started", began)?;
    let to = time("Packed up", ended)?;
    if let (Some(start), Some(end)) = (from, to) {
        halves_agree((began, start), (ended, end))?;
    }
    let (from, to) = match (range, from, to) {
        (None, from, to) => (from, to),
        (Some((from, to)), None, None) => (Some(from), Some(to)),
        (Some(_), _, _) => {
            return Err(format!(
                "The hours {} say from when to when, and so do columns of their own. Leave one of the two empty.",
                quoted(hours)
            ));
        }
    };
    let lone = match (from, to, length, mapping.minutes) {
        (Some(from), None, None, Some(_)) => Some(("started", from)),
        (None, Some(to), None, Some(_)) => Some(("packed up", to)),
        _ => None,
    };
    let times = match lone {
        Some(_) => None,
        None => both(from, to, length)?,
    };
    let spanned = times.map(span);
    if let (Some(length), Some(spanned)) = (length, spanned)
        && length != spanned
    {
        return Err(format!(
            "The row says {}, and its times make {}. Mend one of the two, or leave the hours empty.",
            length.words(),
            spanned.words()
        ));
    }
    Ok(Fished {
        minutes: spanned.or(length).or(mapping.minutes),
        times: times.filter(|_| mapping.of == SheetOf::Sessions),
        own: length.is_some() || (from.is_some() && to.is_some()),
        lone,
    })
}

/// Both times, one of them perhaps found by the length that the row itself says.
fn both(
    from: Option<Time>,
    to: Option<Time>,
    length: Option<Minutes>,
) -> Result<Option<(Time, Time)>, String> {
    let length = length.filter(|length| length.0 < DAY);
    match (from, to, length) {
        (None, None, _) => Ok(None),
        (Some(from), Some(to), _) => Ok(Some((from, to))),
        (Some(from), None, Some(length)) => Ok(Some((from, later(from, length.0)))),
        (None, Some(to), Some(length)) => Ok(Some((later(to, DAY - length.0), to))),
        (Some(_), None, None) => Err("The row says when it began, and neither when it ended nor how long it was. Enter one of them, or leave the start empty.".to_owned()),
        (None, Some(_), None) => Err("The row says when it ended, and neither when it began nor how long it was. Enter one of them, or leave the end empty.".to_owned()),
    }
}

fn later(time: Time, minutes: i64) -> Time {
    time.wrapping_add(Span::new().minutes(minutes))
}

/// From one time to the next that is later by the clock.
fn span((from, to): (Time, Time)) -> Minutes {
    let at = |time: Time| i64::from(time.hour()) * 60 + i64::from(time.minute());
    match (at(to) - at(from)).rem_euclid(DAY) {
        0 => Minutes(DAY),
        minutes => Minutes(minutes),
    }
}

fn time(label: &str, cell: &str) -> Result<Option<Time>, String> {
    if is_gap(cell) {
        return Ok(None);
    }
    let time = parse_time(cell).ok_or_else(|| {
        format!(
            "{label}: {} is not a time of day. Enter it like 7:30 or 15:00.",
            quoted(cell)
        )
    })?;
    Ok(Some(time))
}

/// `07:00-12:30`, `7–12.30`, `7 to 12:30`; `None` for anything that is not two times. Two bare
/// numbers may as well be a length, four to five hours, so they are asked about.
fn range(cell: &str) -> Result<Option<(Time, Time)>, String> {
    let plain = cell.to_ascii_lowercase();
    let parted = ["–", "—", "-", " to ", " till ", " until "]
        .into_iter()
        .find_map(|between| plain.split_once(between));
    let Some((from, to)) = parted.map(|(from, to)| (from.trim(), to.trim())) else {
        return Ok(None);
    };
    let (Some(start), Some(end)) = (parse_time(from), parse_time(to)) else {
        return Ok(None);
    };
    halves_agree((from, start), (to, end))?;
    let bare = |text: &str| text.len() <= 2;
    match bare(from) && bare(to) {
        true => Err(format!(
            "{} may be from when to when, or about how long. Write {} or one number of hours.",
            quoted(cell),
            example(start, end)
        )),
        false => Ok(Some((start, end))),
    }
}

/// Refuses two times of which one says am or pm and the other, which could be either, does not: `2`
/// to `6pm`, `10am` to `3`. Read by the clock they would be most of a day.
fn halves_agree(from: (&str, Time), to: (&str, Time)) -> Result<(), String> {
    let says = |(text, _): (&str, Time)| text.ends_with(['m', 'M', '.']);
    let could_be_either = |(_, time): (&str, Time)| time.hour() < 13;
    let lacks = |one, other| says(one) && !says(other) && could_be_either(other);
    match lacks(from, to) || lacks(to, from) {
        true => Err(format!(
            "Of {} and {} only one says am or pm. Say it of both times, as in 7am to 1pm.",
            quoted(from.0),
            quoted(to.0)
        )),
        false => Ok(()),
    }
}

fn example(start: Time, end: Time) -> String {
    format!("{}-{}", start.strftime("%H:%M"), end.strftime("%H:%M"))
}
