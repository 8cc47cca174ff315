//! What later postings corrected, in plain words: by posting, then by whom. Corrections are kept
//! as the record writes figures; only here are they put as one says them.

use crate::{
    domain::dates::{Day, Instant, Zone},
    store::matches::publications::Correction,
    web::figures::{many, weights_held},
};

/// What stands in the record where there was nothing.
const NOTHING: &str = "–";

/// What one posting corrected.
pub(super) struct Corrected {
    pub at: String,
    pub reason: String,
    pub lines: Vec<Line>,
    /// Those of whom a place alone changed.
    pub moved: Vec<Line>,
}

/// What was corrected of one entry, or of the match.
pub(super) struct Line {
    pub whom: String,
    pub changes: Vec<Words>,
    only_moved: bool,
}

/// One figure: which, what it was and what it is.
pub(super) struct Words {
    pub what: String,
    pub old: String,
    pub new: String,
}

impl Corrected {
    /// `40 places moved`.
    pub fn places(&self) -> String {
        let places: usize = self.moved.iter().map(|line| line.changes.len()).sum();
        format!("{} moved", many(places as i64, "place", "places"))
    }
}

/// The corrections of a match, oldest first; `whom` names the entry of one.
pub(super) fn told(
    all: &[Correction],
    zone: &Zone,
    whom: impl Fn(&Correction) -> String,
) -> Vec<Corrected> {
    all.chunk_by(|a, b| a.at == b.at && a.reason == b.reason)
        .map(|posting| {
            let (moved, lines) = posting
                .chunk_by(|a, b| a.entry == b.entry)
                .map(|changes| line(changes, whom(&changes[0]), zone))
                .partition(|line| line.only_moved);
            Corrected {
                at: posting[0].at.in_words(zone),
                reason: posting[0].reason.clone(),
                lines,
                moved,
            }
        })
        .collect()
}

fn line(changes: &[Correction], whom: String, zone: &Zone) -> Line {
    let outcome = changes.iter().find(|change| change.field == "outcome");
    let (was, is) = outcome.map_or(("", ""), |change| {
        (change.old.as_str(), change.new.as_str())
    });
    Line {
        whom,
        only_moved: changes
            .iter()
            .all(|change| change.field.starts_with("place")),
        changes: changes
            .iter()
            .map(|change| Words {
                what: change.field.clone(),
                old: plain(&change.field, &change.old, was, zone),
                new: plain(&change.field, &change.new, is, zone),
            })
            .collect(),
    }
}

/// One side of a correction as one says it; `outcome` is that of the same side, empty where it
/// did not change.
fn plain(field: &str, text: &str, outcome: &str, zone: &Zone) -> String {
    let plain = match (field, text) {
        ("entry", NOTHING) => "not entered".to_owned(),
        ("angler", NOTHING) => "no name".to_owned(),
        ("angler", _) => "a name".to_owned(),
        ("start" | "finish", NOTHING) => "no time".to_owned(),
        ("start" | "finish", _) => moment(text, zone),
        ("date", _) => Day::parse(text).map_or_else(|| text.to_owned(), Day::long),
        ("weight" | "weighed in all", "0 oz" | "0 g") if outcome == "blank" => "nothing".to_owned(),
        ("weight" | "weighed in all", "0 oz" | "0 g") => "not weighed".to_owned(),
        ("place in section", NOTHING) => "no place".to_owned(),
        (_, NOTHING) if field.starts_with("net ") => "not weighed".to_owned(),
        (_, NOTHING) => format!("no {field}"),
        _ => text.to_owned(),
    };
    weights_held(&plain)
}

/// `Tuesday 24 November 2026, 10:00` from an instant of the record.
fn moment(text: &str, zone: &Zone) -> String {
    Instant::parse(text).map_or_else(
        || text.to_owned(),
        |at| format!("{}, {}", at.day(zone).long(), at.clock(zone)),
    )
}

#[cfg(test)]
mod tests {
    use crate::domain::ids::EntryId;

    use super::*;

    fn correction(entry: Option<i64>, field: &str, old: &str, new: &str) -> Correction {
        Correction {
            entry: entry.map(EntryId),
            field: field.to_owned(),
            old: old.to_owned(),
            new: new.to_owned(),
            at: Instant(0),
            reason: "the card was read wrongly".to_owned(),
        }
    }

    #[test]
    fn a_posting_is_told_once_in_plain_words_and_places_that_only_moved_stand_apart() {
        let told = told(
            &[
                correction(None, "start", "–", "2026-11-24T10:00:00Z"),
                correction(Some(1), "outcome", "did not weigh", "fished"),
                correction(Some(1), "net 1", "–", "12 lb 8 oz, All fish"),
                correction(Some(1), "weight", "0 oz", "12 lb 8 oz"),
                correction(Some(1), "place", "–", "1"),
                correction(Some(2), "place", "1", "2"),
                correction(Some(2), "place in section", "1", "2"),
                correction(Some(3), "outcome", "fished", "blank"),
                correction(Some(3), "weight", "8 oz", "0 oz"),
            ],
            &Zone::named("Europe/London").expect("shipped"),
            |change| change.entry.map_or_else(String::new, |id| id.0.to_string()),
        );

        assert_eq!(told.len(), 1, "one time and one reason, one posting");
        let words: Vec<(&str, &str, String, String)> = told[0]
            .lines
            .iter()
            .flat_map(|line| line.changes.iter().map(move |c| (line.whom.as_str(), c)))
            .map(|(whom, c)| {
                let spaced = |text: &str| text.replace('\u{a0}', " ");
                (whom, c.what.as_str(), spaced(&c.old), spaced(&c.new))
            })
            .collect();
        let row = |whom, what, old: &str, new: &str| (whom, what, old.to_owned(), new.to_owned());
        assert_eq!(
            words,
            [
                row("", "start", "no time", "Tuesday 24 November 2026, 10:00"),
                row("1", "outcome", "did not weigh", "fished"),
                row("1", "net 1", "not weighed", "12 lb 8 oz, All fish"),
                row("1", "weight", "not weighed", "12 lb 8 oz"),
                row("1", "place", "no place", "1"),
                row("3", "outcome", "fished", "blank"),
                row("3", "weight", "8 oz", "nothing"),
            ]
        );
        assert_eq!(told[0].moved.len(), 1);
        assert_eq!(told[0].places(), "2\u{a0}places moved");
    }
}
