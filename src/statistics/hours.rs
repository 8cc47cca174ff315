//! Fish by hour since the start, beside the rod-hours fished in it: plain counts of timed
//! sessions. Whether one hour is better than another is not asked here.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use super::wording;
use crate::domain::dates::{Day, Instant};

/// Said wherever these counts are shown.
pub const NOT_COMPARED: &str = "Counts beside the effort behind them. Hours are not compared: most sessions start at one hour and end together.";

/// How the hours are counted, for the page.
pub const FORMULA: &str = "Hour = whole hours since the first rod went in, from 1. Fish: those timed in it, a tally by its middle. \
    Rod-hours: rods × time fished in it. Only sessions with every fish timed, shared with the club.";
/// No method was published for a plain count.
pub const SOURCE: &str = "Plain counts: common practice, no source";

/// Time on rods within a session.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct RodSpan {
    pub from: Instant,
    pub to: Instant,
    pub rods: i64,
}

/// Fish at a moment (`from` equal to `to`) or tallied over a while.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct TimedCatch {
    pub from: Instant,
    pub to: Instant,
    pub fish: i64,
}

/// One session whose start and rods' times are known.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TimedSession {
    pub day: Day,
    pub start: Instant,
    pub rods: Vec<RodSpan>,
    pub catches: Vec<TimedCatch>,
    /// Fish of the whole session, where counted.
    pub fish: Option<i64>,
}

/// One hour since the start.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct HourCounts {
    /// 0 is the first hour.
    pub hour: usize,
    pub fish: i64,
    pub rod_hours: f64,
    /// Sessions still fishing in it.
    pub sessions: usize,
    /// The days of those sessions.
    pub days: usize,
}

/// The hours of some sessions.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Hours {
    pub hours: Vec<HourCounts>,
    /// Sessions counted.
    pub sessions: usize,
    /// The days of those sessions.
    pub days: usize,
    /// Left out: no fish of theirs has a time.
    pub untimed: usize,
    /// Left out: only some of their fish have a time.
    pub partly_timed: usize,
}

/// Hours counted at most; what comes later stands in the last.
const LONGEST: usize = 24;

impl Hours {
    /// Counts over the sessions whose fish are all timed. A session without a single timed fish
    /// (a blank, or one that kept no times) is left out of fish and effort alike, so these are
    /// rates of sessions that caught. A tally belongs to the hour in which its middle falls.
    pub fn of(sessions: &[TimedSession]) -> Self {
        let mut all = Self::default();
        let mut days = BTreeSet::new();
        let mut fished_on = vec![BTreeSet::<Day>::new(); LONGEST];
        for session in sessions {
            let timed: i64 = session.catches.iter().map(|one| one.fish).sum();
            if timed <= 0 {
                all.untimed += 1;
            } else if session.fish.is_some_and(|fish| fish > timed) {
                all.partly_timed += 1;
            } else {
                all.sessions += 1;
                days.insert(session.day);
                all.add(session, &mut fished_on);
            }
        }
        all.days = days.len();
        for (hour, days) in all.hours.iter_mut().zip(&fished_on) {
            hour.days = days.len();
        }
        all
    }

    /// `fished_on`: the days of each hour so far.
    fn add(&mut self, session: &TimedSession, fished_on: &mut [BTreeSet<Day>]) {
        let since_start = |at: Instant| at.minutes_since(session.start) / 60.0;
        for one in &session.catches {
            let middle = (since_start(one.from) + since_start(one.to)) / 2.0;
            self.hour(middle.max(0.0) as usize).fish += one.fish;
        }
        let last = session
            .rods
            .iter()
            .map(|span| since_start(span.to))
            .fold(0.0, f64::max);
        for (hour, days) in fished_on.iter_mut().enumerate().take(last.ceil() as usize) {
            let end = if hour + 1 == LONGEST {
                f64::INFINITY
            } else {
                hour as f64 + 1.0
            };
            let fished: f64 = session
                .rods
                .iter()
                .map(|span| {
                    let from = since_start(span.from).max(hour as f64);
                    let to = since_start(span.to).min(end);
                    (to - from).max(0.0) * span.rods as f64
                })
                .sum();
            if fished > 0.0 {
                let counts = self.hour(hour);
                counts.rod_hours += fished;
                counts.sessions += 1;
                days.insert(session.day);
            }
        }
    }

    fn hour(&mut self, hour: usize) -> &mut HourCounts {
        let hour = hour.min(LONGEST - 1);
        while self.hours.len() <= hour {
            let next = HourCounts {
                hour: self.hours.len(),
                ..HourCounts::default()
            };
            self.hours.push(next);
        }
        &mut self.hours[hour]
    }

    /// `eleven sessions on nine days`.
    pub fn behind(&self, one: &str, many: &str) -> String {
        format!(
            "{} on {}",
            wording::count(self.sessions, one, many),
            wording::count(self.days, "day", "days")
        )
    }

    /// In plain words.
    pub fn sentence(&self) -> String {
        let left = self.untimed + self.partly_timed;
        if self.sessions == 0 {
            return match left {
                0 => "No session here yet.".to_owned(),
                _ => wording::sentence(&format!(
                    "none of {} times all its fish, so the hours cannot be told",
                    wording::count(left, "session", "sessions")
                )),
            };
        }
        let fish: i64 = self.hours.iter().map(|hour| hour.fish).sum();
        let rod_hours: f64 = self.hours.iter().map(|hour| hour.rod_hours).sum();
        let sessions = self.behind("session", "sessions");
        let rest = match left {
            0 => String::new(),
            _ => format!(
                "; {} more without times for all their fish left out",
                wording::number(left)
            ),
        };
        wording::sentence(&format!(
            "{sessions} with every fish timed, {fish} fish in {} rod-hours{rest}",
            wording::figure(rod_hours)
        ))
    }
}
