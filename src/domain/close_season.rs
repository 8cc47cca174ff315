//! Whether a water is in its close season on a day, and the sentence to show.

use super::{
    dates::Day,
    venues::{CloseSeason, WaterKind},
};

/// What shuts a water on a day.
#[derive(Clone, Debug, PartialEq)]
pub enum Shut {
    /// Nothing on record.
    No,
    /// The dates it has given itself.
    ByItsOwnDates { words: String },
    /// The close season of rivers in England and Wales.
    ByByelaw { words: String },
}

impl Shut {
    /// The sentence to show; `None` when nothing shuts it.
    pub fn words(&self) -> Option<&str> {
        match self {
            Self::No => None,
            Self::ByItsOwnDates { words } | Self::ByByelaw { words } => Some(words),
        }
    }
}

/// The close season of a water of this kind, with its own dates where it has given any.
///
/// A river is told of the byelaw whatever its own dates say, since they cannot lift it; the
/// sentence says where it holds. Most stillwaters and canals have no close season by law; the
/// exceptions (the Broads and some protected sites) must give their own dates.
///
/// Source: Environment Agency national byelaws.
pub fn close_season(kind: WaterKind, own: Option<CloseSeason>, day: Day) -> Shut {
    if let Some(dates) = own.filter(|dates| dates.includes(day)) {
        return Shut::ByItsOwnDates {
            words: format!(
                "Close season: this water is shut from {}, both days included, by its own dates.",
                dates.words()
            ),
        };
    }
    let rivers = CloseSeason::RIVERS_ENGLAND_AND_WALES;
    if kind == WaterKind::River && rivers.includes(day) {
        return Shut::ByByelaw {
            words: format!(
                "Close season: coarse fishing on rivers in England and Wales is shut from {}, both \
                 days included (Environment Agency byelaws). Elsewhere ask what holds locally.",
                rivers.words()
            ),
        };
    }
    Shut::No
}
