//! The times of a match as typed. A match that ends no later than it begins ends on the day after.

use jiff::civil::Time;

use crate::{
    domain::{
        dates::{Day, Instant, Zone, parse_time},
        sessions::spell::next_time,
    },
    store::matches::Match,
    web::forms::{Form, Problems},
};

/// Minutes of a match past midnight above which its times are likelier a slip; common practice, no source.
const LONG_NIGHT: f64 = 16.0 * 60.0;

#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Times {
    pub meet: Option<Instant>,
    pub start: Option<Instant>,
    pub finish: Option<Instant>,
}

impl Times {
    /// The times as typed for a match on `on`; each that is as on record in `saved` keeps its place
    /// beside the day of the match, however long that makes it.
    pub fn read(
        form: &Form,
        (on, zone): (Option<Day>, &Zone),
        saved: Option<&Match>,
        problems: &mut Problems,
    ) -> Self {
        let mut typed = |field: &str| time(form, field, problems);
        let (meet, start, finish) = (typed("meet"), typed("start"), typed("finish"));
        // Hours are held against each other before the day is known: all mistakes come back at once.
        let known = on.is_some();
        let Some(on) = on.or_else(|| Day::new(2000, 1, 1)) else {
            return Self::default();
        };
        let as_was = |time: Option<Time>, was: fn(&Match) -> Option<Instant>| {
            saved.and_then(|saved| unchanged((saved, was(saved)?), time?, (on, zone)))
        };
        let at = |time: Option<Time>| time.map(|time| on.at(time, zone));
        let began = as_was(start, |saved| saved.start);
        let ended = as_was(finish, |saved| saved.finish);
        let start_at = began.or(at(start));
        let finish_at = match (start_at, finish) {
            (Some(_), Some(_)) if began.is_some() && ended.is_some() => ended,
            (Some(start), Some(time)) => Some(end((start, time), (on, zone), problems)),
            (None, _) => ended.or(at(finish)),
            (Some(_), None) => None,
        };
        let backwards = start_at.zip(finish_at).is_some_and(|(a, z)| z <= a);
        if backwards {
            problems.add("finish", "Fishing ends before it begins. Check both times.");
        }
        if !known {
            return Self::default();
        }
        Self {
            meet: as_was(meet, |saved| saved.meet).or(at(meet)),
            start: start_at,
            finish: finish_at,
        }
    }
}

/// When fishing that began at `start` ends at `time`: on the day or the one after.
fn end(
    (start, time): (Instant, Time),
    (on, zone): (Day, &Zone),
    problems: &mut Problems,
) -> Instant {
    let finish = next_time(on, time, zone, start.plus_seconds(60));
    let next_day = finish.day(zone) != start.day(zone);
    if next_day && finish.minutes_since(start) > LONG_NIGHT {
        problems.add("finish", TOO_LONG);
    }
    finish
}

const TOO_LONG: &str =
    "Fishing would end on the next day, more than 16 hours after it began. Check both times.";

/// The moment on record where its time of day is as it was: the very same on the same day, else
/// as many days from the day of the match as before.
fn unchanged(
    (saved, was): (&Match, Instant),
    time: Time,
    (on, zone): (Day, &Zone),
) -> Option<Instant> {
    let before = saved.zone();
    if parse_time(&was.clock(&before)) != Some(time) {
        return None;
    }
    if on == saved.on && *zone == before {
        return Some(was);
    }
    let later = was.day(&before).days_since(saved.on);
    Some(on.plus(later).at(time, zone))
}

fn time(form: &Form, field: &str, problems: &mut Problems) -> Option<Time> {
    let typed = form.get(field);
    if typed.is_empty() {
        return None;
    }
    let time = parse_time(typed);
    if time.is_none() {
        problems.add(field, "This is no time of day. Enter it like 10:00.");
    }
    time
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(start: &str, finish: &str) -> (Times, Problems) {
        let pair = |name: &str, value: &str| (name.to_owned(), value.to_owned());
        let form = Form::from_pairs(vec![pair("start", start), pair("finish", finish)]);
        let mut problems = Problems::default();
        let on = Day::new(2026, 11, 14);
        let times = Times::read(&form, (on, &Zone::utc()), None, &mut problems);
        (times, problems)
    }

    #[test]
    fn a_finish_that_is_not_later_is_on_the_next_day_for_sixteen_hours_at_most() {
        for (start, finish, minutes) in [
            ("10:00", "15:00", 300.0),
            ("20:00", "04:00", 480.0),
            ("20:00", "12:00", 960.0),
        ] {
            let (times, problems) = read(start, finish);
            assert!(problems.is_empty(), "{start} {finish}");
            let length = times
                .start
                .zip(times.finish)
                .map(|(a, z)| z.minutes_since(a));
            assert_eq!(length, Some(minutes), "{start} {finish}");
        }
        for (start, finish) in [("10:00", "09:00"), ("20:00", "12:01"), ("10:00", "10:00")] {
            assert_eq!(read(start, finish).1.at("finish"), TOO_LONG);
        }
    }
}
