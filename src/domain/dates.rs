//! Days at the water and instants in time, each a type of its own so that neither is taken
//! for the other. A [`Day`] is the venue's local date; an [`Instant`] is UTC, to the second.

use std::fmt;

use jiff::{Timestamp, ToSpan, civil, tz::TimeZone};
use serde::{Deserialize, Serialize};

/// A local date at a venue.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Day(pub civil::Date);

/// A moment, UTC, whole seconds since 1970.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Instant(pub i64);

impl Day {
    /// The first and the last day that the record can hold.
    pub const ALL: (Self, Self) = (
        Self(civil::date(1900, 1, 1)),
        Self(civil::date(2200, 12, 31)),
    );

    /// The day `year-month-day`; `None` where the calendar has no such day.
    pub fn new(year: i16, month: i8, day: i8) -> Option<Self> {
        civil::Date::new(year, month, day).ok().map(Self)
    }

    /// Why `parse` does not read it: `is not a date`.
    pub fn fault(text: &str) -> &'static str {
        match text.trim().parse::<civil::Date>() {
            Ok(date) if date.year() < 1900 => "is before 1900",
            Ok(date) if date.year() > 2200 => "is still to come",
            _ => "is not a date",
        }
    }

    /// Reads `2026-03-29`.
    pub fn parse(text: &str) -> Option<Self> {
        let date: civil::Date = text.trim().parse().ok()?;
        (1900..=2200).contains(&date.year()).then_some(Self(date))
    }

    /// `days` later (earlier when negative); stays at the calendar's end.
    pub fn plus(self, days: i64) -> Self {
        Self(self.0.saturating_add(days.days()))
    }

    /// Whole days from 1 January 1970, for arithmetic between days.
    pub fn number(self) -> i64 {
        let epoch = civil::date(1970, 1, 1);
        i64::from((self.0 - epoch).get_days())
    }

    /// Days from `earlier` to this day.
    pub fn days_since(self, earlier: Self) -> i64 {
        self.number() - earlier.number()
    }

    /// 1 on 1 January.
    pub fn day_of_year(self) -> i16 {
        self.0.day_of_year()
    }

    pub fn year(self) -> i16 {
        self.0.year()
    }

    /// `Saturday 15 November 2025`.
    pub fn long(self) -> String {
        self.0.strftime("%A %-d %B %Y").to_string()
    }

    /// `Sat 15 Nov 2025`.
    pub fn short(self) -> String {
        self.0.strftime("%a %-d %b %Y").to_string()
    }

    /// `Sat 15 Nov`, for a list whose year is clear.
    pub fn brief(self) -> String {
        self.0.strftime("%a %-d %b").to_string()
    }

    /// The instant of `time` on this day at `zone`. In the hour that is missing when clocks go
    /// forward the later reading is taken; in the doubled hour the first.
    pub fn at(self, time: civil::Time, zone: &Zone) -> Instant {
        let zoned = self.0.to_datetime(time).to_zoned_datetime(zone.0.clone());
        // Only the far ends of the calendar fail, and `parse` keeps those out.
        Instant(zoned.map(|z| z.timestamp().as_second()).unwrap_or(0))
    }
}

impl fmt::Display for Day {
    /// `2025-11-15`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl Instant {
    pub fn plus_seconds(self, seconds: i64) -> Self {
        Self(self.0.saturating_add(seconds))
    }

    pub fn minutes_since(self, earlier: Self) -> f64 {
        (self.0 - earlier.0) as f64 / 60.0
    }

    fn zoned(self, zone: &Zone) -> jiff::ZonedDateTime {
        Timestamp::from_second(self.0)
            .unwrap_or(Timestamp::UNIX_EPOCH)
            .to_zoned_datetime(zone.0.clone())
    }

    /// The local date at `zone`.
    pub fn day(self, zone: &Zone) -> Day {
        Day(self.zoned(zone).date())
    }

    /// `14:35` at `zone`.
    pub fn clock(self, zone: &Zone) -> String {
        self.zoned(zone).strftime("%H:%M").to_string()
    }

    /// `Sat 15 Nov 2025, 14:35 GMT`: a moment is never shown without its zone.
    pub fn in_words(self, zone: &Zone) -> String {
        self.zoned(zone)
            .strftime("%a %-d %b %Y, %H:%M %Z")
            .to_string()
    }

