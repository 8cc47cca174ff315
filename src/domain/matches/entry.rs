//! What became of an entry. Blank and did-not-weigh are different facts: a blank fished and
//! caught nothing; who did not weigh fished, and what was caught is unknown and low.

use std::fmt;

use serde::{Deserialize, Serialize};

/// The outcome of an entry, in the order in which a result lists them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Outcome {
    #[serde(rename = "fished")]
    Fished,
    #[serde(rename = "blank")]
    Blank,
    #[serde(rename = "did not weigh")]
    DidNotWeigh,
    #[serde(rename = "disqualified")]
    Disqualified,
    #[serde(rename = "absent")]
    Absent,
}

impl Outcome {
    pub const ALL: [Self; 5] = [
        Self::Fished,
        Self::Blank,
        Self::DidNotWeigh,
        Self::Disqualified,
        Self::Absent,
    ];

    /// The word in the record and on pages.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Fished => "fished",
            Self::Blank => "blank",
            Self::DidNotWeigh => "did not weigh",
            Self::Disqualified => "disqualified",
            Self::Absent => "absent",
        }
    }

    /// The record's own word.
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|o| o.as_str() == text)
    }

    /// As old sheets and weigh cards have it: `DNW`, `did not weigh in`, `DQ`, `no show`, `-`.
    /// `None` when it is no outcome (it may be a weight). Common practice, no source.
    pub fn from_sheet(text: &str) -> Option<Self> {
        Some(match bare_word(text).as_str() {
            "blank" | "blanked" | "nil" | "nothing" | "nofish" | "dryn" | "drynet" => Self::Blank,
            "dnw" | "didnotweigh" | "didnotweighin" | "notweighed" | "nw" | "didnotfinish"
            | "packedup" | "wenthome" => Self::DidNotWeigh,
            "dq" | "dsq" | "disq" | "disqualified" => Self::Disqualified,
            "absent" | "abs" | "dns" | "didnotstart" | "didnotfish" | "noshow" | "dna"
            | "didnotattend" => Self::Absent,
            "fished" => Self::Fished,
            _ => return None,
        })
    }

    /// `DNF` is written of who did not fish, and of who did not finish: an absence or a catch
    /// unknown, so it is never taken for either. Common practice, no source.
    pub fn is_unclear(text: &str) -> bool {
        bare_word(text) == "dnf"
    }

    /// The entry sat on a peg: it is a session. Only the absent did not.
    pub fn is_session(self) -> bool {
        self != Self::Absent
    }

    /// A weight belongs to it. One disqualified may have weighed; the weight is still a fact.
    pub fn may_have_weight(self) -> bool {
        matches!(self, Self::Fished | Self::Disqualified)
    }
}

/// Its letters and figures alone, small.
fn bare_word(text: &str) -> String {
    let letters = text.chars().filter(|c| c.is_alphanumeric());
    letters.flat_map(char::to_lowercase).collect()
}

impl fmt::Display for Outcome {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// Where an entry stands before the match.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EntryStatus {
    Booked,
    Reserve,
    Withdrawn,
    Substituted,
}

impl EntryStatus {
    pub const ALL: [Self; 4] = [
        Self::Booked,
        Self::Reserve,
        Self::Withdrawn,
        Self::Substituted,
    ];

    pub fn as_str(self) -> &'static str {
        match self {
            Self::Booked => "booked",
            Self::Reserve => "reserve",
            Self::Withdrawn => "withdrawn",
            Self::Substituted => "substituted",
        }
    }

    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|status| status.as_str() == text)
    }
}

/// Why an entry keeps a result from being posted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotReady {
    /// Nobody said what became of it.
    NoOutcome,
    /// Fished, and no net is on record.
    NoWeight,
    /// A weight stands beside an outcome that has none.
    WeightWith(Outcome),
}

impl NotReady {
    /// What is missing, if anything: `weighed` is whether any net is on record.
    pub fn check(outcome: Option<Outcome>, weighed: bool) -> Option<Self> {
        match (outcome, weighed) {
            (None, _) => Some(Self::NoOutcome),
            (Some(Outcome::Fished), false) => Some(Self::NoWeight),
            (Some(o), true) if !o.may_have_weight() => Some(Self::WeightWith(o)),
            _ => None,
        }
    }

    /// The sentence for the organiser, beginning with `who`.
    pub fn sentence(self, who: &str) -> String {
        match self {
            Self::NoOutcome => format!(
                "{who} has no weight yet. Enter one, or mark blank, did not weigh, absent or disqualified."
            ),
            Self::NoWeight => {
                format!(
                    "{who} is marked as weighed in. Enter the weight, or mark blank or did not weigh."
                )
            }
            Self::WeightWith(outcome) => format!(
                "{who} is marked {outcome} but has a weight. Take out the weight, or mark as weighed in."
            ),
        }
    }
}
