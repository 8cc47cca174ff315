//! What a later posting corrects, told in sentences: by posting, then by whom. Corrections are kept as
//! the record writes figures; only here are they put as one says them.

use std::collections::BTreeSet;

use crate::{
    domain::{
        dates::{Day, Instant, Zone},
        ids::EntryId,
        matches::Change,
    },
    store::matches::publications::Correction,
    web::figures::{many, weights_held},
};

/// What stands in the record where there was nothing.
const NOTHING: &str = "–";

/// What one posting corrected.
pub(super) struct Corrected {
    pub at: String,
    /// Who made it, as the reader may see it.
    pub by: String,
    pub reason: String,
    pub told: Told,
}

/// What differs between two results.
#[derive(Default)]
pub(super) struct Told {
    /// The match, then an entry each.
    pub lines: Vec<String>,
    /// Those of whom a place alone changed.
    pub moved: Vec<String>,
}

impl Told {
    /// `3 anglers’ places moved`.
    pub fn places(&self) -> String {
        let moved = self.moved.len() as i64;
        format!("{} moved", many(moved, "angler’s place", "anglers’ places"))
    }
}

/// The corrections of a match, oldest first; `whom` names an entry, `by` an account.
pub(super) fn told(
    all: &[Correction],
    zone: &Zone,
    whom: impl Fn(EntryId) -> String,
    by: impl Fn(Option<&str>) -> String,
) -> Vec<Corrected> {
    all.chunk_by(|a, b| a.at == b.at && a.reason == b.reason)
        .map(|posting| {
            let changes: Vec<Change> = posting.iter().map(Correction::change).collect();
            Corrected {
                at: posting[0].at.in_words(zone),
                by: by(posting[0].by.as_deref()),
                reason: posting[0].reason.clone(),
                told: differences(&changes, zone, &whom),
            }
        })
        .collect()
}

/// Changes of one posting to another, as `domain::matches::changes` gives them.
pub(super) fn differences(
    changes: &[Change],
    zone: &Zone,
    whom: impl Fn(EntryId) -> String,
) -> Told {
    let mut told = Told::default();
    let saying = Saying::of(changes, zone);
    for of_one in changes.chunk_by(|a, b| a.entry == b.entry) {
        let line = line(of_one, of_one[0].entry.map(&whom), &saying);
        let only_moved = of_one
            .iter()
            .all(|change| change.field.starts_with("place"));
        match only_moved {
            true => told.moved.push(line),
            false => told.lines.push(line),
        }
    }
    told
}

/// What figures are said by.
struct Saying<'a> {
    zone: &'a Zone,
    /// Nets of several kinds changed: each is said with the fish in it.
    by_kind: bool,
}

impl<'a> Saying<'a> {
    fn of(changes: &[Change], zone: &'a Zone) -> Self {
        let nets = changes
            .iter()
            .filter(|change| change.field.starts_with("net "));
        let kinds: BTreeSet<&str> = nets
            .flat_map(|change| [&change.old, &change.new])
            .filter_map(|net| net.split_once(", "))
            .map(|(_, kind)| kind)
            .collect();
        Self {
            zone,
            by_kind: kinds.len() > 1,
        }
    }
}

/// All that changed of one entry, or of the match; the first sentence says whose it is.
fn line(changes: &[Change], whom: Option<String>, saying: &Saying<'_>) -> String {
    let outcome = changes.iter().find(|change| change.field == "outcome");
    let is_blank = |outcome: Option<&str>| outcome == Some("blank");
    let blank = (
        is_blank(outcome.map(|change| change.old.as_str())),
        is_blank(outcome.map(|change| change.new.as_str())),
    );
    let sentences: Vec<String> = changes
        .iter()
        .enumerate()
        .map(|(at, change)| sentence(change, whom.as_deref().filter(|_| at == 0), blank, saying))
        .collect();
    weights_held(&sentences.join(" "))
}

fn sentence(
    change: &Change,
    whom: Option<&str>,
    blank: (bool, bool),
    saying: &Saying<'_>,
) -> String {
    let field = change.field.as_str();
    let was = plain(field, &change.old, blank.0, saying);
    let is = plain(field, &change.new, blank.1, saying);
    let name = whom.unwrap_or("The angler");
    let noun = noun(field);
    let subject = match whom {
        Some(whom) => format!("{whom}’s {noun}"),
        None => format!("The {noun}"),
    };
    match (field, was, is) {
        ("entry", None, Some(is)) => {
            format!("{name}, not in the result before, is in it now: {is}.")
        }
        ("entry", Some(was), _) => format!("{name} is taken out of the result: {was} before."),
        ("angler", _, Some(_)) => format!("{subject} is put in."),
        ("angler", _, None) => format!("{subject} is taken out."),
        (_, Some(was), Some(is)) => format!("{subject} is {is}, not {was}."),
        (_, None, Some(is)) if field.starts_with("net ") => {
            format!("{subject}, not weighed before, is {is}.")
        }
        (_, None, Some(is)) => format!("{subject} is {is}; there was none before."),
        (_, Some(was), None) => format!("{subject}, {was} before, is taken out."),
        (_, None, None) => format!("{subject} is as it was."),
    }
}

