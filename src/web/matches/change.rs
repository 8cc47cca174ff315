//! `/matches/{match}/edit`: an organiser changes a match, calls it off, or puts it on again.

use askama::Template;
use axum::{
    extract::{Path, State},
    http::StatusCode,
    response::{Html, IntoResponse, Response},
};

use super::{
    changed::{self, Difference},
    found,
    typed::{Saved, Typed, each_once, group_field},
    version,
};
use crate::{
    actions::{
        ActionError,
        change_match::{self, MatchChange, weighing_is_open},
    },
    domain::{
        dates::Instant,
        groups::{Group, GroupSet},
        ids::{MatchTeamId, SectionId},
        matches::{MatchState, section_heading},
        names::text::clean_line,
        units::Ranking,
    },
    store::matches::{self, Match, SectionOfMatch, TeamOfMatch, changing, weights},
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
#[template(path = "matches/change.html")]
struct ChangePage {
    frame: Frame,
    record: OnRecord,
    /// The version the form answers.
    version: i64,
    typed: Typed,
    /// Somebody saved while the form was open.
    changed: bool,
    differences: Vec<Difference>,
}

impl ChangePage {
    async fn of(
        site: &Site,
        visitor: &Visitor,
        record: OnRecord,
        typed: Typed,
    ) -> Result<Self, PageError> {
        Ok(Self {
            frame: Frame::new(site, visitor, Section::Matches)
                .await?
                .with_problems(!typed.problems.is_empty()),
            version: record.the_match.version,
            record,
            typed,
            changed: false,
            differences: Vec::new(),
        })
    }

    fn address(&self, page: &str) -> String {
        self.frame
            .url(&format!("/matches/{}{page}", self.record.the_match.id))
    }

    fn is_final(&self) -> bool {
        self.record.the_match.state == MatchState::Final
    }

    fn is_off(&self) -> bool {
        self.record.the_match.state == MatchState::Abandoned
    }

    fn sections(&self) -> Vec<Field> {
        let sections = self.record.sections.iter();
        sections
            .map(|section| {
                let label = section_heading(&section.name);
                self.typed.field(&section_field(section.id), &label, "")
            })
            .collect()
    }

    fn teams(&self) -> Vec<Field> {
        let teams = self.record.teams.iter();
        teams
            .map(|team| {
                let label = format!("Team {}", team.name);
                self.typed.field(&team_field(team.id), &label, "")
            })
            .collect()
    }
}

/// The match as saved, with what of it may still be changed.
struct OnRecord {
    the_match: Match,
    kinds: Vec<GroupSet>,
    sections: Vec<SectionOfMatch>,
    sections_in_use: Vec<SectionId>,
    teams: Vec<TeamOfMatch>,
    teams_in_use: Vec<MatchTeamId>,
    venue_open: bool,
    weighing_open: bool,
}

impl OnRecord {
    async fn of(site: &Site, id: &str) -> Result<Self, PageError> {
        let the_match = found(site, id).await?;
        let mut reading = site.db.read().await?;
        let id = the_match.id;
        let nets = weights::of_match(&mut reading, id).await?;
        Ok(Self {
            kinds: matches::net_kinds(&mut reading, id).await?,
            sections: matches::sections(&mut reading, id).await?,
            sections_in_use: changing::sections_in_use(&mut reading, id).await?,
            teams: matches::teams(&mut reading, id).await?,
            teams_in_use: changing::teams_in_use(&mut reading, id).await?,
            venue_open: !changing::anybody(&mut reading, id).await?,
            weighing_open: weighing_is_open(&the_match, &nets),
            the_match,
        })
    }

    fn saved(&self) -> Saved {
        Saved {
            the_match: self.the_match.clone(),
            kinds: self.kinds.clone(),
            venue_open: self.venue_open,
            weighing_open: self.weighing_open,
        }
    }

    /// The form that would be read as this match.
    fn form(&self) -> Form {
        let the_match = &self.the_match;
        let zone = the_match.zone();
        let clock = |at: Option<Instant>| at.map(|at| at.clock(&zone)).unwrap_or_default();
        let ranking = the_match.ranking();
        let place = Ranking::OFFERED
            .iter()
            .position(|(known, _)| *known == ranking);
        let mut pairs = vec![
            ("name".to_owned(), the_match.name.clone()),
            ("venue".to_owned(), the_match.venue.to_string()),
            ("on".to_owned(), the_match.on.to_string()),
            (
                "meet_place".to_owned(),
                the_match.meet_place.clone().unwrap_or_default(),
            ),
            ("meet".to_owned(), clock(the_match.meet)),
            ("start".to_owned(), clock(the_match.start)),
            ("finish".to_owned(), clock(the_match.finish)),
            (
                "pegs_allotted".to_owned(),
                the_match.pegs_allotted.as_str().to_owned(),
            ),
            (
                "ranking".to_owned(),
                place.map(|place| place.to_string()).unwrap_or_default(),
            ),
        ];
        pairs.extend(Group::ALL.map(|group| (group_field(group), self.counted(group).to_owned())));
        pairs.extend(self.names());
        Form::from_pairs(pairs)
    }

    fn names(&self) -> Vec<(String, String)> {
        let sections = self.sections.iter();
        let sections = sections.map(|section| (section_field(section.id), section.name.clone()));
        let teams = self.teams.iter();
        let teams = teams.map(|team| (team_field(team.id), team.name.clone()));
        sections.chain(teams).collect()
    }

    /// How the form says that this group counts.
    fn counted(&self, group: Group) -> &'static str {
        match self.kinds.iter().find(|kind| kind.contains(group)) {
            None => "no",
            Some(kind) if kind.groups().count() > 1 || self.kinds.len() == 1 => "together",
            Some(_) => "apart",
        }
    }

    /// What was sent; a section or team that the sender had not seen yet keeps its name.
    fn completed(&self, form: &Form) -> Form {
        let unseen = self.names().into_iter();
        let unseen = unseen.filter(|(name, _)| !form.has(name));
        Form::from_pairs(form.pairs().iter().cloned().chain(unseen).collect())
    }

    fn read_sections(&self, typed: &mut Typed) -> Vec<(SectionId, String)> {
        let known = self.sections.iter().map(|section| section.id);
        read_names(typed, known, &self.sections_in_use, section_field)
    }

    fn read_teams(&self, typed: &mut Typed) -> Vec<(MatchTeamId, String)> {
        let known = self.teams.iter().map(|team| team.id);
        read_names(typed, known, &self.teams_in_use, team_field)
    }
}

