//! Last time's hours as those of a session that has just been fished.

use jiff::civil::Time;

use super::spell;
use crate::domain::dates::{Day, Instant, Zone};

/// Seconds to which "now" is rounded down.
const ROUND: i64 = 5 * 60;

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Carried {
    /// Today, or yesterday where the hours run past midnight.
    pub day: Day,
    pub start: Instant,
    pub end: Instant,
    /// Last time's end is still to come: this one is now.
    pub cut: bool,
}

/// Last time's hours, nothing of them still to come; `None` where they have not begun.
pub fn carried(now: Instant, (from, to): (Time, Time), zone: &Zone) -> Option<Carried> {
    let today = now.day(zone);
    let past_midnight = to <= from;
    let day = match past_midnight && today.at(from, zone) >= now {
        true => today.plus(-1),
        false => today,
    };
    let (start, end) = spell::hours(day, from, to, zone);
    let cut = end > now;
    let end = match cut {
        true => Instant(now.0 - now.0.rem_euclid(ROUND)),
        false => end,
    };
    (end > start).then_some(Carried {
        day,
        start,
        end,
        cut,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::time;

    #[test]
    fn nothing_of_last_times_hours_is_still_to_come() {
        let zone = Zone::named("Europe/London").expect("shipped");
        let today = Day::new(2026, 11, 14).expect("a real day");
        let at = |hour, minute| today.at(time(hour, minute, 0, 0), &zone);
        let told = |now, from, to| {
            let hours = (time(from, 0, 0, 0), time(to, 0, 0, 0));
            carried(now, hours, &zone).map(|c| {
                let clocks = format!("{}-{}", c.start.clock(&zone), c.end.clock(&zone));
                (today.days_since(c.day), clocks, c.cut)
            })
        };
        let hours = |ago: i64, clocks: &str, cut: bool| Some((ago, clocks.to_owned(), cut));
        assert_eq!(told(at(18, 0), 10, 15), hours(0, "10:00-15:00", false));
        assert_eq!(told(at(14, 3), 10, 15), hours(0, "10:00-14:00", true));
        assert_eq!(told(at(9, 59), 10, 15), None);
        assert_eq!(told(at(10, 4), 10, 15), None, "no time at all");
        assert_eq!(told(at(8, 0), 20, 2), hours(1, "20:00-02:00", false));
        assert_eq!(told(at(1, 7), 20, 2), hours(1, "20:00-01:05", true));
        assert_eq!(told(at(23, 0), 20, 2), hours(0, "20:00-23:00", true));
    }
}
