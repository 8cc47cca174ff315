//! The same row a second time.

use crate::domain::names::key;
use crate::domain::units::quoted;
use crate::formats::old_sheets::{Entry, SheetOf};

/// What may stand in a file once only: an angler in a match; of sessions, all that a row tells.
pub(super) fn own(entry: &Entry, of: SheetOf) -> String {
    match of {
        SheetOf::Matches => [
            entry.day.to_string(),
            key(&entry.venue),
            key(&entry.match_name),
            entry.angler.key(),
        ]
        .join("\u{1f}"),
        SheetOf::Sessions => entry.outing_sha256().map(|b| format!("{b:02x}")).concat(),
    }
}

pub(super) fn twice(entry: &Entry, first: u64, of: SheetOf) -> String {
    let who = quoted(&entry.angler.full());
    match of {
        SheetOf::Matches => format!(
            "{who} stands in this match on line {first} already. Take out one of the two, or tell two of one name apart."
        ),
        SheetOf::Sessions => format!(
            "The same outing stands on line {first}, so this one is said twice. Take out one of the two; if {who} fished twice that day, say in the remarks what tells them apart."
        ),
    }
}