/// The names that sections or teams are to have, as far as they can stand.
fn read_names<I: Copy + PartialEq>(
    typed: &mut Typed,
    known: impl Iterator<Item = I>,
    in_use: &[I],
    field: fn(I) -> String,
) -> Vec<(I, String)> {
    known
        .filter_map(|id| {
            let name = read_name(typed, &field(id), in_use.contains(&id))?;
            Some((id, name))
        })
        .collect()
}

/// The name a section or team is to have; one in use must have one.
fn read_name(typed: &mut Typed, field: &str, in_use: bool) -> Option<String> {
    let read = clean_line(typed.form.get(field), "the name", 40);
    let name = typed.problems.take(field, read)?;
    if name.is_empty() && in_use {
        typed.problems.add(
            field,
            "Somebody is entered here. Give it a name, or move them first.",
        );
        return None;
    }
    Some(name)
}

fn section_field(id: SectionId) -> String {
    format!("section-{id}")
}

fn team_field(id: MatchTeamId) -> String {
    format!("team-{id}")
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Path(id): Path<String>,
) -> Result<Response, PageError> {
    let record = OnRecord::of(&site, &id).await?;
    let typed = Typed::of(&site, record.form(), Some(record.saved())).await?;
    page(ChangePage::of(&site, &visitor, record, typed).await?)
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let record = OnRecord::of(&site, &id).await?;
    let version = version(form.get("version"))?;
    let mut typed = Typed::of(&site, record.completed(&form), Some(record.saved())).await?;
    let head = typed.read(&site).await?;
    let sections = record.read_sections(&mut typed);
    let teams = record.read_teams(&mut typed);
    if let Some(head) = &head {
        let problems = &mut typed.problems;
        let (to_sections, to_teams) = (&head.sections[..], &head.teams[..]);
        each_once(
            &sections,
            section_field,
            (to_sections, "sections"),
            problems,
        );
        each_once(&teams, team_field, (to_teams, "teams"), problems);
    }
    if let Some(head) = head.filter(|_| typed.problems.is_empty()) {
        let change = MatchChange {
            head,
            sections,
            teams,
        };
        let at = (record.the_match.id, version);
        match change_match::change_match(&site.db, site.now(), &member.by(), at, &change).await {
            Ok(()) => return Ok(back(&site, &record, "saved")),
            Err(ActionError::Refused { field, sentence }) => typed.problems.add(field, sentence),
            Err(ActionError::Changed) => return both(&site, &member, &id, &form).await,
            Err(other) => return Err(other.into()),
        }
    }
    let mut again = ChangePage::of(&site, &member.visitor(), record, typed).await?;
    again.version = version;
    page_again(again)
}

