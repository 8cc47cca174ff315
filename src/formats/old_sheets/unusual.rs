//! Rows that are taken as they stand and may yet be a slip: told, so that they are seen wherever
//! they are in the file.

use super::{Entry, SheetOf, Told};
use crate::domain::matches::Outcome;

/// A sentence for each thing about a row that an officer should have seen before it is saved.
pub fn unusual(entry: &Entry, of: SheetOf) -> Vec<Told> {
    let unlikely = entry.nets.iter().map(|net| net.weight);
    let unlikely = unlikely.filter(|weight| weight.is_unlikely_of_a_net());
    let mut told: Vec<Told> = unlikely
        .map(|weight| Told {
            line: entry.line,
            sentence: format!(
                "{} in one net is unlikely. It is taken as it stands; mend it in the sheet if it is a slip.",
                weight.words()
            ),
        })
        .collect();
    if of == SheetOf::Sessions && entry.outcome == Outcome::DidNotWeigh {
        told.push(Told {
            line: entry.line,
            sentence: "“Did not weigh” is kept of matches only. The row is taken as a session outside a match: weight not known.".to_owned(),
        });
    }
    told
}
