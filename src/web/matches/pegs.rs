//! The pegs drawn, with section and team, of everybody entered: typed in one go, put right at any
//! time before the result is final. Who withdrew is marked here too. What two officers type of
//! different boxes is put together; only a box that both changed is asked about.

use std::collections::BTreeSet;

use askama::Template;
use axum::{
    extract::{Path, State},
    http::StatusCode,
    response::{Html, IntoResponse, Response},
};

use super::{
    changed_since_posting,
    drawn::Pegs,
    found, full_name,
    meanwhile::{Sent, held, held_name},
    version, with_junior,
};
use crate::{
    actions::{ActionError, place_entries::place_entries},
    domain::{ids::EntryId, matches::section_heading, merging::Merge},
    store::matches::{
        self, Match, SectionOfMatch, TeamOfMatch,
        entries::{self, Entry},
    },
    web::{
        errors::PageError,
        forms::{Field, Form, Problems},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::{Member, Visitor},
        state::Site,
    },
};

mod reading; // what was typed, and whose word stands

/// Times a form is put together anew because somebody saved at that very moment.
const TRIES: usize = 5;

#[derive(Template)]
#[template(path = "matches/pegs.html")]
struct PegsPage {
    frame: Frame,
    the_match: Match,
    /// The version the form answers.
    version: i64,
    rows: Vec<Row>,
    /// How many have no peg yet, with the box and the name of the first of them; where the page does
    /// not begin there.
    next: Option<(usize, String, String)>,
    /// For each section, the pegs that belong to it.
    ranges: Vec<Field>,
    sections: Vec<(String, String)>,
    teams: Vec<(String, String)>,
    problems: Problems,
    /// Somebody else changed what was changed here.
    changed: bool,
    /// The posted result is the old one.
    unposted: bool,
}

struct Row {
    legend: String,
    held_name: String,
    /// What the boxes held when the page was made; absent where that is not known.
    held: Option<String>,
    peg: Field,
    section: Field,
    team: Field,
    /// Offered where the peg is closed that day.
    closed: Option<Field>,
    /// Offered until something is known of how the day went.
    withdrawn: Option<Field>,
}

impl PegsPage {
    fn address(&self, page: &str) -> String {
        self.frame
            .url(&format!("/matches/{}{page}", self.the_match.id))
    }
}

/// The match with all that a placing chooses from.
struct Sheet {
    the_match: Match,
    entered: Vec<Entry>,
    /// Entered once, and no longer.
    left: BTreeSet<EntryId>,
    sections: Vec<SectionOfMatch>,
    teams: Vec<TeamOfMatch>,
    pegs: Pegs,
}

impl Sheet {
    async fn of(site: &Site, id: &str) -> Result<Self, PageError> {
        let the_match = found(site, id).await?;
        let pegs = Pegs::of(site, &the_match).await?;
        let mut reading = site.db.read().await?;
        let entered = entries::of_match(&mut reading, the_match.id).await?;
        let ever = entries::ever_of_match(&mut reading, the_match.id).await?;
        let ever = ever.iter().map(|entry| entry.id);
        let left = ever.filter(|id| entered.iter().all(|entry| entry.id != *id));
        let left = left.collect();
        Ok(Self {
            entered,
            left,
            sections: matches::sections(&mut reading, the_match.id).await?,
            teams: matches::teams(&mut reading, the_match.id).await?,
            pegs,
            the_match,
        })
    }

