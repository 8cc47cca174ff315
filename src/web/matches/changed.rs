//! Where what was sent of a match and what was saved meanwhile differ, in words.

use super::typed::{Typed, group_field};
use crate::{domain::groups::Group, web::forms::Form};

/// One thing that two people have otherwise.
pub(super) struct Difference {
    pub label: String,
    pub theirs: String,
    pub yours: String,
}

/// Every field that `saved` has otherwise than what was typed; `names` are the fields of sections
/// and teams with their names. One that was sent and is among them no longer is told too.
pub(super) fn differences(
    typed: &Typed,
    saved: &Form,
    names: &[(String, String)],
) -> Vec<Difference> {
    let mut fields = fixed(typed);
    for (field, name) in names {
        fields.push((field.clone(), format!("Name of {name}"), Vec::new()));
    }
    let otherwise = fields
        .into_iter()
        .filter(|(field, ..)| typed.form.has(field) && typed.form.get(field) != saved.get(field))
        .map(|(field, label, words)| Difference {
            label,
            theirs: in_words(&words, saved.get(&field)),
            yours: in_words(&words, typed.form.get(&field)),
        });
    let sent = typed.form.pairs().iter();
    let gone = sent
        .filter(|(field, name)| !name.trim().is_empty() && !saved.has(field))
        .filter_map(|(field, name)| {
            Some(Difference {
                label: named_by(field)?.to_owned(),
                theirs: "taken out of the match".to_owned(),
                yours: name.trim().to_owned(),
            })
        });
    otherwise.chain(gone).collect()
}

/// What a field names that stands for a section or a team on record.
fn named_by(field: &str) -> Option<&'static str> {
    let (kind, id) = field.split_once('-')?;
    id.parse::<i64>().ok()?;
    match kind {
        "section" => Some("Section"),
        "team" => Some("Team"),
        _ => None,
    }
}

type Choices = Vec<(String, String)>;

/// The fields every match has: name, label, and what its choices are called.
fn fixed(typed: &Typed) -> Vec<(String, String, Choices)> {
    let plain = |field: &str, label: &str| (field.to_owned(), label.to_owned(), Vec::new());
    let mut fields = vec![
        plain("name", "Name of the match"),
        ("venue".to_owned(), "Venue".to_owned(), typed.venues()),
        plain("on", "Date"),
        plain("meet_place", "Meeting place"),
        plain("meet", "Meet at"),
        plain("start", "Fish from"),
        plain("finish", "To"),
        (
            "pegs_allotted".to_owned(),
            "How anglers come by their pegs".to_owned(),
            typed.ways(),
        ),
        ("ranking".to_owned(), "Scales".to_owned(), typed.rankings()),
    ];
    fields.extend(Group::ALL.map(|group| {
        (
            group_field(group),
            group.name().to_owned(),
            typed.counting(),
        )
    }));
    fields
}

fn in_words(choices: &[(String, String)], value: &str) -> String {
    let chosen = choices.iter().find(|(known, _)| known == value);
    match chosen {
        Some((_, words)) => words.clone(),
        None if value.is_empty() => "empty".to_owned(),
        None => value.to_owned(),
    }
}
