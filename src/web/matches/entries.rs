//! Adding anglers to a match: ticked in the club's list, pasted by name, or one at a time with the
//! peg drawn.

use askama::Template;
use axum::{
    extract::{Path, Query, State},
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    drawn::Pegs,
    found,
    several::{self, Doubt},
    with_junior,
};
use crate::{
    actions::{
        ActionError,
        enter_match::{NewEntry, Whom, enter_match},
    },
    domain::{
        ids::{AnglerId, MatchTeamId, PegId, SectionId},
        names::Name,
        pegs::bare_number,
    },
    statistics::wording,
    store::{
        anglers::{self, Angler},
        matches::{
            self, Match, SectionOfMatch, TeamOfMatch,
            entries::{self, Entry, Placing},
        },
    },
    web::{
        anglers::apart::Apart,
        errors::PageError,
        forms::{Field, Form, Problems},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::{Member, Visitor},
        state::Site,
    },
};

const ROWS: usize = 6;

#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Asked {
    /// The numbers of those whom saves on this page put on the club’s list, with stops between.
    new: String,
}

#[derive(Template)]
#[template(path = "matches/entries.html")]
struct EntriesPage {
    frame: Frame,
    the_match: Match,
    known: Known,
    form: Form,
    /// Pasted names that may be somebody known.
    doubts: Vec<Doubt>,
    /// The numbers of those put on the club’s list on this page, for the next save to add to.
    newly: String,
    problems: Problems,
}

/// What an entry can be made of.
pub(super) struct Known {
    entered: Vec<Entry>,
    anglers: Vec<Angler>,
    /// What tells apart those who read alike.
    pub apart: Apart,
    sections: Vec<SectionOfMatch>,
    teams: Vec<TeamOfMatch>,
    pegs: Pegs,
}

impl Known {
    async fn of(site: &Site, the_match: &Match) -> Result<Self, PageError> {
        let pegs = Pegs::of(site, the_match).await?;
        let mut reading = site.db.read().await?;
        let anglers = anglers::all(&mut reading).await?;
        Ok(Self {
            apart: Apart::of(&mut reading, &anglers).await?,
            entered: entries::of_match(&mut reading, the_match.id).await?,
            anglers,
            sections: matches::sections(&mut reading, the_match.id).await?,
            teams: matches::teams(&mut reading, the_match.id).await?,
            pegs,
        })
    }

    pub fn is_entered(&self, angler: AnglerId) -> bool {
        self.entered.iter().any(|entry| entry.angler == angler)
    }

    pub fn is_junior(&self, angler: AnglerId) -> bool {
        self.anglers
            .iter()
            .any(|known| known.id == angler && known.is_junior)
    }

    /// Anglers who are not in the match yet.
    pub fn free(&self) -> impl Iterator<Item = &Angler> {
        self.anglers
            .iter()
            .filter(|angler| !self.is_entered(angler.id))
    }

    /// Everybody on record who has a name.
    pub fn names(&self) -> Vec<(AnglerId, Name)> {
        let pair = |angler: &Angler| Some((angler.id, angler.name()?));
        self.anglers.iter().filter_map(pair).collect()
    }
}

impl EntriesPage {
    fn address(&self, page: &str) -> String {
        self.frame
            .url(&format!("/matches/{}{page}", self.the_match.id))
    }

    fn rows(&self) -> std::ops::Range<usize> {
        0..ROWS
    }

    fn field(&self, row: &usize, name: &str, label: &str) -> Field {
        let name = format!("{name}-{row}");
        let value = self.form.get(&name).to_owned();
        Field::new(&name, label, value).problems(&self.problems)
    }

    /// The tick that uses a peg closed that day, once such a peg is typed.
    fn closed(&self, row: &usize) -> Option<Field> {
        let number = self.form.get(&format!("peg-{row}"));
        let row = row.to_string();
        self.known.pegs.tick(number, Some(&self.form), &row)
    }

    /// `Two teams: Kingcups and Sedges.`: a comma forgotten would have made one of them.
    fn teams_read(&self) -> String {
        let teams = self.known.teams.iter();
        let names: Vec<String> = teams.map(|team| team.name.clone()).collect();
        let many = wording::count(names.len(), "team", "teams");
        wording::sentence(&format!("{many}: {}", wording::list(&names)))
    }

