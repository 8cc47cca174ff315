//! The anglers a file names, and who each is. An equal name is taken without asking; whatever is
//! only alike is put to an officer.

use std::collections::BTreeMap;

use super::{MOST_NAMES, Person};
use crate::{
    domain::{
        ids::{AnglerId, Pid},
        names::{Known, Name},
    },
    formats::old_sheets::OldSheet,
    store::anglers::Angler,
};

/// Somebody who may be meant, and why.
#[derive(Clone, Debug)]
pub struct Suggestion {
    pub person: Person,
    /// Who and why: `Dot Hazelpatch, on the club’s list: one letter apart`.
    pub words: String,
    /// Who, as a choice on a phone has room for: `Dot Hazelpatch, on the list`.
    pub short: String,
    /// The surname alone agrees.
    pub faint: bool,
}

/// Who a name turned out to be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Is {
    OnRecord(AnglerId),
    /// New: the folded name under which to add them.
    New(String),
    LeftOut,
    /// Still to be asked.
    Open,
}

/// A name in the file.
#[derive(Clone, Debug)]
pub struct Named {
    pub key: String,
    pub name: Name,
    pub rows: usize,
    /// The line of its first row.
    pub line: u64,
    /// The sheet marks it as a junior’s, on one row at least.
    pub marked: bool,
    /// Who may be meant; empty where nobody is alike.
    pub suggestions: Vec<Suggestion>,
    pub answer: Option<Person>,
    pub is: Is,
}

impl Named {
    pub fn is_open(&self) -> bool {
        self.is == Is::Open
    }

    /// It adds an angler of its own.
    pub fn is_new(&self) -> bool {
        self.is == Is::New(self.key.clone())
    }

    /// Nobody shares more than the surname: new, unless an officer says otherwise.
    pub fn is_faint(&self) -> bool {
        self.is_doubtful() && self.suggestions.iter().all(|one| one.faint)
    }

    /// Like nobody on the list or in the file: a new angler, or whomever an officer chose.
    pub fn is_unlike(&self) -> bool {
        let chosen = matches!(self.answer, Some(Person::OnRecord(_)));
        !self.is_doubtful() && (self.is_new() || chosen)
    }

    /// Whoever was chosen has left the list since.
    pub fn has_left(&self) -> bool {
        self.is_open() && matches!(self.answer, Some(Person::OnRecord(_)))
    }

    /// Something was, or is to be, asked about it.
    pub fn is_doubtful(&self) -> bool {
        !self.suggestions.is_empty()
    }

    /// Whoever is new by this name is a junior: as answered, else as the sheet marks it.
    pub fn junior(&self) -> bool {
        match self.answer {
            Some(Person::New { junior }) => junior,
            _ => self.marked,
        }
    }
}

