//! The pegs drawn, with section and team, of everybody entered: typed in one go, put right at any
//! time before the result is final. Who withdrew is marked here too.

use std::collections::BTreeMap;

use askama::Template;
use axum::{
    extract::{Path, State},
    http::StatusCode,
    response::{Html, IntoResponse, Response},
};

use super::{changed_since_posting, drawn::Pegs, found, full_name, version};
use crate::{
    actions::{
        ActionError,
        place_entries::{Placed, place_entries},
    },
    domain::{
        ids::{EntryId, MatchTeamId, PegId, SectionId},
        pegs::{bare_number, read_peg_list},
    },
    store::matches::{
        self, Match, SectionOfMatch, TeamOfMatch,
        entries::{self, Entry, Placing},
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

#[derive(Template)]
#[template(path = "matches/pegs.html")]
struct PegsPage {
    frame: Frame,
    the_match: Match,
    /// The version the form answers.
    version: i64,
    rows: Vec<Row>,
    /// For each section, the pegs that belong to it.
    ranges: Vec<Field>,
    sections: Vec<(String, String)>,
    teams: Vec<(String, String)>,
    problems: Problems,
    /// Somebody saved while the form was open.
    changed: bool,
    /// The posted result is the old one.
    unposted: bool,
}

struct Row {
    legend: String,
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
    sections: Vec<SectionOfMatch>,
    teams: Vec<TeamOfMatch>,
    pegs: Pegs,
}

impl Sheet {
    async fn of(site: &Site, id: &str) -> Result<Self, PageError> {
        let the_match = found(site, id).await?;
        let pegs = Pegs::of(site, &the_match).await?;
        let mut reading = site.db.read().await?;
        Ok(Self {
            entered: entries::of_match(&mut reading, the_match.id).await?,
            sections: matches::sections(&mut reading, the_match.id).await?,
            teams: matches::teams(&mut reading, the_match.id).await?,
            pegs,
            the_match,
        })
    }

    /// A field with what was typed, or what is on record; where the two differ after somebody
    /// else saved, the hint says what is on record.
    fn field(&self, (name, label): (&str, &str), saved: String, look: &Look<'_>) -> Field {
        let value = match look.form {
            Some(form) => form.get(name).to_owned(),
            None => saved.clone(),
        };
        let field = Field::new(name, label, value.as_str()).problems(look.problems);
        if !look.changed || value == saved {
            return field;
        }
        let on_record = if saved.is_empty() { "nothing" } else { &saved };
        field.hint(&format!("On record now: {}", self.words(label, on_record)))
    }

    fn words(&self, label: &str, saved: &str) -> String {
        let section = self.sections.iter().find(|s| s.id.to_string() == saved);
        let team = self.teams.iter().find(|t| t.id.to_string() == saved);
        match (label, section, team) {
            ("Section", Some(section), _) => section.name.clone(),
            ("Team", _, Some(team)) => team.name.clone(),
            _ => saved.to_owned(),
        }
    }

    fn row(&self, entry: &Entry, look: &Look<'_>) -> Row {
        let team = self
            .teams
            .iter()
            .find(|t| Some(&t.name) == entry.team_name.as_ref());
        let text = |id: Option<String>| id.unwrap_or_default();
        let name = |what: &str| format!("{what}-{}", entry.id);
        let ticked = look.form.is_some_and(|form| form.has(&name("withdrawn")));
        let peg = self.field(
            (&name("peg"), "Peg"),
            entry.peg_number.clone().unwrap_or_default(),
            look,
        );
        Row {
            legend: full_name(entry),
            closed: self.pegs.tick(&peg.value, look.form, &entry.id.to_string()),
            peg,
            section: self.field(
                (&name("section"), "Section"),
                text(entry.section.map(|id| id.to_string())),
                look,
            ),
            team: self.field(
                (&name("team"), "Team"),
                text(team.map(|team| team.id.to_string())),
                look,
            ),
            withdrawn: entry.outcome.is_none().then(|| {
                Field::new(
                    &name("withdrawn"),
                    "Withdrawn: will not fish",
                    if ticked { "on" } else { "" },
                )
            }),
        }
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
            version: look.version.unwrap_or(self.the_match.version),
            the_match: self.the_match,
            problems: look.problems.clone(),
            changed: look.changed,
            unposted,
        })
    }

    /// The peg typed for an entry; asked about where it is closed that day.
    fn read_peg(&self, entry: &Entry, form: &Form, problems: &mut Problems) -> Option<PegId> {
        let field = format!("peg-{}", entry.id);
        let number = bare_number(form.get(&field));
        if number.is_empty() {
            return None;
        }
        let Some(peg) = self.pegs.numbered(number) else {
            problems.add(
                field,
                format!(
                    "{} has no peg {number}. Check the number against the draw.",
                    self.the_match.venue_name
                ),
            );
            return None;
        };
        let withdrawn = form.has(&format!("withdrawn-{}", entry.id));
        let asks = self.pegs.asks(peg, form, &entry.id.to_string());
        if let Some(asks) = asks.filter(|_| !withdrawn) {
            problems.add(field, asks);
        }
        Some(peg)
    }

    /// The section of each peg that a range names; a peg belongs to one.
    fn ranges(&self, form: &Form, problems: &mut Problems) -> BTreeMap<String, SectionId> {
        let mut ranges: BTreeMap<String, SectionId> = BTreeMap::new();
        for section in &self.sections {
            let field = range_name(section);
            if form.get(&field).is_empty() {
                continue;
            }
            let list = read_peg_list(form.get(&field)).map_err(|all| all.join(" "));
            let numbers = problems.take(&field, list).map(|list| list.numbers);
            for number in numbers.into_iter().flatten() {
                let Some(other) = ranges.insert(number.clone(), section.id) else {
                    continue;
                };
                let other = self.sections.iter().find(|known| known.id == other);
                if problems.at(&field).is_empty() {
                    problems.add(
                        field.as_str(),
                        format!(
                            "Peg {number} is given to section {} too. Take it out of one of the two.",
                            other.map(|section| section.name.as_str()).unwrap_or_default()
                        ),
                    );
                }
            }
        }
        ranges
    }

    fn read(&self, form: &Form, problems: &mut Problems) -> Vec<Placed> {
        let ranges = self.ranges(form, problems);
        let mut placed = Vec::new();
        let mut taken: BTreeMap<PegId, EntryId> = BTreeMap::new();
        for entry in &self.entered {
            let name = |what: &str| format!("{what}-{}", entry.id);
            if !form.has(&name("peg")) {
                continue;
            }
            let peg = self.read_peg(entry, form, problems);
            let withdrawn = form.has(&name("withdrawn"));
            if let Some(peg) = peg.filter(|_| !withdrawn)
                && let Some(other) = taken.insert(peg, entry.id)
            {
                let other = self.entered.iter().find(|e| e.id == other).map(full_name);
                problems.add(
                    name("peg"),
                    format!(
                        "{} has that peg too. Check both against the draw.",
                        other.unwrap_or_default()
                    ),
                );
            }
            let number = bare_number(form.get(&name("peg"))).to_uppercase();
            let chosen = form.get(&name("section")).parse().ok().map(SectionId);
            let section = ranges.get(&number).copied().or(chosen);
            let team = form.get(&name("team")).parse().ok().map(MatchTeamId);
            placed.push(Placed {
                entry: entry.id,
                placing: Placing {
                    section: section.filter(|id| self.sections.iter().any(|s| s.id == *id)),
                    team: team.filter(|id| self.teams.iter().any(|t| t.id == *id)),
                    peg,
                },
                withdrawn,
            });
        }
        placed
    }
}