    /// `Bert Newman, Charlie Tope`: of those in this match only, whatever the address says.
    fn newly_listed(&self) -> String {
        let entered = self.known.entered.iter();
        let newly: Vec<AnglerId> = numbers(&self.newly).collect();
        let new = entered.filter(|entry| newly.contains(&entry.angler));
        new.map(with_junior).collect::<Vec<_>>().join(", ")
    }

    fn entered(&self) -> Vec<String> {
        self.known
            .entered
            .iter()
            .map(|entry| {
                let name = with_junior(entry);
                match &entry.peg_number {
                    Some(peg) => format!("{name}, peg {peg}"),
                    None => format!("{name}, no peg yet"),
                }
            })
            .collect()
    }

    /// Anglers who are not in the match yet.
    fn anglers(&self) -> Vec<(String, String)> {
        self.known
            .free()
            .filter_map(|angler| Some((angler.id.to_string(), self.known.apart.sorted(angler)?)))
            .collect()
    }

    /// Number, name, and whether it is ticked.
    fn ticks(&self) -> Vec<(String, String, bool)> {
        let tick = |(id, name): (String, String)| {
            let ticked = self.form.has(&format!("tick-{id}"));
            (id, name, ticked)
        };
        self.anglers().into_iter().map(tick).collect()
    }

    fn any_ticked(&self) -> bool {
        self.ticks().iter().any(|(_, _, ticked)| *ticked)
    }

    fn summary(&self) -> Problems {
        several::summary(&self.problems, &self.doubts)
    }

    /// The box for names says every line that cannot stand, not the first only.
    fn pasted(&self) -> Field {
        let sentences = several::wrong_lines(&self.problems);
        let mut field = Field::new("names", "Paste names, one a line", self.form.raw("names"))
            .hint("A name the club knows is found; one that may be somebody known is asked about. “jnr” after a new name makes a junior.");
        field.problem = (!sentences.is_empty()).then(|| sentences.join("\n"));
        field
    }

    fn doubt(&self, doubt: &Doubt) -> Field {
        Field::new(&doubt.field(), &doubt.name, doubt.chosen.as_str()).problems(&self.problems)
    }

    fn answers(&self, doubt: &Doubt) -> Vec<(String, String)> {
        doubt.answers.clone()
    }

    /// Something stands in the rows, so they are shown open.
    fn rows_filled(&self) -> bool {
        self.rows().any(|row| {
            ["angler", "name", "peg"]
                .iter()
                .any(|name| !self.form.get(&format!("{name}-{row}")).is_empty())
        })
    }

    fn sections(&self) -> Vec<(String, String)> {
        let pair = |s: &SectionOfMatch| (s.id.to_string(), s.name.clone());
        self.known.sections.iter().map(pair).collect()
    }

    fn teams(&self) -> Vec<(String, String)> {
        let pair = |t: &TeamOfMatch| (t.id.to_string(), t.name.clone());
        self.known.teams.iter().map(pair).collect()
    }
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Path(id): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let the_match = found(&site, &id).await?;
    page(EntriesPage {
        frame: Frame::new(&site, &visitor, Section::Matches).await?,
        known: Known::of(&site, &the_match).await?,
        the_match,
        form: Form::default(),
        doubts: Vec::new(),
        newly: spelt(numbers(&asked.new)),
        problems: Problems::default(),
    })
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let the_match = found(&site, &id).await?;
    let known = Known::of(&site, &the_match).await?;
    let mut problems = Problems::default();
    let mut new = several::ticked(&form, &known);
    let (pasted, doubts) = several::pasted(&form, &known, &mut problems);
    new.extend(pasted);
    for row in 0..ROWS {
        new.extend(read_row(&the_match, (&form, row), &known, &mut problems));
    }
    if new.is_empty() && problems.is_empty() {
        problems.add(
            "names",
            "Tick somebody, paste a name, or fill a row: nobody is named yet.",
        );
    }
    if problems.is_empty() {
        match enter_match(&site.db, site.now(), &member.by(), the_match.id, &new).await {
            Ok(booked) => {
                let newly = newly_made(form.get("newly"), &new, &booked);
                let back = format!("/matches/{}/entries{newly}", the_match.id);
                return Ok(go_with(&site, &back, "saved").into_response());
            }
            Err(ActionError::Refused { field, sentence }) => problems.add(field, sentence),
            Err(other) => return Err(other.into()),
        }
    }
    page_again(EntriesPage {
        frame: Frame::new(&site, &member.visitor(), Section::Matches)
            .await?
            .with_problems(true),
        the_match,
        known,
        newly: spelt(numbers(form.get("newly"))),
        form,
        doubts,
        problems,
    })
}