/// Every name of a file, those with the most rows first.
///
/// Errors: a sentence, when there are more names than can be compared.
pub(super) fn named(
    read: &OldSheet,
    on_record: &[Angler],
    answers: &BTreeMap<String, Person>,
) -> Result<Vec<Named>, String> {
    let mut names = gathered(read);
    if names.len() > MOST_NAMES {
        return Err(format!(
            "The column of anglers holds {} different names, and {MOST_NAMES} at most are taken from one file. Check that it is the right column, or split the file by years.",
            names.len()
        ));
    }
    names.sort_by(|a, b| b.rows.cmp(&a.rows).then_with(|| a.key.cmp(&b.key)));
    let anglers: Vec<(&Angler, Name)> = on_record
        .iter()
        .filter_map(|angler| {
            let name = Name::from_label(angler.given.clone()?, angler.surname.clone());
            Some((angler, name))
        })
        .collect();
    let known = Known::of(anglers.iter().map(|(_, name)| name));
    let in_file = Known::of(names.iter().map(|named| &named.name));
    for at in 0..names.len() {
        let (mut equal, mut suggestions) = (Vec::new(), Vec::new());
        for one in known.likely(&names[at].name) {
            let (angler, name) = &anglers[one.at];
            // One marked as a junior is not taken for a grown angler of that name.
            let grown = names[at].marked && !angler.is_junior;
            if one.likeness.is_certain() && !grown {
                equal.push(angler.id);
            }
            let but = match grown {
                true => ", but no junior on the list; the rows marked so will be a junior’s",
                false => "",
            };
            suggestions.push(Suggestion {
                person: Person::OnRecord(angler.pid.clone()),
                faint: one.likeness.is_faint(),
                short: format!("{}, on the list", name.full()),
                words: format!(
                    "{}, on the club’s list: {}{but}",
                    name.full(),
                    one.likeness.reason()
                ),
            });
        }
        if let [only] = equal.as_slice() {
            names[at].is = Is::OnRecord(*only);
            continue;
        }
        for one in in_file.likely(&names[at].name) {
            let earlier = one.at < at && !matches!(names[one.at].is, Is::OnRecord(_));
            if earlier && !one.likeness.is_certain() {
                suggestions.push(Suggestion {
                    person: Person::SameAs(names[one.at].key.clone()),
                    faint: one.likeness.is_faint(),
                    short: format!("{}, new too", names[one.at].name.full()),
                    words: format!(
                        "{}, also new in this file: {}",
                        names[one.at].name.full(),
                        one.likeness.reason()
                    ),
                });
            }
        }
        let answer = answers.get(&names[at].key).cloned();
        names[at].is = settled(&names, at, answer.as_ref(), &suggestions, &anglers);
        names[at].answer = answer;
        names[at].suggestions = suggestions;
    }
    // Whoever is new under another spelling is a junior where one spelling is marked.
    let marked: Vec<String> = names
        .iter()
        .filter(|named| named.marked)
        .filter_map(|named| match &named.is {
            Is::New(key) => Some(key.clone()),
            Is::OnRecord(_) | Is::LeftOut | Is::Open => None,
        })
        .collect();
    for named in &mut names {
        named.marked |= marked.contains(&named.key);
    }
    Ok(names)
}

fn gathered(read: &OldSheet) -> Vec<Named> {
    let mut names: BTreeMap<String, Named> = BTreeMap::new();
    for entry in &read.entries {
        let key = entry.angler.key();
        let named = names.entry(key.clone()).or_insert_with(|| Named {
            key,
            name: entry.angler.clone(),
            rows: 0,
            line: entry.line,
            marked: false,
            suggestions: Vec::new(),
            answer: None,
            is: Is::Open,
        });
        named.rows += 1;
        named.marked |= entry.junior;
    }
    names.into_values().collect()
}

/// Who a name is, once it is answered: with somebody on the list, or with something that was
/// offered. A name like nobody's is new, unless an officer says otherwise.
fn settled(
    names: &[Named],
    at: usize,
    answer: Option<&Person>,
    suggestions: &[Suggestion],
    anglers: &[(&Angler, Name)],
) -> Is {
    let offered = |person: &Person| suggestions.iter().any(|one| one.person == *person);
    let by_pid = |pid: &Pid| anglers.iter().find(|(angler, _)| angler.pid == *pid);
    match answer {
        Some(Person::New { .. }) => Is::New(names[at].key.clone()),
        Some(Person::LeftOut) => Is::LeftOut,
        Some(Person::OnRecord(pid)) => match by_pid(pid) {
            Some((angler, _)) => Is::OnRecord(angler.id),
            // Whoever was chosen has left the list: asked again, never taken for somebody new.
            None => Is::Open,
        },
        Some(person @ Person::SameAs(key)) if offered(person) => {
            let other = names.iter().find(|named| named.key == *key);
            other.map_or(Is::Open, |named| named.is.clone())
        }
        None if suggestions.iter().all(|one| one.faint) => Is::New(names[at].key.clone()),
        _ => Is::Open,
    }
}
