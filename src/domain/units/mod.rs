//! Weights, lengths, counts and times as people on the bank type them: how each is read, kept
//! and shown. A weight is whole units of the scales that made it, so that nothing is ever
//! rounded on its way into the record. Temperatures and pressures belong to `weather`.

pub mod chosen;
pub mod numbers;
pub mod weight;
pub mod weight_text;

pub use chosen::{Speed, Units};
pub use numbers::{Length, Minutes, read_aim, read_count, read_hours, read_metres};
pub use weight::{Ranking, Scale, Total, Weight};
pub use weight_text::{Bare, Choice, WeightReading, read_weight};

/// What was typed, shortened and without what cannot be seen, between quotation marks, for a
/// message that says how to mend it.
pub fn quoted(typed: &str) -> String {
    let shown: String = typed
        .trim()
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .filter(|c| !crate::domain::units::is_unseen(*c))
        .collect();
    let short: String = shown.chars().take(24).collect();
    let more = if shown.chars().count() > 24 {
        "…"
    } else {
        ""
    };
    format!("“{short}{more}”")
}

/// Nothing, or a dash alone, which is how a paper sheet marks a gap.
pub fn is_gap(cell: &str) -> bool {
    matches!(cell, "" | "-" | "–" | "—")
}

/// Characters that take no room or turn the writing round: never part of a number or a name.
pub(crate) fn is_unseen(c: char) -> bool {
    matches!(c,
        '\u{00ad}' | '\u{034f}' | '\u{061c}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}' | '\u{180e}'
        | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}'
        | '\u{3164}' | '\u{feff}' | '\u{ffa0}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e0fff}')
}
