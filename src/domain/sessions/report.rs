//! A whole report, ready to be kept, and who may see it.

use super::{Caught, NamedFish, Spell, Tally, spell};
use crate::domain::{
    dates::{Day, Instant},
    ids::VenueId,
};

/// Who may see the angler's own part of a session.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Visibility {
    Private,
    Team,
    Club,
}

impl Visibility {
    pub const ALL: [Self; 3] = [Self::Private, Self::Team, Self::Club];

    /// The word in the record.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Private => "private",
            Self::Team => "team",
            Self::Club => "club",
        }
    }

    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|v| v.as_str() == text)
    }

    pub fn words(self) -> &'static str {
        match self {
            Self::Private => "only me",
            Self::Team => "my team",
            Self::Club => "the club",
        }
    }

    /// Who will see a report that is still to be sent, to its angler.
    pub fn foretold(self) -> &'static str {
        match self {
            Self::Private => "Only you will see this report.",
            Self::Team => "Your team will see this report.",
            Self::Club => "The club will see this report.",
        }
    }

    /// May a member see it? `same_team`: of a team the angler was in that day.
    pub fn admits(self, own: bool, same_team: bool) -> bool {
        own || match self {
            Self::Private => false,
            Self::Team => same_team,
            Self::Club => true,
        }
    }
}

/// What an angler reports of one session. The venue's zone turns its instants into clock times.
#[derive(Clone, Debug, PartialEq)]
pub struct Report {
    pub venue: VenueId,
    /// The local date on which it began.
    pub day: Day,
    pub start: Option<Instant>,
    pub end: Option<Instant>,
    /// At least one; time that none covers is a spell of its own.
    pub spells: Vec<Spell>,
    pub caught: Vec<Caught>,
    pub named: Vec<NamedFish>,
    pub tallies: Vec<Tally>,
    pub remarks: Option<String>,
    pub visibility: Visibility,
}

impl Report {
    /// Σ rods × minutes ÷ 60; `None` where a spell's time is not known, and then it enters no rate.
    pub fn rod_hours(&self) -> Option<f64> {
        spell::rod_hours(&self.spells)
    }

    /// Could both have been fished by one angler in one outing? Unknown hours may overlap anything.
    pub fn overlaps(&self, start: Option<Instant>, end: Option<Instant>) -> bool {
        match (self.start, self.end, start, end) {
            (Some(from), Some(to), Some(start), Some(end)) => from < end && start < to,
            _ => true,
        }
    }
}
