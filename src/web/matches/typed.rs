//! What is typed of a match, on the page that makes one and on the page that changes it.

use crate::{
    actions::tokens::new_pid,
    domain::{
        dates::{Day, Instant, Zone, parse_time},
        groups::{Group, GroupSet},
        ids::{MatchId, VenueId},
        matches::{PegsAllotted, is_far_off},
        names::text::clean_line,
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
        forms::{Field, Form, Problems},
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
    /// Another match has that name on that day there.
    pub same_name: bool,
    /// The day is years away.
    pub far_off: bool,
}

impl Typed {
    pub async fn of(site: &Site, form: Form, saved: Option<Saved>) -> Result<Self, StoreError> {
        Ok(Self {
            form,
            problems: Problems::default(),
            waters: listing::waters(&mut *site.db.read().await?).await?,
            saved,
            same_name: false,
            far_off: false,
        })
    }

    pub fn field(&self, name: &str, label: &str, hint: &str) -> Field {
        let field = Field::new(name, label, self.form.get(name)).problems(&self.problems);
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
            ("apart", "counts, weighed in a net of its own"),
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
        let mut clock = |field: &str| time(form, field, on, &zone, problems);
        let (meet, start, finish) = (clock("meet"), clock("start"), clock("finish"));
        if start
            .zip(finish)
            .is_some_and(|(start, finish)| finish <= start)
        {
            problems.add("finish", "Fishing ends before it begins. Check both times.");
        }
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
        Some((ranking?.0, net_kinds(&self.form)))
    }

    /// A day years away, and a second match of one name on one day, each want a tick. What stands
    /// on record already is not asked about.
    async fn ask_about(&mut self, site: &Site, problems: &mut Problems) -> Result<(), StoreError> {
        let Some(on) = Day::parse(self.form.get("on")) else {
            return Ok(());
        };
        let was: Option<(MatchId, String, Day)> = self.saved.as_ref().map(|saved| {
            let the_match = &saved.the_match;
            (the_match.id, the_match.name.clone(), the_match.on)
        });
        let water = self.water().cloned();
        let zone = water.as_ref().and_then(|water| Zone::named(&water.zone));
        let today = site.now().day(&zone.unwrap_or_else(Zone::utc));
        let moved = was.as_ref().is_none_or(|(_, _, day)| *day != on);
        self.far_off = moved && is_far_off(on, today);
        if self.far_off && !self.form.has("sure_on") {
            problems.add(
                "on",
                format!(
                    "{} is far from today. Mend the date, or tick that it is right.",
                    on.long()
                ),
            );
        }
        let (Some(water), Ok(name)) = (water, clean_line(self.form.get("name"), "the name", 80))
        else {
            return Ok(());
        };
        let renamed = was.as_ref().is_none_or(|(_, known, _)| *known != name);
        if moved || renamed {
            let but = was.map(|(id, ..)| id);
            let mut reading = site.db.read().await?;
            let wanted = (name.as_str(), water.id, on);
            self.same_name = changing::of_same_name(&mut reading, wanted, but).await?;
        }
        if self.same_name && !self.form.has("sure_name") {
            problems.add(
                "name",
                format!(
                    "There is a match called {name} at {} on that day already. Change the name, or tick that this is another match.",
                    water.name
                ),
            );
        }
        Ok(())
    }
}

pub(super) fn group_field(group: Group) -> String {
    format!("group-{}", group.slug())
}

fn time(
    form: &Form,
    field: &str,
    on: Option<Day>,
    zone: &Zone,
    problems: &mut Problems,
) -> Option<Instant> {
    let typed = form.get(field);
    if typed.is_empty() {
        return None;
    }
    match parse_time(typed) {
        Some(time) => on.map(|day| day.at(time, zone)),
        None => {
            problems.add(field, "This is no time of day. Enter it like 10:00.");
            None
        }
    }
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
            Ok(name) if names.contains(&name) => {
                problems.add(field, format!("{name} is named twice. Name each once."));
            }
            Ok(name) => names.push(name),
            Err(sentence) => problems.add(field, sentence),
        }
    }
    names
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
