//! Several anglers entered at once: ticked in the club's list, or their names pasted, one a line.
//! A name that may be somebody known is asked about; nobody is entered under a guess.

use super::entries::Known;
use crate::{
    actions::enter_match::{NewEntry, Whom},
    domain::{
        ids::AnglerId,
        names::{Known as Listed, Likely, Name, without_mark},
        units::quoted,
    },
    store::matches::entries::Placing,
    web::forms::{Form, Problems},
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

/// What is wrong with lines that cannot be read.
pub(super) fn wrong_lines(problems: &Problems) -> Vec<&str> {
    let wrong = problems.list.iter().filter(|p| p.field == "names");
    wrong.map(|p| p.sentence.as_str()).collect()
}

/// The problems for the top of the page: several pasted lines, or several doubts, are counted there
/// and said once, at their boxes.
pub(super) fn summary(problems: &Problems, doubts: &[Doubt]) -> Problems {
    let lines = wrong_lines(problems).len();
    let is_doubt = |field: &str| doubts.iter().any(|doubt| doubt.field() == field);
    let asked: Vec<&str> = problems
        .list
        .iter()
        .map(|p| p.field.as_str())
        .filter(|field| is_doubt(field))
        .collect();
    let mut told = Problems::default();
    if lines > 1 {
        told.add(
            "names",
            format!("Mend {lines} of the pasted names: what is wrong stands at the box."),
        );
    }
    if let [first, _, ..] = asked.as_slice() {
        let names = asked.len();
        told.add(
            *first,
            format!("Say who is meant by {names} of the pasted names: each is asked below."),
        );
    }
    let others = problems.list.iter().filter(|p| match p.field.as_str() {
        "names" => lines < 2,
        field => asked.len() < 2 || !is_doubt(field),
    });
    told.list.extend(others.cloned());
    told
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
    let names = known.names();
    let mut list = Pasted {
        form,
        known,
        listed: Listed::of(names.iter().map(|(_, name)| name)),
        names,
        new: Vec::new(),
        lines: Vec::new(),
        doubts: Vec::new(),
    };
    // Lines are counted as they stand in the box, which drops empty ones at its head.
    let lines = form.raw("names").trim_start().lines().map(str::trim);
    let lines = lines.enumerate().filter(|(_, text)| !text.is_empty());
    for (count, (line, text)) in lines.enumerate() {
        if count == MOST_LINES {
            problems.add(
                "names",
                "This is too long a list. Paste at most 400 names at a time.",
            );
            break;
        }
        if let Some((name, junior)) = problems.take("names", read_line(text)) {
            list.take(line, &name, junior, problems);
        }
    }
    (list.new, list.doubts)
}

/// A pasted line as a name, and whether it is marked as a junior's.
///
/// Errors: a sentence that says how to mend the line.
fn read_line(line: &str) -> Result<(Name, bool), String> {
    let (text, junior) = without_mark(unnumbered(line));
    let why = if text.contains(['\t', ';']) {
        Some("it has more than one column. Paste the column of names alone.")
    } else if text.contains(char::is_numeric) {
        Some("it has figures in it. Leave the name only; pegs are typed under Pegs drawn.")
    } else if text.contains(['(', ')', '[', ']']) {
        Some("it has words in brackets. Leave the name only, and “jnr” after it for a junior.")
    } else {
        None
    };
    if let Some(why) = why {
        return Err(format!("{} does not read as a name: {why}", quoted(line)));
    }
    let name = Name::read(&text).map_err(|why| format!("{}: {why}", quoted(line)))?;
    Ok((name, junior))
}

/// The line without the number of a numbered list: `1. Kit Coppleway`, `2) Kit Coppleway`. A bare
/// number stays, since it may be a peg. Common practice, no source.
fn unnumbered(line: &str) -> &str {
    let rest = line.trim_start_matches(|c: char| c.is_ascii_digit());
    match rest.strip_prefix(['.', ')']) {
        Some(name) if (1..=3).contains(&(line.len() - rest.len())) => name.trim_start(),
        _ => line,
    }
}

const NEW: &str = "new";
const TWICE: &str = "twice";

/// A pasted list as far as it is read.
struct Pasted<'a> {
    form: &'a Form,
    known: &'a Known,
    names: Vec<(AnglerId, Name)>,
    listed: Listed,
    new: Vec<NewEntry>,
    /// The lines, from 0, on which somebody on record was chosen or named.
    lines: Vec<(AnglerId, usize)>,
    doubts: Vec<Doubt>,
}