fn back(site: &Site, record: &OnRecord, done: &str) -> Response {
    go_with(site, &format!("/matches/{}", record.the_match.id), done).into_response()
}

/// 409: what was sent, with what the record says now beside each thing that differs.
async fn both(site: &Site, member: &Member, id: &str, form: &Form) -> Result<Response, PageError> {
    let record = OnRecord::of(site, id).await?;
    let mut typed = Typed::of(site, record.completed(form), Some(record.saved())).await?;
    // Read for what it is asked about; what is wrong with it is said at the next save.
    typed.read(site).await?;
    typed.problems = Problems::default();
    let differences = changed::differences(&typed, &record.form(), &record.names());
    let mut shown = ChangePage::of(site, &member.visitor(), record, typed).await?;
    shown.frame = shown.frame.with_problems(true);
    shown.changed = true;
    shown.differences = differences;
    Ok((StatusCode::CONFLICT, Html(shown.render()?)).into_response())
}

pub async fn call_off(
    State(site): State<Site>,
    member: Member,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let record = OnRecord::of(&site, &id).await?;
    let at = (record.the_match.id, version(form.get("version"))?);
    if !form.has("sure_off") {
        let mut problems = Problems::default();
        problems.add(
            "sure_off",
            "Tick that the match is called off, then call it off.",
        );
        return again(&site, &member, record, problems).await;
    }
    match change_match::call_off(&site.db, site.now(), &member.by(), at).await {
        Ok(()) => Ok(back(&site, &record, "called-off")),
        Err(error) => not_done(&site, &member, &id, error).await,
    }
}

pub async fn put_on_again(
    State(site): State<Site>,
    member: Member,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let record = OnRecord::of(&site, &id).await?;
    let at = (record.the_match.id, version(form.get("version"))?);
    match change_match::put_on_again(&site.db, site.now(), &member.by(), at).await {
        Ok(()) => Ok(back(&site, &record, "on-again")),
        Err(error) => not_done(&site, &member, &id, error).await,
    }
}

/// The page once more, as the match now stands.
async fn not_done(
    site: &Site,
    member: &Member,
    id: &str,
    error: ActionError,
) -> Result<Response, PageError> {
    let record = OnRecord::of(site, id).await?;
    match error {
        ActionError::Refused { field, sentence } => {
            let mut problems = Problems::default();
            problems.add(field, sentence);
            again(site, member, record, problems).await
        }
        ActionError::Changed => {
            let form = record.form();
            both(site, member, id, &form).await
        }
        other => Err(other.into()),
    }
}

async fn again(
    site: &Site,
    member: &Member,
    record: OnRecord,
    problems: Problems,
) -> Result<Response, PageError> {
    let mut typed = Typed::of(site, record.form(), Some(record.saved())).await?;
    typed.problems = problems;
    page_again(ChangePage::of(site, &member.visitor(), record, typed).await?)
}