/// `61.62` as the numbers of anglers; what is none is passed over, and so is what no evening enters.
fn numbers(text: &str) -> impl Iterator<Item = AnglerId> {
    let ids = text.split('.').filter_map(|id| id.parse().ok());
    ids.map(AnglerId).take(400)
}

fn spelt(ids: impl Iterator<Item = AnglerId>) -> String {
    ids.map(|id| id.to_string()).collect::<Vec<_>>().join(".")
}

/// The end of the address that names whom this save, and those `before` it on this page, put on the
/// club’s list; empty where nobody.
fn newly_made(before: &str, new: &[NewEntry], booked: &[AnglerId]) -> String {
    let made = new.iter().zip(booked);
    let made = made.filter(|(entry, _)| matches!(entry.whom, Whom::New { .. }));
    match spelt(numbers(before).chain(made.map(|(_, id)| *id))) {
        ids if ids.is_empty() => ids,
        ids => format!("?new={ids}"),
    }
}

/// One row of the form; `None` when it is empty or has a problem.
fn read_row(
    the_match: &Match,
    (form, row): (&Form, usize),
    known: &Known,
    problems: &mut Problems,
) -> Option<NewEntry> {
    let field = |name: &str| format!("{name}-{row}");
    let get = |name: &str| form.get(&field(name)).to_owned();
    let (chosen, typed, peg) = (get("angler"), get("name"), get("peg"));
    if chosen.is_empty() && typed.is_empty() {
        if !peg.is_empty() {
            problems.add(
                field("angler"),
                format!("Peg {peg} has no angler. Choose one or type a new name."),
            );
        }
        return None;
    }
    let whom = if typed.is_empty() {
        let id = chosen.parse().ok().map(AnglerId);
        match known.anglers.iter().find(|angler| Some(angler.id) == id) {
            Some(angler) => Some(Whom::Known(angler.id)),
            None => {
                problems.add(field("angler"), "Choose an angler from the list.");
                None
            }
        }
    } else if !chosen.is_empty() {
        problems.add(
            field("name"),
            "Either choose an angler or type a new name, not both.",
        );
        None
    } else {
        let name = problems.take(&field("name"), Name::read_marked(&typed));
        let ticked = form.has(&field("junior"));
        name.map(|(name, marked)| Whom::New {
            name,
            junior: ticked || marked,
        })
    };
    let peg = find_peg(the_match, (form, row), known, problems);
    let section = get("section").parse().ok().map(SectionId);
    let team = get("team").parse().ok().map(MatchTeamId);
    let placing = Placing {
        section: section.filter(|id| known.sections.iter().any(|s| s.id == *id)),
        team: team.filter(|id| known.teams.iter().any(|t| t.id == *id)),
        peg,
    };
    whom.map(|whom| NewEntry { whom, placing })
}

/// The peg typed in a row; asked about where it is closed that day.
fn find_peg(
    the_match: &Match,
    (form, row): (&Form, usize),
    known: &Known,
    problems: &mut Problems,
) -> Option<PegId> {
    let field = format!("peg-{row}");
    let number = bare_number(form.get(&field));
    if number.is_empty() {
        return None;
    }
    let peg = known.pegs.numbered(number);
    let why = match peg {
        None => Some(format!(
            "{} has no peg {number}. Check the number against the draw.",
            the_match.venue_name
        )),
        Some(peg) if known.entered.iter().any(|entry| entry.peg == Some(peg)) => Some(format!(
            "Peg {number} is taken in this match. Check the draw."
        )),
        Some(peg) => known.pegs.asks(peg, form, &row.to_string()),
    };
    if let Some(why) = why {
        problems.add(field, why);
    }
    peg
}
