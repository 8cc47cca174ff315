//! Rows that may be a slip, wherever they are in the file: a weight hardly to be believed is asked
//! about before it is saved, a word that a session does not keep is told.

use super::{Entry, SheetOf, Told};
use crate::domain::matches::Outcome;
use crate::domain::units::Weight;

/// A weight so heavy for one net that it is likelier a slip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Unlikely {
    pub line: u64,
    pub weight: Weight,
}

impl Unlikely {
    /// `300 lb on line 2`.
    pub fn named(&self) -> String {
        format!("{} on line {}", self.weight.words(), self.line)
    }

    pub fn sentence(&self) -> String {
        format!("{} in one net is unlikely.", self.weight.words())
    }
}

/// The weights of a row that somebody has to say are right.
pub fn unlikely(entry: &Entry) -> Vec<Unlikely> {
    let weights = entry.nets.iter().map(|net| net.weight);
    weights
        .filter(|weight| weight.is_unlikely_of_a_net())
        .map(|weight| Unlikely {
            line: entry.line,
            weight,
        })
        .collect()
}

/// What an officer should have seen of a row that is kept otherwise than it is written.
pub fn unusual(entry: &Entry, of: SheetOf) -> Option<Told> {
    let unweighed = of == SheetOf::Sessions && entry.outcome == Outcome::DidNotWeigh;
    unweighed.then(|| Told {
        line: entry.line,
        sentence: "“Did not weigh” is kept of matches only. The row is taken as a session outside a match: weight not known.".to_owned(),
    })
}
