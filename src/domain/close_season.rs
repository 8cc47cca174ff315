//! The close season: when a water is shut to coarse fishing by law or by its own dates.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::dates::Day;

/// What kind of water a venue is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum WaterKind {
    Stillwater,
    Canal,
    River,
}

impl WaterKind {
    pub const ALL: [Self; 3] = [Self::Stillwater, Self::Canal, Self::River];

    /// The word the record keeps.
    pub fn slug(self) -> &'static str {
        match self {
            Self::Stillwater => "stillwater",
            Self::Canal => "canal",
            Self::River => "river",
        }
    }

    pub fn from_slug(slug: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.slug() == slug)
    }
}

/// A day of every year, such as 15 March.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct MonthDay {
    month: i8,
    day: i8,
}

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

impl MonthDay {
    /// `None` when no year has such a day; 29 February is one that some years have.
    pub fn new(month: i8, day: i8) -> Option<Self> {
        Day::new(2024, month, day).map(|_| Self { month, day })
    }

    /// Reads `03-15`, as the record keeps it.
    pub fn parse(text: &str) -> Option<Self> {
        let (month, day) = text.trim().split_once('-')?;
        Self::new(month.parse().ok()?, day.parse().ok()?)
    }

    fn of(day: Day) -> Self {
        Self {
            month: day.0.month(),
            day: day.0.day(),
        }
    }

    /// `15 March`.
    pub fn words(self) -> String {
        format!("{} {}", self.day, MONTHS[self.month as usize - 1])
    }
}

impl fmt::Display for MonthDay {
    /// `03-15`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}-{:02}", self.month, self.day)
    }
}

/// The part of the year that is shut, both ends included; may run over the new year.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct CloseDates {
    pub from: MonthDay,
    pub to: MonthDay,
}

impl CloseDates {
    pub fn contains(self, day: Day) -> bool {
        let on = MonthDay::of(day);
        if self.from <= self.to {
            (self.from..=self.to).contains(&on)
        } else {
            on >= self.from || on <= self.to
        }
    }

    fn words(self) -> String {
        format!(
            "{} to {}, both days included",
            self.from.words(),
            self.to.words()
        )
    }
}

/// Rivers, streams and drains in England and Wales.
/// Source: Environment Agency national byelaws.
const RIVERS: CloseDates = CloseDates {
    from: MonthDay { month: 3, day: 15 },
    to: MonthDay { month: 6, day: 15 },
};

/// Whether a water is in its close season on a day, and the sentence to show.
#[derive(Clone, Debug, PartialEq)]
pub enum CloseSeason {
    /// Nothing on record shuts it.
    Open,
    /// Shut by its own dates.
    Closed { words: String },
    /// A river within the general close season of England and Wales.
    ClosedByByelaw { words: String },
}

impl CloseSeason {
    pub fn words(&self) -> Option<&str> {
        match self {
            Self::Open => None,
            Self::Closed { words } | Self::ClosedByByelaw { words } => Some(words),
        }
    }
}

/// The close season of a water of this kind, with its own dates where it has given any.
///
/// A river is told of the byelaw whatever its own dates say, since they cannot lift it; the
/// sentence says where it holds. Most stillwaters and canals have no close season by law; the
/// exceptions (the Broads and some protected sites) must give their own dates.
pub fn close_season(kind: WaterKind, own: Option<CloseDates>, day: Day) -> CloseSeason {
    if let Some(dates) = own.filter(|dates| dates.contains(day)) {
        return CloseSeason::Closed {
            words: format!(
                "Close season: this water is shut from {}, by its own dates.",
                dates.words()
            ),
        };
    }
    if kind == WaterKind::River && RIVERS.contains(day) {
        return CloseSeason::ClosedByByelaw {
            words: format!(
                "Close season: coarse fishing on rivers in England and Wales is shut from {} \
                 (Environment Agency byelaws). Elsewhere ask what holds locally.",
                RIVERS.words()
            ),
        };
    }
    CloseSeason::Open
}