/// What one calls a figure of the record.
fn noun(field: &str) -> String {
    const NETS: [&str; 6] = ["first", "second", "third", "fourth", "fifth", "sixth"];
    if let Some(number) = field.strip_prefix("net ") {
        let place = number.parse().unwrap_or(0_usize).wrapping_sub(1);
        return match NETS.get(place) {
            Some(which) => format!("{which} net"),
            None => field.to_owned(),
        };
    }
    match field {
        "angler" => "name",
        "weighed in all" => "weight with nothing capped",
        "place in section" => "place in the section",
        "how pegs were allotted" => "way in which pegs were allotted",
        field => field,
    }
    .to_owned()
}

/// One side of a change as one says it; `None` where there is nothing. `blank`: the angler caught
/// nothing, so that no weight is a weight.
fn plain(field: &str, text: &str, blank: bool, saying: &Saying<'_>) -> Option<String> {
    if text == NOTHING {
        return None;
    }
    Some(match field {
        "start" | "finish" => moment(text, saying.zone),
        "date" => Day::parse(text).map_or_else(|| text.to_owned(), Day::long),
        "outcome" if text == "fished" => "“weighed in”".to_owned(),
        "outcome" | "name of the match" => format!("“{text}”"),
        "weight" | "weighed in all" if matches!(text, "0 oz" | "0 g") => {
            return blank.then(|| "nothing".to_owned());
        }
        "place" | "place in section" => place(text),
        net if net.starts_with("net ") => match text.split_once(", ") {
            Some((weight, kind)) if saying.by_kind => format!("{weight} ({kind})"),
            Some((weight, _)) => weight.to_owned(),
            None => text.to_owned(),
        },
        _ => text.to_owned(),
    })
}

/// `2nd` for `2`, `joint 2nd` for `2=`.
fn place(text: &str) -> String {
    let number = text.trim_end_matches('=');
    let ending = match number.as_bytes() {
        [.., b'1', _] => "th",
        [.., b'1'] => "st",
        [.., b'2'] => "nd",
        [.., b'3'] => "rd",
        _ => "th",
    };
    match text.ends_with('=') {
        true => format!("joint {number}{ending}"),
        false => format!("{number}{ending}"),
    }
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
    use super::*;

    fn correction(entry: Option<i64>, field: &str, old: &str, new: &str) -> Correction {
        Correction {
            entry: entry.map(EntryId),
            field: field.to_owned(),
            old: old.to_owned(),
            new: new.to_owned(),
            at: Instant(0),
            reason: "the card was read wrongly".to_owned(),
            by: Some("Wenlock".to_owned()),
        }
    }

    fn spaced(lines: &[String]) -> Vec<String> {
        lines
            .iter()
            .map(|line| line.replace('\u{a0}', " "))
            .collect()
    }

    #[test]
    fn a_posting_is_told_once_in_sentences_and_places_that_only_moved_stand_apart() {
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
                correction(Some(4), "net 2", "–", "1 lb 1 oz, All fish"),
                correction(Some(4), "weight", "12 lb 8 oz", "13 lb 9 oz"),
                correction(Some(4), "place", "2=", "11"),
                correction(Some(5), "entry", "8 oz", "–"),
            ],
            &Zone::named("Europe/London").expect("shipped"),
            |entry| format!("Angler {entry}"),
            |name| name.unwrap_or_default().to_owned(),
        );

        assert_eq!(told.len(), 1, "one time and one reason, one posting");
        assert_eq!(told[0].by, "Wenlock");
        assert_eq!(
            spaced(&told[0].told.lines),
            [
                "The start is Tuesday 24 November 2026, 10:00; there was none before.",
                "Angler 1’s outcome is “weighed in”, not “did not weigh”. The first net, not weighed before, is 12 lb 8 oz. The weight is 12 lb 8 oz; there was none before. The place is 1st; there was none before.",
                "Angler 3’s outcome is “blank”, not “weighed in”. The weight is nothing, not 8 oz.",
                "Angler 4’s second net, not weighed before, is 1 lb 1 oz. The weight is 13 lb 9 oz, not 12 lb 8 oz. The place is 11th, not joint 2nd.",
                "Angler 5 is taken out of the result: 8 oz before.",
            ]
        );
        assert_eq!(
            spaced(&told[0].told.moved),
            ["Angler 2’s place is 2nd, not 1st. The place in the section is 2nd, not 1st."]
        );
        assert_eq!(told[0].told.places(), "1\u{a0}angler’s place moved");
    }
}