    /// Reads `2025-11-15T14:35:00Z`.
    pub fn parse(text: &str) -> Option<Self> {
        let read: Timestamp = text.parse().ok()?;
        Some(Self(read.as_second()))
    }

    /// `2025-11-15T14:35:00Z`.
    pub fn rfc3339(self) -> String {
        Timestamp::from_second(self.0)
            .unwrap_or(Timestamp::UNIX_EPOCH)
            .to_string()
    }
}

/// A time zone by its name in the zone table that ships in the binary.
#[derive(Clone, Debug, PartialEq)]
pub struct Zone(TimeZone);

impl Zone {
    /// The zone called `name`, such as `Europe/London`.
    pub fn named(name: &str) -> Option<Self> {
        TimeZone::get(name).ok().map(Self)
    }

    pub fn name(&self) -> &str {
        self.0.iana_name().unwrap_or("UTC")
    }

    pub fn utc() -> Self {
        Self(TimeZone::UTC)
    }
}

/// Reads a time of day: `7:30`, `07:30`, `0730`, `7.30`, `7`, `7am`, `7.30 pm`, `7:30 p.m.`.
pub fn parse_time(text: &str) -> Option<civil::Time> {
    let text = text.trim().to_ascii_lowercase();
    let halves = [("a.m.", 0), ("am", 0), ("p.m.", 12), ("pm", 12)];
    let half = halves
        .into_iter()
        .find_map(|(half, hours)| Some((text.strip_suffix(half)?.trim_end(), hours)));
    let Some((clock, hours)) = half else {
        return by_the_clock(&text);
    };
    // Twelve o'clock in the morning is midnight, and in the afternoon midday.
    let time = by_the_clock(clock).filter(|time| (1..=12).contains(&time.hour()))?;
    civil::Time::new(time.hour() % 12 + hours, time.minute(), 0, 0).ok()
}

fn by_the_clock(text: &str) -> Option<civil::Time> {
    let (hour, minute) = match text.split_once([':', '.']) {
        Some((h, m)) if m.len() == 2 => (h.parse().ok()?, m.parse().ok()?),
        Some((h, m)) if m.len() == 5 && m.as_bytes()[2] == b':' => {
            (h.parse().ok()?, m[..2].parse().ok()?)
        }
        Some(_) => return None,
        None if text.len() == 4 && text.is_ascii() => {
            (text[..2].parse().ok()?, text[2..].parse().ok()?)
        }
        None if text.len() <= 2 => (text.parse().ok()?, 0),
        None => return None,
    };
    civil::Time::new(hour, minute, 0, 0).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_counts_from_1970_and_back() {
        let day = Day::new(2026, 3, 29).expect("a real day");
        assert_eq!(day.number(), 20_541);
        assert_eq!(day.plus(-1).to_string(), "2026-03-28");
        assert_eq!(day.days_since(day.plus(-40)), 40);
    }

    #[test]
    fn the_hour_that_is_missing_in_march_still_becomes_an_instant() {
        let london = Zone::named("Europe/London").expect("shipped");
        let day = Day::new(2026, 3, 29).expect("a real day");
        let half_past_one = day.at(civil::time(1, 30, 0, 0), &london);
        assert_eq!(half_past_one.clock(&london), "02:30");
    }

    #[test]
    fn times_are_read_as_people_write_them() {
        for (text, want) in [
            ("7:30", "07:30:00"),
            ("0730", "07:30:00"),
            ("7.30", "07:30:00"),
            ("15", "15:00:00"),
            ("08:15:00", "08:15:00"),
            ("7am", "07:00:00"),
            ("7.00am", "07:00:00"),
            ("7:00 am", "07:00:00"),
            ("2pm", "14:00:00"),
            ("2:30 P.M.", "14:30:00"),
            ("12pm", "12:00:00"),
            ("12.15 am", "00:15:00"),
        ] {
            assert_eq!(
                parse_time(text).map(|t| t.to_string()).as_deref(),
                Some(want),
                "{text}"
            );
        }
        for text in [
            "25:00",
            "7:3",
            "half past",
            "",
            "1:60",
            "12345",
            "am",
            "15pm",
            "0am",
        ] {
            assert_eq!(parse_time(text), None, "{text}");
        }
    }
}