    /// What the record has in the three boxes of an entry.
    fn saved(&self, entry: &Entry) -> [(String, &'static str, String); 3] {
        let team = entry.team_name.as_ref();
        let team = self.teams.iter().find(|t| Some(&t.name) == team);
        let text = |id: Option<String>| id.unwrap_or_default();
        let row = |name: &str, label, saved| (format!("{name}-{}", entry.id), label, saved);
        [
            row("peg", "Peg", text(entry.peg_number.clone())),
            row(
                "section",
                "Section",
                text(entry.section.map(|id| id.to_string())),
            ),
            row("team", "Team", text(team.map(|team| team.id.to_string()))),
        ]
    }

    /// A field with what was typed, or what is on record; where somebody else changed it too, the
    /// hint says what is on record. With it, what the box held when its page was made.
    fn field(
        &self,
        entry: &Entry,
        (name, label, saved): (&str, &str, &str),
        look: &Look<'_>,
    ) -> (Field, Option<String>) {
        let of_record = || Some(saved.to_owned());
        let (value, stands) = match look.sent {
            Some(sent) => self.said(entry, (name, saved), sent),
            None => (saved.to_owned(), Merge::Theirs),
        };
        // What is no longer to be chosen cannot be shown as chosen, and “None” would say too much.
        let value = match self.can_be_chosen(label, &value) {
            true => value,
            false => saved.to_owned(),
        };
        let field = Field::new(name, label, value).problems(look.problems);
        match (look.sent, stands) {
            (None, _) | (_, Merge::Theirs) => (field, of_record()),
            (Some(sent), _) if !look.changed => (field, sent.shown(entry.id, name, saved)),
            (_, Merge::Ours) => (field, of_record()),
            (_, Merge::Clash) => {
                let hint = format!("On record now: {}", self.words(label, saved));
                (field.hint(&hint), of_record())
            }
        }
    }

    fn words(&self, label: &str, saved: &str) -> String {
        let section = self.sections.iter().find(|s| s.id.to_string() == saved);
        let team = self.teams.iter().find(|t| t.id.to_string() == saved);
        match (label, section, team) {
            ("Section", Some(section), _) => section.name.clone(),
            ("Team", _, Some(team)) => team.name.clone(),
            _ if saved.is_empty() => "nothing".to_owned(),
            _ => saved.to_owned(),
        }
    }

    /// A box may say that: it is nothing, is typed, or is of this match.
    fn can_be_chosen(&self, label: &str, value: &str) -> bool {
        let of_match = match label {
            "Section" => self.sections.iter().any(|s| s.id.to_string() == value),
            "Team" => self.teams.iter().any(|t| t.id.to_string() == value),
            _ => true,
        };
        of_match || value.is_empty()
    }

    fn row(&self, entry: &Entry, look: &Look<'_>) -> Row {
        let withdrawn = format!("withdrawn-{}", entry.id);
        let form = look.sent.map(|sent| sent.form);
        let ticked = form.is_some_and(|form| form.has(&withdrawn));
        let [peg, section, team] = self
            .saved(entry)
            .map(|(name, label, saved)| self.field(entry, (&name, label, &saved), look));
        let boxes =
            [&peg, &section, &team].map(|(field, was)| (field.name.as_str(), was.as_deref()));
        let held = held(boxes);
        // A peg left as it was is on record, and was looked over when it was saved.
        let form = form.filter(|_| Some(&peg.0.value) != entry.peg_number.as_ref());
        Row {
            legend: with_junior(entry),
            held_name: held_name(entry.id),
            held,
            closed: self.pegs.tick(&peg.0.value, form, &entry.id.to_string()),
            peg: peg.0,
            section: section.0,
            team: team.0,
            withdrawn: entry.outcome.is_none().then(|| {
                Field::new(
                    &withdrawn,
                    "Withdrawn: will not fish",
                    if ticked { "on" } else { "" },
                )
            }),
        }
    }

    fn next_to_draw(&self) -> Option<(usize, String, String)> {
        let waits = self.entered.iter().position(|entry| entry.peg.is_none())?;
        let entry = &self.entered[waits];
        let waiting = self.entered.iter().filter(|entry| entry.peg.is_none());
        (waits > 0).then(|| {
            (
                waiting.count(),
                format!("peg-{}", entry.id),
                full_name(entry),
            )
        })
    }

    async fn page(
        self,
        site: &Site,
        visitor: &Visitor,
        look: Look<'_>,
    ) -> Result<PegsPage, PageError> {
        let unposted = changed_since_posting(site, &self.the_match).await?;
        Ok(PegsPage {
            frame: Frame::new(site, visitor, Section::Matches)
                .await?
                .with_problems(look.changed || !look.problems.is_empty()),
            ranges: self
                .sections
                .iter()
                .map(|of| range_field(of, &look))
                .collect(),
            rows: self
                .entered
                .iter()
                .map(|entry| self.row(entry, &look))
                .collect(),
            sections: self
                .sections
                .iter()
                .map(|s| (s.id.to_string(), s.name.clone()))
                .collect(),
            teams: self
                .teams
                .iter()
                .map(|t| (t.id.to_string(), t.name.clone()))
                .collect(),
            next: self.next_to_draw(),
            version: look.version.unwrap_or(self.the_match.version),
            the_match: self.the_match,
            problems: look.problems.clone(),
            changed: look.changed,
            unposted,
        })
    }
}

fn range_name(section: &SectionOfMatch) -> String {
    format!("range-{}", section.id)
}

/// The pegs of a section: nothing that is kept, only a way to choose it for many rows at once.
fn range_field(section: &SectionOfMatch, look: &Look<'_>) -> Field {
    let name = range_name(section);
    let typed = look.sent.map_or("", |sent| sent.form.get(&name));
    let label = format!("{}: pegs", section_heading(&section.name));
    Field::new(&name, &label, typed).problems(look.problems)
}

/// How the form is to be shown.
struct Look<'a> {
    sent: Option<&'a Sent<'a>>,
    problems: &'a Problems,
    /// Somebody else changed what was changed here: that stands beside it.
    changed: bool,
    /// The version that was sent, where the form still answers that one; else the record's.
    version: Option<i64>,
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Path(id): Path<String>,
) -> Result<Response, PageError> {
    let look = Look {
        sent: None,
        problems: &Problems::default(),
        changed: false,
        version: None,
    };
    page(
        Sheet::of(&site, &id)
            .await?
            .page(&site, &visitor, look)
            .await?,
    )
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let fetched = version(form.get("version"))?;
    for _ in 0..TRIES {
        let sheet = Sheet::of(&site, &id).await?;
        let at = (sheet.the_match.id, sheet.the_match.version);
        let sent = Sent::new(&form, fetched, at.1);
        let mut read = sheet.read(&sent);
        if read.problems.is_empty() && read.clashes.is_empty() {
            match place_entries(&site.db, site.now(), &member.by(), at, &read.placed).await {
                Ok(()) => {
                    let back = format!("/matches/{}/pegs", at.0);
                    return Ok(go_with(&site, &back, "saved").into_response());
                }
                Err(ActionError::Refused { field, sentence }) => {
                    read.problems.add(field, sentence);
                }
                Err(ActionError::Changed) => continue,
                Err(other) => return Err(other.into()),
            }
        }
        // What cannot stand is mended first: until then the form answers the page it came from.
        let changed = read.problems.is_empty();
        let look = Look {
            sent: Some(&sent),
            problems: if changed {
                &read.clashes
            } else {
                &read.problems
            },
            changed,
            version: (!changed).then_some(fetched),
        };
        let shown = sheet.page(&site, &member.visitor(), look).await?;
        if changed {
            return Ok((StatusCode::CONFLICT, Html(shown.render()?)).into_response());
        }
        return page_again(shown);
    }
    Err(ActionError::Busy.into())
}
