//! What is typed of a match, on the page that makes one and on the page that changes it.

use super::times::Times;
use crate::{
    actions::{make_match::NO_GROUP, tokens::new_pid},
    domain::{
        dates::{Day, Zone},
        groups::{Group, GroupSet},
        ids::VenueId,
        matches::{PegsAllotted, is_far_off},
        names::{self, text::clean_line},
        units::Ranking,
    },
    store::{
        StoreError,
        matches::{
            Match, NewMatch, changing,
            listing::{self, Water},
        },
    },
    web::{
        forms::{Field, Form, Problems, Sure},
        state::Site,
    },
};

/// A match on record that the form is to change.
pub(super) struct Saved {
    pub the_match: Match,
    pub kinds: Vec<GroupSet>,
    /// Nobody is entered yet.
    pub venue_open: bool,
    /// Nobody has a weight yet.
    pub weighing_open: bool,
}

/// The form: what was typed, what is wrong with it, and what it is asked about.
pub(super) struct Typed {
    pub form: Form,
    pub problems: Problems,
    waters: Vec<Water>,
    saved: Option<Saved>,
    /// What is asked about, by field; each answer holds for what stood there when it was given.
    questions: Vec<(&'static str, Sure)>,
}

impl Typed {
    pub async fn of(site: &Site, form: Form, saved: Option<Saved>) -> Result<Self, StoreError> {
        Ok(Self {
            form,
            problems: Problems::default(),
            waters: listing::waters(&mut *site.db.read().await?).await?,
            saved,
            questions: Vec::new(),
        })
    }

    pub fn field(&self, name: &str, label: &str, hint: &str) -> Field {
        let mut field = Field::new(name, label, self.form.get(name)).problems(&self.problems);
        let question = self.questions.iter().find(|(known, _)| *known == name);
        field.sure = question.map(|(_, sure)| sure.clone());
        if hint.is_empty() {
            field
        } else {
            field.hint(hint)
        }
    }

    pub fn venue_open(&self) -> bool {
        self.saved.as_ref().is_none_or(|saved| saved.venue_open)
    }

    pub fn weighing_open(&self) -> bool {
        self.saved.as_ref().is_none_or(|saved| saved.weighing_open)
    }

    pub fn venues(&self) -> Vec<(String, String)> {
        self.waters
            .iter()
            .map(|water| (water.id.to_string(), water.name.clone()))
            .collect()
    }

    pub fn no_waters(&self) -> bool {
        self.waters.is_empty()
    }

    pub fn ways(&self) -> Vec<(String, String)> {
        let now = self
            .saved
            .as_ref()
            .map(|saved| saved.the_match.pegs_allotted);
        PegsAllotted::ALL
            .iter()
            .filter(|way| **way != PegsAllotted::DrawnHere || now == Some(**way))
            .map(|way| (way.as_str().to_owned(), way.words().to_owned()))
            .collect()
    }

    pub fn rankings(&self) -> Vec<(String, String)> {
        (0..)
            .zip(Ranking::OFFERED)
            .map(|(place, (_, words)): (usize, _)| (place.to_string(), words.to_owned()))
            .collect()
    }

    pub fn counting(&self) -> Vec<(String, String)> {
        [
            ("together", "counts, weighed with the others"),
            ("apart", "counts, in its own net"),
            ("no", "does not count"),
        ]
        .map(|(value, words)| (value.to_owned(), words.to_owned()))
        .to_vec()
    }

    pub fn groups(&self) -> Vec<Field> {
        Group::ALL
            .iter()
            .map(|group| self.field(&group_field(*group), group.name(), ""))
            .collect()
    }

    fn water(&self) -> Option<&Water> {
        let chosen = match &self.saved {
            Some(saved) if !saved.venue_open => Some(saved.the_match.venue),
            _ => self.form.get("venue").parse().ok().map(VenueId),
        };
        self.waters.iter().find(|water| Some(water.id) == chosen)
    }

