//! The words of a sheet for methods and baits that the club does not have, each with a choice of
//! the club’s own; asked once for the file.

use std::collections::BTreeMap;

use crate::{
    actions::import::sheet::{ClubLists, UnknownWord},
    domain::ids::{BaitId, MethodId},
    formats::old_sheets::{Field as Holds, Mapping},
    web::{
        forms::{Field, Form, Problems},
        imports::{from_figures, in_figures},
    },
};

/// The most words that a form may answer about.
const MOST_ANSWERS: usize = 200;

fn name(of: Holds, key: &str) -> String {
    format!("{}-{}", of.slug(), in_figures(key))
}

/// The box of a word with what it may mean.
pub(super) fn line(
    word: &UnknownWord,
    lists: &ClubLists,
    form: &Form,
    problems: &Problems,
) -> (Field, Vec<(String, String)>) {
    let rows = match word.rows {
        1 => "1 row".to_owned(),
        n => format!("{n} rows"),
    };
    let label = format!("“{}”, a {} ({rows})", word.word, word.of.slug());
    let name = name(word.of, &word.key);
    let field = Field::new(&name, &label, form.get(&name)).problems(problems);
    let choices = lists.of(word.of).iter();
    let choices = choices.map(|choice| (choice.id.to_string(), choice.name.clone()));
    (field, choices.collect())
}

/// Puts what a form says that words mean into the mapping; a word without a meaning goes into the
/// remarks. One that has no box, because this file does not say it, keeps what it meant in another.
pub(super) fn read(form: &Form, mapping: &mut Mapping) {
    put(form, Holds::Method, MethodId, &mut mapping.methods);
    put(form, Holds::Bait, BaitId, &mut mapping.baits);
}

fn put<T>(form: &Form, of: Holds, id: fn(i64) -> T, known: &mut BTreeMap<String, T>) {
    let prefix = format!("{}-", of.slug());
    let said = form.pairs().iter().filter_map(|(name, value)| {
        let key = from_figures(name.strip_prefix(&prefix)?)?;
        Some((key, value.trim().parse::<i64>().ok()))
    });
    for (key, meaning) in said.take(MOST_ANSWERS) {
        match meaning {
            Some(meaning) => known.insert(key, id(meaning)),
            None => known.remove(&key),
        };
    }
}

/// The pairs that would have given these meanings.
pub(super) fn pairs(mapping: &Mapping) -> Vec<(String, String)> {
    let methods = mapping.methods.iter();
    let methods = methods.map(|(key, id)| (name(Holds::Method, key), id.to_string()));
    let baits = mapping.baits.iter();
    let baits = baits.map(|(key, id)| (name(Holds::Bait, key), id.to_string()));
    methods.chain(baits).collect()
}

/// Asks about the words that the form had no box for: the columns were not yet known to hold them.
pub(super) fn ask(unknown: &[UnknownWord], form: &Form, problems: &mut Problems) {
    for word in unknown {
        let name = name(word.of, &word.key);
        if !form.has(&name) {
            let sentence = format!(
                "“{}” is not on the club’s list of {}s. Say which of them it is, or leave it to the remarks.",
                word.word,
                word.of.slug()
            );
            problems.add(name, sentence);
        }
    }
}