fn range_name(section: &SectionOfMatch) -> String {
    format!("range-{}", section.id)
}

/// The pegs of a section: nothing that is kept, only a way to choose it for many rows at once.
fn range_field(section: &SectionOfMatch, look: &Look<'_>) -> Field {
    let name = range_name(section);
    let typed = look.form.map_or("", |form| form.get(&name));
    let label = format!("Section {}: pegs", section.name);
    Field::new(&name, &label, typed).problems(look.problems)
}

/// How the form is to be shown.
struct Look<'a> {
    form: Option<&'a Form>,
    problems: &'a Problems,
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
        form: None,
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
    let sheet = Sheet::of(&site, &id).await?;
    let at = (sheet.the_match.id, version(form.get("version"))?);
    let mut problems = Problems::default();
    let placed = sheet.read(&form, &mut problems);
    let mut changed = false;
    if problems.is_empty() {
        match place_entries(&site.db, site.now(), &member.by(), at, &placed).await {
            Ok(()) => {
                let back = format!("/matches/{}/pegs", sheet.the_match.id);
                return Ok(go_with(&site, &back, "saved").into_response());
            }
            Err(ActionError::Refused { field, sentence }) => problems.add(field, sentence),
            Err(ActionError::Changed) => changed = true,
            Err(other) => return Err(other.into()),
        }
    }
    let look = Look {
        form: Some(&form),
        problems: &problems,
        changed,
        // What somebody saved meanwhile is shown before it is saved over.
        version: (!changed).then_some(at.1),
    };
    let sheet = Sheet::of(&site, &id).await?;
    let shown = sheet.page(&site, &member.visitor(), look).await?;
    if changed {
        return Ok((StatusCode::CONFLICT, Html(shown.render()?)).into_response());
    }
    page_again(shown)
}