    /// The match as typed; `None` when something is missing or asked about, which the problems
    /// then name.
    pub async fn read(&mut self, site: &Site) -> Result<Option<NewMatch>, StoreError> {
        let mut problems = Problems::default();
        let read = self.read_fields(&mut problems);
        self.ask_about(site, &mut problems).await?;
        self.problems = problems;
        Ok(read.filter(|_| self.problems.is_empty()))
    }

    fn read_fields(&self, problems: &mut Problems) -> Option<NewMatch> {
        let form = &self.form;
        let name = problems.take("name", clean_line(form.get("name"), "the name", 80));
        if name.as_deref() == Some("") {
            problems.add(
                "name",
                "Enter the name of the match, for example Frost Cup, round 3.",
            );
        }
        let water = self.water();
        if water.is_none() {
            problems.add("venue", "Choose the venue.");
        }
        let on = Day::parse(form.get("on"));
        if on.is_none() {
            problems.add("on", "Enter the date, for example 2026-11-21.");
        }
        let meet_place = problems.take(
            "meet_place",
            clean_line(form.get("meet_place"), "the meeting place", 120),
        );
        let zone = water
            .and_then(|water| Zone::named(&water.zone))
            .unwrap_or_else(Zone::utc);
        let saved = self.saved.as_ref().map(|saved| &saved.the_match);
        let Times {
            meet,
            start,
            finish,
        } = Times::read(form, (on, &zone), saved, problems);
        let weighing = self.weighing(problems);
        let pegs_allotted = PegsAllotted::parse(form.get("pegs_allotted"));
        if pegs_allotted.is_none() {
            problems.add("pegs_allotted", "Choose how anglers come by their pegs.");
        }
        let sections = names(&apart(form.get("sections")), "sections", problems);
        let teams = names(form.get("teams"), "teams", problems);
        let (ranking, net_kinds) = weighing?;
        Some(NewMatch {
            pid: new_pid(),
            name: name?,
            venue: water?.id,
            on: on?,
            zone: zone.name().to_owned(),
            meet_place: meet_place.filter(|place| !place.is_empty()),
            meet,
            start,
            finish,
            pegs_allotted: pegs_allotted?,
            ranking,
            net_kinds,
            sections,
            teams,
        })
    }

    /// What the scales show and what is weighed apart: as typed, or as it stands where it must.
    fn weighing(&self, problems: &mut Problems) -> Option<(Ranking, Vec<GroupSet>)> {
        if let Some(saved) = self.saved.as_ref().filter(|saved| !saved.weighing_open) {
            return Some((saved.the_match.ranking(), saved.kinds.clone()));
        }
        let place = self.form.get("ranking").parse::<usize>().ok();
        let ranking = place.and_then(|place| Ranking::OFFERED.get(place));
        if ranking.is_none() {
            problems.add("ranking", "Choose what the scales show.");
        }
        let kinds = net_kinds(&self.form);
        if kinds.is_empty() {
            problems.add("groups", NO_GROUP);
        }
        Some((ranking?.0, kinds))
    }

    /// A day years away, and a second match of one name on one day at one water, each want a tick.
    /// What stands on record already is not asked about.
    async fn ask_about(&mut self, site: &Site, problems: &mut Problems) -> Result<(), StoreError> {
        self.questions.clear();
        let Some(on) = Day::parse(self.form.get("on")) else {
            return Ok(());
        };
        let water = self.water().cloned();
        let zone = water.as_ref().and_then(|water| Zone::named(&water.zone));
        let today = site.now().day(&zone.unwrap_or_else(Zone::utc));
        let was = self.saved.as_ref().map(|saved| saved.the_match.clone());
        if was.as_ref().is_none_or(|was| was.on != on) && is_far_off(on, today) {
            let sure = Sure {
                words: "Yes, that is the date",
                ..Sure::new(&self.form, "on", on.to_string())
            };
            let asks = format!(
                "{} is far from today. Mend the date, or tick that it is right.",
                on.long()
            );
            self.ask("on", sure, asks, problems);
        }
        let (Some(water), Ok(name)) = (water, clean_line(self.form.get("name"), "the name", 80))
        else {
            return Ok(());
        };
        let key = names::key(&name);
        let stands = was.as_ref().is_some_and(|was| {
            (was.on, was.venue) == (on, water.id) && names::key(&was.name) == key
        });
        if stands || name.is_empty() {
            return Ok(());
        }
        let but = was.map(|was| was.id);
        let others = changing::names_on(&mut *site.db.read().await?, (water.id, on), but).await?;
        if others.iter().any(|other| names::key(other) == key) {
            let sure = Sure {
                words: "Yes, this is another match",
                ..Sure::new(&self.form, "name", format!("{name} {on} {}", water.id))
            };
            let asks = format!(
                "There is a match called {name} at {} on that day already. Change the name, or tick that this is another match.",
                water.name
            );
            self.ask("name", sure, asks, problems);
        }
        Ok(())
    }

