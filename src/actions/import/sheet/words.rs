//! What a sheet calls methods and baits: the club's own words, words an officer said the meaning
//! of, and words that nobody matched, which go into the remarks.

use std::collections::{BTreeMap, BTreeSet};

use super::Look;
use crate::{
    actions::ActionError,
    domain::{
        ids::{BaitId, MethodId},
        names::key,
    },
    formats::{
        csv::Sheet,
        old_sheets::{Entry, Field, Mapping, SheetOf, Told},
    },
    statistics::wording,
    store::{
        Connection,
        sessions::choices::{self, Choice},
    },
};

/// The most words of one file that are asked about; any others go into the remarks.
const MOST_WORDS: usize = 60;

/// The methods and baits on the club's list.
pub struct ClubLists {
    pub methods: Vec<Choice>,
    pub baits: Vec<Choice>,
}

/// A word for a method or a bait that is not on the club's list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnknownWord {
    /// [`Field::Method`] or [`Field::Bait`].
    pub of: Field,
    /// The word folded, by which the mapping knows it.
    pub key: String,
    pub word: String,
    pub rows: usize,
}

/// The one of that name, else the one of which it is the plain plural: `maggots` is Maggot.
fn named(list: &[Choice], folded: &str) -> Option<i64> {
    let same = |word: &str| list.iter().find(|choice| key(&choice.name) == word);
    let found = same(folded).or_else(|| same(folded.strip_suffix('s')?));
    found.map(|choice| choice.id)
}

impl ClubLists {
    pub async fn read(connection: &mut Connection) -> Result<Self, ActionError> {
        Ok(Self {
            methods: choices::methods(connection).await?,
            baits: choices::baits(connection).await?,
        })
    }

    /// What a word of such a column may be said to mean.
    pub fn of(&self, field: Field) -> &[Choice] {
        match field {
            Field::Bait => &self.baits,
            _ => &self.methods,
        }
    }

    /// The words of a file that are not on the list, in the order of their first rows. A match
    /// keeps no baits, so those of its anglers are not asked about.
    pub fn unknown(&self, sheet: &Sheet, mapping: &Mapping) -> Vec<UnknownWord> {
        let mut words: Vec<UnknownWord> = Vec::new();
        for (at, column) in mapping.columns.iter().enumerate() {
            let of = column
                .map(|column| column.field)
                .filter(|field| match field {
                    Field::Method => true,
                    Field::Bait => mapping.of == SheetOf::Sessions,
                    _ => false,
                });
            let Some(of) = of else {
                continue;
            };
            for cell in sheet.cells(at).map(str::trim) {
                let folded = key(cell);
                if folded.is_empty() || named(self.of(of), &folded).is_some() {
                    continue;
                }
                let seen = words.iter().position(|w| w.of == of && w.key == folded);
                match seen {
                    Some(at) => words[at].rows += 1,
                    None if words.len() < MOST_WORDS => words.push(UnknownWord {
                        of,
                        key: folded,
                        word: cell.chars().take(80).collect(),
                        rows: 1,
                    }),
                    None => {}
                }
            }
        }
        words
    }

    pub fn method(&self, row: &Entry, mapping: &Mapping) -> Option<MethodId> {
        let folded = key(row.method.as_deref()?);
        let said = || mapping.methods.get(&folded).copied();
        let there = |id: &MethodId| self.methods.iter().any(|method| method.id == id.0);
        let own = named(&self.methods, &folded).map(MethodId);
        own.or_else(|| said().filter(there))
    }

    pub(super) fn bait(&self, row: &Entry, mapping: &Mapping) -> Option<BaitId> {
        let folded = key(row.bait.as_deref()?);
        let said = || mapping.baits.get(&folded).copied();
        let there = |id: &BaitId| self.baits.iter().any(|bait| bait.id == id.0);
        let own = named(&self.baits, &folded).map(BaitId);
        own.or_else(|| said().filter(there))
    }
}

/// The remarks of a row, and after them its words for a method or bait that stand nowhere else:
/// `method on the sheet: feeder`.
pub(super) fn remarks(row: &Entry, has_method: bool, has_bait: bool) -> Option<String> {
    let word = |what: &str, word: &Option<String>, kept: bool| {
        let word = word.as_deref().filter(|_| !kept)?;
        Some(format!("{what} on the sheet: {word}"))
    };
    let words = [
        row.remarks.clone(),
        word("method", &row.method, has_method),
        word("bait", &row.bait, has_bait),
    ];
    let lines: Vec<String> = words.into_iter().flatten().collect();
    (!lines.is_empty()).then(|| lines.join("\n"))
}

/// Tells once of each word that goes into the remarks of what the file makes.
pub(super) fn tell_unmatched(look: &mut Look) {
    let sessions = look.sessions.iter();
    let sessions =
        sessions.map(|made| (&made.row, made.method.is_some(), made.bait.is_some(), false));
    let entries = look.matches.iter().flat_map(|made| &made.entries);
    let entries = entries.map(|made| (&made.row, made.method.is_some(), false, true));
    let mut unmatched: BTreeMap<(Field, String), (String, BTreeSet<u64>, bool)> = BTreeMap::new();
    for (row, has_method, has_bait, of_match) in sessions.chain(entries) {
        let mut note = |of: Field, word: &Option<String>, kept: bool| {
            if let Some(word) = word.as_deref().filter(|_| !kept) {
                let new = || (word.to_owned(), BTreeSet::new(), of_match);
                let known = unmatched.entry((of, key(word))).or_insert_with(new);
                known.1.insert(row.line);
            }
        };
        note(Field::Method, &row.method, has_method);
        note(Field::Bait, &row.bait, has_bait);
    }
    for ((of, _), (word, lines, of_match)) in unmatched {
        let rows = match lines.len() {
            1 => "this row".to_owned(),
            n => format!("this and {} more", wording::count(n - 1, "row", "rows")),
        };
        let why = match of {
            Field::Bait if of_match => "Baits are not kept with the entries of a match".to_owned(),
            of => format!("“{word}” is not on the club’s list of {}s", of.slug()),
        };
        let Some(line) = lines.first().copied() else {
            continue;
        };
        look.told.push(Told {
            line,
            sentence: format!(
                "{why}, so the remarks of {rows} say “{} on the sheet: {word}”.",
                of.slug()
            ),
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plain_plural_is_the_word_and_a_name_of_its_own_stands_first() {
        let choice = |id, name: &str| Choice {
            id,
            name: name.to_owned(),
            retired: false,
        };
        let list = [
            choice(1, "Maggot"),
            choice(2, "Worm"),
            choice(3, "Worms"),
            choice(4, "Bass"),
        ];
        for (typed, found) in [
            ("Maggots", Some(1)),
            ("worm", Some(2)),
            ("worms", Some(3)),
            ("Bas", None),
            ("s", None),
        ] {
            assert_eq!(named(&list, &key(typed)), found, "{typed}");
        }
    }
}
