//! Files that are brought in: what a file holds, and how far it has come.

use std::fmt;

/// What an imported file holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ImportKind {
    /// Past results of matches.
    Results,
    /// Past sessions that were no matches.
    Sessions,
    /// Weather of the days, in any columns.
    Weather,
    /// A station file in the long form of GHCN-Daily.
    GhcnDaily,
}

impl ImportKind {
    pub const ALL: [Self; 4] = [
        Self::Results,
        Self::Sessions,
        Self::Weather,
        Self::GhcnDaily,
    ];

    /// The word in the record and in forms.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Results => "results",
            Self::Sessions => "sessions",
            Self::Weather => "weather",
            Self::GhcnDaily => "ghcn-daily",
        }
    }

    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.as_str() == text)
    }

    /// As a page says it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Results => "match results",
            Self::Sessions => "sessions",
            Self::Weather => "weather of the days",
            Self::GhcnDaily => "weather of a station (GHCN-Daily)",
        }
    }

    /// The same at the beginning of a sentence.
    pub fn heading(self) -> &'static str {
        match self {
            Self::Results => "Match results",
            Self::Sessions => "Sessions",
            Self::Weather => "Weather of the days",
            Self::GhcnDaily => "Weather of a station (GHCN-Daily)",
        }
    }

    /// A sheet of the club's own, results or sessions.
    pub fn is_sheet(self) -> bool {
        matches!(self, Self::Results | Self::Sessions)
    }
}

impl fmt::Display for ImportKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}

/// How far a file has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ImportState {
    /// Kept, laid out to be looked at; nothing of it is in the record.
    Uploaded,
    /// In the record.
    Done,
    /// Taken out again: hidden everywhere, nothing deleted.
    Undone,
}

impl ImportState {
    pub const ALL: [Self; 3] = [Self::Uploaded, Self::Done, Self::Undone];

    pub fn as_str(self) -> &'static str {
        match self {
            Self::Uploaded => "uploaded",
            Self::Done => "done",
            Self::Undone => "undone",
        }
    }

    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|state| state.as_str() == text)
    }

    /// As a page says it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Uploaded => "laid out, not saved yet",
            Self::Done => "in the record",
            Self::Undone => "undone",
        }
    }
}

/// What kind of record a row of a file became.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum RecordKind {
    Angler,
    Match,
    Entry,
    Session,
    WeatherDay,
}

impl RecordKind {
    pub const ALL: [Self; 5] = [
        Self::Angler,
        Self::Match,
        Self::Entry,
        Self::Session,
        Self::WeatherDay,
    ];

    /// The word in the record.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Angler => "angler",
            Self::Match => "match",
            Self::Entry => "entry",
            Self::Session => "session",
            Self::WeatherDay => "weather day",
        }
    }

    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.as_str() == text)
    }

    /// `1 match`, `12 entries`.
    pub fn counted(self, n: i64) -> String {
        let many = match self {
            Self::Angler => "anglers",
            Self::Match => "matches",
            Self::Entry => "entries",
            Self::Session => "sessions",
            Self::WeatherDay => "days of weather",
        };
        match (n, self) {
            (1, Self::WeatherDay) => "1 day of weather".to_owned(),
            (1, _) => format!("1 {}", self.as_str()),
            _ => format!("{n} {many}"),
        }
    }
}