    fn ask(&mut self, field: &'static str, sure: Sure, asks: String, problems: &mut Problems) {
        if !sure.ticked {
            problems.add(field, asks);
        }
        self.questions.push((field, sure));
    }
}

pub(super) fn group_field(group: Group) -> String {
    format!("group-{}", group.slug())
}

/// The groups weighed together are one kind of net; each weighed apart is one more.
fn net_kinds(form: &Form) -> Vec<GroupSet> {
    let said = |wanted: &str| {
        Group::ALL
            .into_iter()
            .filter(move |group| form.get(&group_field(*group)) == wanted)
            .collect::<Vec<_>>()
    };
    GroupSet::of(said("together"))
        .into_iter()
        .chain(said("apart").into_iter().map(GroupSet::from))
        .collect()
}

/// Single letters or figures with spaces between them and no comma, `A B C`, are several names.
fn apart(typed: &str) -> String {
    let parts: Vec<&str> = typed.split_whitespace().collect();
    let single = |part: &&str| {
        let mut signs = part.chars();
        signs.next().is_some_and(char::is_alphanumeric) && signs.next().is_none()
    };
    if parts.len() > 1 && parts.iter().all(single) {
        parts.join(",")
    } else {
        typed.to_owned()
    }
}

/// Names divided by commas, each once.
fn names(typed: &str, field: &str, problems: &mut Problems) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for part in typed
        .split([',', '\n'])
        .filter(|part| !part.trim().is_empty())
    {
        match clean_line(part, "each name", 40) {
            Ok(name) => match alike(names.iter().map(String::as_str), &name) {
                Some(sentence) => problems.add(field, sentence),
                None => names.push(name),
            },
            Err(sentence) => problems.add(field, sentence),
        }
    }
    names
}

/// That one of `names` is this name already, capitals or not: on the bank A and a are one section.
fn alike<'a>(mut names: impl Iterator<Item = &'a str>, name: &str) -> Option<String> {
    let small = name.to_lowercase();
    let other = names.find(|other| other.to_lowercase() == small)?;
    Some(match other == name {
        true => format!("{name} is named twice. Name each once."),
        false => format!("{other} and {name} are one name but for capitals. Name each otherwise."),
    })
}

/// Says at its field which name, of those on record and those to add, another has already. The
/// empty name takes one out.
pub(super) fn each_once<I: Copy>(
    named: &[(I, String)],
    field: fn(I) -> String,
    (further, further_field): (&[String], &str),
    problems: &mut Problems,
) {
    let named = named.iter().map(|(id, name)| (field(*id), name.as_str()));
    let further = further.iter().map(String::as_str);
    let further = further.map(|name| (further_field.to_owned(), name));
    let mut seen: Vec<&str> = Vec::new();
    for (field, name) in named.chain(further).filter(|(_, name)| !name.is_empty()) {
        match alike(seen.iter().copied(), name) {
            Some(sentence) => problems.add(field, sentence),
            None => seen.push(name),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn single_letters_with_spaces_are_several_sections_and_words_are_one() {
        let read = |typed: &str| names(&apart(typed), "sections", &mut Problems::default());
        assert_eq!(read("A B  C"), ["A", "B", "C"]);
        assert_eq!(read("A, B C"), ["A", "B C"]);
        assert_eq!(read("Long Reach"), ["Long Reach"]);
        assert_eq!(read("A"), ["A"]);
    }
}
