//! Several anglers entered at once: ticked in the club's list, or their names pasted, one a line.
//! A name that may be somebody known is asked about; nobody is entered under a guess.

use super::entries::Known;
use crate::{
    actions::enter_match::{NewEntry, Whom},
    domain::{
        ids::AnglerId,
        names::{Name, likely},
    },
    store::matches::entries::Placing,
    web::{
        anglers::apart::Apart,
        forms::{Form, Problems},
    },
};

/// A pasted name that may be somebody on record.
pub(super) struct Doubt {
    /// The number of its line, from 0.
    pub line: usize,
    pub name: String,
    /// What was answered so far.
    pub chosen: String,
    /// Value and words of each answer.
    pub answers: Vec<(String, String)>,
}

impl Doubt {
    pub fn field(&self) -> String {
        format!("who-{}", self.line)
    }
}

/// More lines than this are no list of entries.
const MOST_LINES: usize = 400;

fn entered(whom: Whom) -> NewEntry {
    NewEntry {
        whom,
        placing: Placing::default(),
    }
}

/// Everybody ticked.
pub(super) fn ticked(form: &Form, known: &Known) -> Vec<NewEntry> {
    known
        .free()
        .filter(|angler| form.has(&format!("tick-{}", angler.id)))
        .map(|angler| entered(Whom::Known(angler.id)))
        .collect()
}

/// Everybody whose name was pasted, and the doubts that keep some from being entered.
pub(super) fn pasted(
    form: &Form,
    known: &Known,
    problems: &mut Problems,
) -> (Vec<NewEntry>, Vec<Doubt>) {
    let (mut new, mut doubts) = (Vec::new(), Vec::new());
    let names = known.names();
    let lines = form.raw("names").lines().map(str::trim);
    for (line, text) in lines.filter(|text| !text.is_empty()).enumerate() {
        if line == MOST_LINES {
            problems.add(
                "names",
                "This is too long a list. Paste at most 400 names at a time.",
            );
            break;
        }
        let Some(name) = problems.take(
            "names",
            Name::read(text).map_err(|why| format!("“{text}”: {why}")),
        ) else {
            continue;
        };
        let list: Vec<Name> = names.iter().map(|(_, name)| name.clone()).collect();
        let found = likely(&name, &list);
        let certain: Vec<_> = found
            .iter()
            .filter(|one| one.likeness.is_certain())
            .collect();
        let whom = match (certain.as_slice(), found.as_slice()) {
            ([one], _) => Some(Whom::Known(names[one.at].0)),
            ([], []) => Some(Whom::New {
                name: name.clone(),
                junior: false,
            }),
            _ => answered(
                form,
                line,
                &name,
                &found.iter().map(|one| names[one.at].0).collect::<Vec<_>>(),
            ),
        };
        match whom {
            Some(Whom::Known(id)) if known.is_entered(id) => {
                problems.add(
                    "names",
                    format!("{} is entered already. Take the line out.", name.full()),
                );
            }
            Some(whom) => new.push(entered(whom)),
            None => {
                let mut answers: Vec<_> = found
                    .iter()
                    .map(|one| {
                        let (id, other) = &names[one.at];
                        let who = known.apart.beside(*id, other.full());
                        let words = format!("{who}: {}", one.likeness.reason());
                        (id.to_string(), words)
                    })
                    .collect();
                answers.push((NEW.to_owned(), "somebody new".to_owned()));
                let doubt = Doubt {
                    line,
                    name: name.full(),
                    chosen: String::new(),
                    answers,
                };
                problems.add(
                    doubt.field(),
                    format!("Say who {} is: somebody on record, or new.", doubt.name),
                );
                doubts.push(doubt);
            }
        }
        if let Some(answer) = answer(form, line, &name) {
            let may_be = (names.as_slice(), found.as_slice(), &known.apart);
            keep_answer(&mut doubts, line, &name, answer, may_be);
        }
    }
    (new, doubts)
}

const NEW: &str = "new";

/// The answer given for this very name on this line, if any.
fn answer<'a>(form: &'a Form, line: usize, name: &Name) -> Option<&'a str> {
    let same = form.get(&format!("whose-{line}")) == name.full();
    Some(form.get(&format!("who-{line}"))).filter(|answer| same && !answer.is_empty())
}

fn answered(form: &Form, line: usize, name: &Name, may_be: &[AnglerId]) -> Option<Whom> {
    match answer(form, line, name)? {
        NEW => Some(Whom::New {
            name: name.clone(),
            junior: false,
        }),
        id => {
            let id = AnglerId(id.parse().ok()?);
            may_be.contains(&id).then_some(Whom::Known(id))
        }
    }
}

/// An answer already given stays on the form while other lines are still asked about.
fn keep_answer(
    doubts: &mut Vec<Doubt>,
    line: usize,
    name: &Name,
    chosen: &str,
    (names, found, apart): (&[(AnglerId, Name)], &[crate::domain::names::Likely], &Apart),
) {
    if doubts.iter().any(|doubt| doubt.line == line) {
        return;
    }
    let mut answers: Vec<_> = found
        .iter()
        .map(|one| {
            let (id, name) = &names[one.at];
            (id.to_string(), apart.beside(*id, name.full()))
        })
        .collect();
    answers.push((NEW.to_owned(), "somebody new".to_owned()));
    doubts.push(Doubt {
        line,
        name: name.full(),
        chosen: chosen.to_owned(),
        answers,
    });
}
