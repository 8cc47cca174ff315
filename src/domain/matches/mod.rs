//! Matches: what became of each entry, who is placed where, and what was posted.
//! Draws, caps and money are not here yet; the words are those of the record.

pub mod entry;
pub mod figures;
pub mod results;
pub mod teams;

use std::fmt;

use jiff::ToSpan;
use serde::{Deserialize, Serialize};

use super::dates::Day;

pub use entry::{EntryStatus, Outcome};
pub use figures::{Change, Figures, Line, NetFigure, changes};
pub use results::{Caught, Place, Placed, place};
pub use teams::{TeamStanding, team_standings};

/// `section A`, of a section named `A` and of one named `Section A` alike.
pub fn section_words(name: &str) -> String {
    let name = name.trim();
    let bare = match name.split_once(char::is_whitespace) {
        Some((word, rest)) if word.eq_ignore_ascii_case("section") => rest.trim_start(),
        _ => name,
    };
    format!("section {bare}")
}

/// The same where it begins a line: `Section A`.
pub fn section_heading(name: &str) -> String {
    section_words(name).replacen('s', "S", 1)
}

/// How pegs came to anglers. Only drawn pegs can tell a peg from its angler.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum PegsAllotted {
    #[serde(rename = "bag")]
    Bag,
    #[serde(rename = "drawn here")]
    DrawnHere,
    #[serde(rename = "of choice")]
    OfChoice,
    #[serde(rename = "roving")]
    Roving,
    #[serde(rename = "unknown")]
    Unknown,
}

impl PegsAllotted {
    pub const ALL: [Self; 5] = [
        Self::Bag,
        Self::DrawnHere,
        Self::OfChoice,
        Self::Roving,
        Self::Unknown,
    ];

    /// The word in the record.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Bag => "bag",
            Self::DrawnHere => "drawn here",
            Self::OfChoice => "of choice",
            Self::Roving => "roving",
            Self::Unknown => "unknown",
        }
    }

    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|way| way.as_str() == text)
    }

    /// As a page says it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Bag => "drawn from a bag",
            Self::DrawnHere => "drawn in Peglore",
            Self::OfChoice => "pegs of choice",
            Self::Roving => "roving",
            Self::Unknown => "not known",
        }
    }

    pub fn is_drawn(self) -> bool {
        matches!(self, Self::Bag | Self::DrawnHere)
    }
}

impl fmt::Display for PegsAllotted {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}

/// Where a match stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MatchState {
    Planned,
    Fished,
    Published,
    Final,
    Abandoned,
    Void,
    Postponed,
}

impl MatchState {
    pub const ALL: [Self; 7] = [
        Self::Planned,
        Self::Fished,
        Self::Published,
        Self::Final,
        Self::Abandoned,
        Self::Void,
        Self::Postponed,
    ];

    pub fn as_str(self) -> &'static str {
        match self {
            Self::Planned => "planned",
            Self::Fished => "fished",
            Self::Published => "published",
            Self::Final => "final",
            Self::Abandoned => "abandoned",
            Self::Void => "void",
            Self::Postponed => "postponed",
        }
    }

    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|state| state.as_str() == text)
    }

    /// A result has been posted.
    pub fn is_posted(self) -> bool {
        matches!(self, Self::Published | Self::Final)
    }
}

impl fmt::Display for MatchState {
    /// As a page says it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Abandoned => "called off",
            other => other.as_str(),
        })
    }
}

/// Is `day` so far from `today`, more than 18 months ahead or 30 years back, that it is likelier
/// a slip than a match? Common practice, no source.
pub fn is_far_off(day: Day, today: Day) -> bool {
    day.0 > today.0.saturating_add(18.months()) || day.0 < today.0.saturating_sub(30.years())
}

/// Days after a match in which its posted result may still be objected to, as the pages say it.
/// Common practice, no source: a club's own rules say how long.
pub const DAYS_TO_OBJECT: i64 = 30;

/// Whether what was posted may still be objected to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum PublicationState {
    Provisional,
    Final,
}

impl PublicationState {
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Provisional => "provisional",
            Self::Final => "final",
        }
    }

    pub fn parse(text: &str) -> Option<Self> {
        [Self::Provisional, Self::Final]
            .into_iter()
            .find(|state| state.as_str() == text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_is_far_off_beyond_eighteen_months_ahead_or_thirty_years_back() {
        let day = |year, month, day| Day::new(year, month, day).expect("a real day");
        let today = day(2026, 11, 14);
        assert!(!is_far_off(day(2028, 5, 14), today));
        assert!(is_far_off(day(2028, 5, 15), today));
        assert!(!is_far_off(day(1996, 11, 14), today));
        assert!(is_far_off(day(1996, 11, 13), today));
    }
}
