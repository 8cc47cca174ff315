//! A venue and its banks. Pegs have a file of their own.

use serde::{Deserialize, Serialize};

use crate::domain::dates::{Day, Zone};
use crate::domain::ids::{BankId, Pid, VenueId};
use crate::domain::units::Scale;

/// What kind of water it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum WaterKind {
    Stillwater,
    Canal,
    River,
}

impl WaterKind {
    pub const ALL: [Self; 3] = [Self::Stillwater, Self::Canal, Self::River];

    pub fn as_str(self) -> &'static str {
        match self {
            Self::Stillwater => "stillwater",
            Self::Canal => "canal",
            Self::River => "river",
        }
    }

    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.as_str() == text)
    }
}

/// A place to fish: a lake, a canal length or a river stretch.
#[derive(Clone, Debug, PartialEq)]
pub struct Venue {
    pub id: VenueId,
    pub pid: Pid,
    pub version: i64,
    pub name: String,
    pub kind: WaterKind,
    pub zone: Zone,
    /// Degrees north and east.
    pub position: Option<(f64, f64)>,
    pub weighs_in: Scale,
    pub rules: Option<String>,
    pub emergency: Option<String>,
    pub close_season: Option<CloseSeason>,
}

/// A stretch of a venue's shore.
#[derive(Clone, Debug, PartialEq)]
pub struct Bank {
    pub id: BankId,
    pub venue: VenueId,
    pub ord: i64,
    pub name: String,
    /// The way an angler looks, degrees clockwise from north.
    pub facing_deg: Option<f64>,
}

/// Days of the year on which the venue is not fished, both ends included. It may pass new year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CloseSeason {
    pub from: MonthDay,
    pub to: MonthDay,
}

/// A day of any year.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct MonthDay {
    pub month: i8,
    pub day: i8,
}

impl MonthDay {
    /// `None` where no year has such a day.
    pub fn new(month: i8, day: i8) -> Option<Self> {
        Day::new(2024, month, day).map(|_| Self { month, day })
    }

    /// Reads `03-15`.
    pub fn parse(text: &str) -> Option<Self> {
        let (month, day) = text.trim().split_once('-')?;
        Self::new(month.parse().ok()?, day.parse().ok()?)
    }

    /// Reads what people type: `15 March`, `15 Mar`, `15 June.`, `03-15`, and `15/3` where only one
    /// of the two can be the month.
    pub fn read(typed: &str) -> Option<Self> {
        if let Some(plain) = Self::parse(typed) {
            return Some(plain);
        }
        if let Some((one, other)) = typed.trim().split_once('/') {
            let (one, other) = (one.trim().parse().ok()?, other.trim().parse().ok()?);
            return match (Self::new(other, one), Self::new(one, other)) {
                (Some(day_first), Some(month_first)) if day_first != month_first => None,
                (day_first, month_first) => day_first.or(month_first),
            };
        }
        const MONTHS: [&str; 12] = [
            "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
        ];
        let lower = typed.trim().trim_end_matches('.').to_lowercase();
        let (day, month) = lower.split_once(char::is_whitespace)?;
        let day = day
            .trim_end_matches(|c: char| c.is_ascii_alphabetic())
            .parse()
            .ok()?;
        let at = MONTHS
            .iter()
            .position(|name| month.trim().starts_with(name))?;
        Self::new(i8::try_from(at).ok()? + 1, day)
    }

    /// `15 March`.
    pub fn words(self) -> String {
        Day::new(2024, self.month, self.day)
            .map(|day| day.0.strftime("%-d %B").to_string())
            .unwrap_or_default()
    }
}

impl std::fmt::Display for MonthDay {
    /// `03-15`.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:02}-{:02}", self.month, self.day)
    }
}

impl CloseSeason {
    /// Rivers, streams and drains in England and Wales, 15 March to 15 June inclusive
    /// (Environment Agency byelaws). The venue's own rules and local byelaws come first.
    pub const RIVERS_ENGLAND_AND_WALES: Self = Self {
        from: MonthDay { month: 3, day: 15 },
        to: MonthDay { month: 6, day: 15 },
    };

    pub fn includes(self, day: Day) -> bool {
        let at = MonthDay {
            month: day.0.month(),
            day: day.0.day(),
        };
        if self.from <= self.to {
            (self.from..=self.to).contains(&at)
        } else {
            at >= self.from || at <= self.to
        }
    }

    /// `15 March to 15 June`.
    pub fn words(self) -> String {
        format!("{} to {}", self.from.words(), self.to.words())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_close_season_includes_both_its_ends_and_may_pass_new_year() {
        let day = |m, d| Day::new(2026, m, d).expect("a real day");
        let rivers = CloseSeason::RIVERS_ENGLAND_AND_WALES;
        assert_eq!(
            [(3, 14), (3, 15), (6, 15), (6, 16)].map(|(m, d)| rivers.includes(day(m, d))),
            [false, true, true, false]
        );
        let winter = CloseSeason {
            from: MonthDay::new(11, 1).expect("real"),
            to: MonthDay::new(1, 31).expect("real"),
        };
        assert_eq!(
            [(10, 31), (11, 1), (1, 31), (2, 1)].map(|(m, d)| winter.includes(day(m, d))),
            [false, true, true, false]
        );
        assert_eq!(rivers.words(), "15 March to 15 June");
        assert_eq!(
            MonthDay::parse("02-29").map(|d| d.to_string()).as_deref(),
            Some("02-29")
        );
        assert_eq!(MonthDay::parse("02-30"), None);
        for (text, read) in [
            ("15/3", Some("03-15")),
            ("3/15", Some("03-15")),
            (" 4 / 4 ", Some("04-04")),
            ("3/4", None),
            ("31/2", None),
            ("15/3/19", None),
        ] {
            let got = MonthDay::read(text).map(|day| day.to_string());
            assert_eq!(got.as_deref(), read, "{text}");
        }
    }
}
