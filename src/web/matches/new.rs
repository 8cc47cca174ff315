//! Making a match.

use askama::Template;
use axum::{
    extract::State,
    response::{IntoResponse, Response},
};

use crate::{
    actions::{ActionError, make_match::make_match, tokens::new_pid},
    domain::{
        dates::{Day, Instant, Zone, parse_time},
        groups::{Group, GroupSet},
        ids::VenueId,
        matches::PegsAllotted,
        names::text::clean_line,
        units::Ranking,
    },
    store::matches::{
        NewMatch,
        listing::{self, Water},
    },
    web::{
        errors::PageError,
        forms::{Field, Form, Problems},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::Member,
        state::Site,
    },
};

#[derive(Template)]
#[template(path = "matches/new.html")]
struct NewPage {
    frame: Frame,
    waters: Vec<Water>,
    form: Form,
    problems: Problems,
}

impl NewPage {
    fn field(&self, name: &str, label: &str, hint: &str) -> Field {
        let field = Field::new(name, label, self.form.get(name)).problems(&self.problems);
        if hint.is_empty() {
            field
        } else {
            field.hint(hint)
        }
    }

    fn venues(&self) -> Vec<(String, String)> {
        self.waters
            .iter()
            .map(|water| (water.id.to_string(), water.name.clone()))
            .collect()
    }

    fn ways(&self) -> Vec<(String, String)> {
        PegsAllotted::ALL
            .iter()
            .filter(|way| **way != PegsAllotted::DrawnHere)
            .map(|way| (way.as_str().to_owned(), way.words().to_owned()))
            .collect()
    }

    fn rankings(&self) -> Vec<(String, String)> {
        (0..)
            .zip(Ranking::OFFERED)
            .map(|(place, (_, words)): (usize, _)| (place.to_string(), words.to_owned()))
            .collect()
    }

    fn counting(&self) -> Vec<(String, String)> {
        [
            ("together", "counts, weighed with the others"),
            ("apart", "counts, weighed in a net of its own"),
            ("no", "does not count"),
        ]
        .map(|(value, words)| (value.to_owned(), words.to_owned()))
        .to_vec()
    }

    fn groups(&self) -> Vec<Field> {
        Group::ALL
            .iter()
            .map(|group| self.field(&group_field(*group), group.name(), ""))
            .collect()
    }
}

fn group_field(group: Group) -> String {
    format!("group-{}", group.slug())
}

pub async fn show(State(site): State<Site>, member: Member) -> Result<Response, PageError> {
    page(NewPage {
        frame: Frame::new(&site, &member.visitor(), Section::Matches).await?,
        waters: listing::waters(&mut *site.db.read().await?).await?,
        form: Form::default(),
        problems: Problems::default(),
    })
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    form: Form,
) -> Result<Response, PageError> {
    let waters = listing::waters(&mut *site.db.read().await?).await?;
    let mut problems = Problems::default();
    if let Some(new) = read(&form, &waters, &mut problems) {
        match make_match(&site.db, site.now(), &member.by(), &new).await {
            Ok(id) => {
                return Ok(
                    go_with(&site, &format!("/matches/{id}/entries"), "saved").into_response()
                );
            }
            Err(ActionError::Refused { field, sentence }) => problems.add(field, sentence),
            Err(other) => return Err(other.into()),
        }
    }
    page_again(NewPage {
        frame: Frame::new(&site, &member.visitor(), Section::Matches)
            .await?
            .with_problems(true),
        waters,
        form,
        problems,
    })
}

/// The match as typed; `None` when something is missing, which `problems` then names.
fn read(form: &Form, waters: &[Water], problems: &mut Problems) -> Option<NewMatch> {
    let name = problems.take("name", clean_line(form.get("name"), "the name", 80));
    if name.as_deref() == Some("") {
        problems.add(
            "name",
            "Enter the name of the match, for example Frost Cup, round 3.",
        );
    }
    let chosen = form.get("venue").parse().ok().map(VenueId);
    let water = waters.iter().find(|water| Some(water.id) == chosen);
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
    let ranking = form.get("ranking").parse::<usize>().ok();
    let ranking = ranking.and_then(|place| Ranking::OFFERED.get(place));
    if ranking.is_none() {
        problems.add("ranking", "Choose what the scales show.");
    }
    let pegs_allotted = PegsAllotted::parse(form.get("pegs_allotted"));
    if pegs_allotted.is_none() {
        problems.add("pegs_allotted", "Choose how anglers come by their pegs.");
    }
    let sections = names(form, "sections", problems);
    let teams = names(form, "teams", problems);
    if !problems.is_empty() {
        return None;
    }
    Some(NewMatch {
        pid: new_pid(),
        name: name?,
        venue: chosen?,
        on: on?,
        zone: zone.name().to_owned(),
        meet_place: meet_place.filter(|place| !place.is_empty()),
        meet,
        start,
        finish,
        pegs_allotted: pegs_allotted?,
        ranking: ranking?.0,
        net_kinds: net_kinds(form),
        sections,
        teams,
    })
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

/// Names divided by commas, each once.
fn names(form: &Form, field: &str, problems: &mut Problems) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for part in form
        .get(field)
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