impl Pasted<'_> {
    fn take(&mut self, line: usize, name: &Name, junior: bool, problems: &mut Problems) {
        let new = || Whom::New {
            name: name.clone(),
            junior,
        };
        let found = self.listed.likely(name);
        if let Some(id) = self.certain(&found, junior) {
            return self.enter((line, name), Whom::Known(id), problems);
        }
        let twice = found.is_empty() && self.is_new_already(name);
        let one_word = name.surname().is_none();
        if found.is_empty() && !twice && !one_word {
            return self.enter((line, name), new(), problems);
        }
        let doubt = Doubt {
            line,
            name: name.full(),
            chosen: self.answer(line, name).to_owned(),
            answers: self.answers(&found, junior, twice),
        };
        let meant = found
            .iter()
            .map(|one| self.names[one.at].0)
            .find(|id| id.to_string() == doubt.chosen);
        match (doubt.chosen.as_str(), meant) {
            (NEW, _) => self.enter((line, name), new(), problems),
            (_, Some(id)) => self.enter((line, name), Whom::Known(id), problems),
            (TWICE, None) if twice => {}
            _ => problems.add(
                doubt.field(),
                match (twice, found.is_empty()) {
                    (true, _) => format!(
                        "{} stands twice in the list. Say whether the second is somebody else.",
                        doubt.name
                    ),
                    (false, true) => format!(
                        "{} is one word. Write the whole name in the list, or say that it is all there is.",
                        doubt.name
                    ),
                    (false, false) => format!("Say who {} is: somebody on record, or new.", doubt.name),
                },
            ),
        }
        self.doubts.push(doubt);
    }

    /// The one who is meant without asking. A name marked as a junior's is not taken for a grown
    /// angler of that name.
    fn certain(&self, found: &[Likely], junior: bool) -> Option<AnglerId> {
        let mut certain = found
            .iter()
            .filter(|one| one.likeness.is_certain())
            .map(|one| self.names[one.at].0)
            .filter(|id| !junior || self.known.is_junior(*id));
        certain.next().filter(|_| certain.next().is_none())
    }

    fn is_new_already(&self, name: &Name) -> bool {
        self.new.iter().any(
            |entry| matches!(&entry.whom, Whom::New { name: other, .. } if other.key() == name.key()),
        )
    }

    /// The answer given for this very name on this line; empty when there is none.
    fn answer(&self, line: usize, name: &Name) -> &str {
        match self.form.get(&format!("whose-{line}")) == name.full() {
            true => self.form.get(&format!("who-{line}")),
            false => "",
        }
    }

    fn answers(&self, found: &[Likely], junior: bool, twice: bool) -> Vec<(String, String)> {
        let pair = |value: &str, words: &str| (value.to_owned(), words.to_owned());
        if found.is_empty() && !twice {
            return vec![pair(NEW, "somebody new, known by this one word")];
        }
        if found.is_empty() {
            return vec![
                pair(TWICE, "the same angler, written twice"),
                pair(NEW, "somebody else of that name"),
            ];
        }
        let one = |one: &Likely| {
            let (id, other) = &self.names[one.at];
            let who = self.known.apart.beside(*id, other.full());
            let grown = junior && !self.known.is_junior(*id);
            let but = if grown {
                ", but no junior on the list"
            } else {
                ""
            };
            let words = format!("{who}: {}{but}", one.likeness.reason());
            (id.to_string(), words)
        };
        let new = match junior {
            true => pair(NEW, "somebody new, a junior"),
            false => pair(NEW, "somebody new"),
        };
        found.iter().map(one).chain([new]).collect()
    }

    fn enter(&mut self, (line, name): (usize, &Name), whom: Whom, problems: &mut Problems) {
        let Whom::Known(id) = whom else {
            return self.new.push(entered(whom));
        };
        if self.known.is_entered(id) {
            let why = format!("{} is entered already. Take the line out.", name.full());
            return problems.add("names", why);
        }
        let before = self.lines.iter().find(|(other, _)| *other == id);
        let Some(before) = before.map(|(_, line)| *line) else {
            self.lines.push((id, line));
            return self.new.push(entered(whom));
        };
        let was_chosen = |line: usize| self.form.get(&format!("who-{line}")) == id.to_string();
        let why = match was_chosen(before) || was_chosen(line) {
            true => format!(
                "{} was chosen twice, for lines {} and {}. Choose another for one of them, or take one line out.",
                self.whole_name(id),
                before + 1,
                line + 1
            ),
            false => format!(
                "{} stands twice in the list. Take one line out.",
                name.full()
            ),
        };
        problems.add("names", why);
    }

    fn whole_name(&self, id: AnglerId) -> String {
        let named = self.names.iter().find(|(other, _)| *other == id);
        named.map(|(_, name)| name.full()).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::unnumbered;

    #[test]
    fn the_number_of_a_numbered_list_is_dropped_and_a_bare_one_stays() {
        for (line, name) in [
            ("1. Kit Coppleway", "Kit Coppleway"),
            ("2) Kit Coppleway", "Kit Coppleway"),
            ("12.Kit Coppleway jnr", "Kit Coppleway jnr"),
            ("Kit Coppleway", "Kit Coppleway"),
            ("4 Kit Coppleway", "4 Kit Coppleway"),
            ("Kit Coppleway 2)", "Kit Coppleway 2)"),
        ] {
            assert_eq!(unnumbered(line), name, "{line}");
        }
    }
}
