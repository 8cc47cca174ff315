//! Looking the result over, and publishing it.

use std::collections::BTreeMap;

use askama::Template;
use axum::{
    extract::{Path, State},
    http::StatusCode,
    response::{Html, IntoResponse, Response},
};

use super::{
    Naming,
    corrections::{Told, differences},
    found,
    laid::Laid,
    result::named,
    version,
};
use crate::{
    actions::{
        ActionError,
        publish_results::{figures, publish_results},
    },
    domain::{
        ids::EntryId,
        matches::{Figures, Line, Outcome, PegsAllotted, changes},
    },
    statistics::wording,
    store::matches::{self, Match, entries, publications, weights},
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
#[template(path = "matches/publication.html")]
struct PublicationPage {
    frame: Frame,
    the_match: Match,
    /// The version that is looked over.
    version: i64,
    laid: Option<Laid>,
    /// What keeps the result from being posted, a sentence an entry.
    missing: Vec<String>,
    warnings: Warnings,
    again: bool,
    /// What differs from the posting that stands.
    differs: Option<Told>,
    reason: Field,
    problems: Problems,
}

/// What does not keep a result from being posted, and may be an oversight.
#[derive(Default)]
struct Warnings {
    list: Vec<String>,
    /// Some of it is mended where pegs, sections and teams are given.
    on_pegs: bool,
}

impl PublicationPage {
    /// The record says what stands posted already, so that there is nothing to publish.
    fn is_the_same(&self) -> bool {
        let told = self.differs.as_ref();
        told.is_some_and(|told| told.lines.is_empty() && told.moved.is_empty())
    }

    fn address(&self, page: &str) -> String {
        self.frame
            .url(&format!("/matches/{}{page}", self.the_match.id))
    }

    async fn of(
        site: &Site,
        visitor: &Visitor,
        the_match: Match,
        (reason, problems): (&str, Problems),
    ) -> Result<Self, PageError> {
        let naming = Naming::of(site, visitor).await?;
        let frame = Frame::new(site, visitor, Section::Matches).await?;
        let mut reading = site.db.read().await?;
        let ever = entries::ever_of_match(&mut reading, the_match.id).await?;
        let entered = entries::of_match(&mut reading, the_match.id).await?;
        let nets = weights::of_match(&mut reading, the_match.id).await?;
        let sections = matches::sections(&mut reading, the_match.id).await?;
        let postings = publications::of_match(&mut reading, the_match.id).await?;
        let (laid, missing, warnings, differs) = match figures(&the_match, &entered, &nets) {
            _ if entered.is_empty() => {
                let nobody = "Nobody is entered yet. Add the anglers first.".to_owned();
                (None, vec![nobody], Warnings::default(), None)
            }
            Ok(figures) => {
                let names = naming.of_result(&figures, &ever);
                let whom = |entry| named(entry, &names, &ever, naming);
                let differs = match postings.first() {
                    None => None,
                    Some(standing) => {
                        let standing = Figures::thaw(&standing.figures_json)
                            .map_err(|e| PageError::Fault(format!("frozen figures: {e}")))?;
                        let changes = changes(&standing, &figures);
                        Some(differences(&changes, &the_match.zone(), whom))
                    }
                };
                let warnings = Warnings::of(&figures, !sections.is_empty(), whom);
                let laid = Laid::out(&figures, &entered, naming);
                (Some(laid), Vec::new(), warnings, differs)
            }
            Err(missing) => (None, missing, Warnings::default(), None),
        };
        let reason = Field::new("reason", "Why it is published again", reason);
        Ok(Self {
            frame: frame.with_problems(!problems.is_empty()),
            reason: reason.problems(&problems),
            version: the_match.version,
            the_match,
            laid,
            missing,
            warnings,
            again: !postings.is_empty(),
            differs,
            problems,
        })
    }
}

impl Warnings {
    /// Who has no peg where pegs are given out, who no section where there are sections, and how
    /// unequal the teams are; whoever was absent needs no peg and no section.
    fn of(figures: &Figures, in_sections: bool, whom: impl Fn(EntryId) -> String) -> Self {
        let named = |lacks: &dyn Fn(&Line) -> bool| -> Vec<String> {
            let sat = figures
                .lines
                .iter()
                .filter(|line| line.outcome != Outcome::Absent);
            sat.filter(|line| lacks(line))
                .map(|line| whom(line.entry))
                .collect()
        };
        let mut list = Vec::new();
        let without_peg = named(&|line| line.peg.is_none());
        if !without_peg.is_empty() && figures.pegs_allotted != PegsAllotted::Roving {
            list.push(format!(
                "Without a peg: {}. What they caught will count for no peg.",
                wording::list(&without_peg)
            ));
        }
        let without_section = named(&|line| line.section.is_none());
        if !without_section.is_empty() && in_sections {
            list.push(format!(
                "Without a section: {}. They will stand in no section’s table.",
                wording::list(&without_section)
            ));
        }
        let (unequal, absent) = (unequal_teams(figures), absent_of_teams(figures));
        let on_pegs = !list.is_empty() || (unequal.is_some() && absent.is_none());
        list.extend(absent.or(unequal));
        Self { list, on_pegs }
    }
}

const ALL_ADDED: &str = "All weights of a team are added, so a larger team has more of them.";

/// How many were entered for each team, and how many of them fished.
fn team_sizes(figures: &Figures) -> BTreeMap<&str, (usize, usize)> {
    let mut sizes: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    for line in &figures.lines {
        if let Some(team) = line.team.as_deref() {
            let (entered, fished) = sizes.entry(team).or_default();
            *entered += 1;
            *fished += usize::from(line.outcome != Outcome::Absent);
        }
    }
    sizes
}

/// `Float Lot 7 and Reed Rats 6 fished`, where teams are not of one size.
fn fished_unequally(figures: &Figures) -> Option<String> {
    let sizes = team_sizes(figures);
    let fished = || sizes.values().map(|(_, fished)| fished);
    let teams: Vec<String> = sizes
        .iter()
        .map(|(team, (_, fished))| format!("{team} {fished}"))
        .collect();
    (fished().min() != fished().max()).then(|| format!("{} fished", wording::list(&teams)))
}

fn unequal_teams(figures: &Figures) -> Option<String> {
    let fished = fished_unequally(figures)?;
    Some(format!("Teams are not of one size: {fished}. {ALL_ADDED}"))
}

/// The same where the teams were entered of one size, and it was the absent who made them unequal:
/// nothing of that can be mended.
fn absent_of_teams(figures: &Figures) -> Option<String> {
    let fished = fished_unequally(figures)?;
    let sizes = team_sizes(figures);
    let entered = || sizes.values().map(|(entered, _)| *entered);
    let each = entered()
        .max()
        .filter(|most| entered().min() == Some(*most))?;
    let absent: Vec<String> = sizes
        .iter()
        .map(|(team, (entered, fished))| (team, entered - fished))
        .filter(|(_, absent)| *absent > 0)
        .map(|(team, absent)| {
            let verb = if absent == 1 { "was" } else { "were" };
            format!("{} of {team} {verb} absent", wording::number(absent))
        })
        .collect();
    Some(format!(
        "{each} entered for each team; {}, so {fished}. {ALL_ADDED}",
        wording::list(&absent)
    ))
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Path(id): Path<String>,
) -> Result<Response, PageError> {
    let the_match = found(&site, &id).await?;
    page(PublicationPage::of(&site, &visitor, the_match, ("", Problems::default())).await?)
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let the_match = found(&site, &id).await?;
    let at = (the_match.id, version(form.get("version"))?);
    let reason = form.get("reason");
    match publish_results(&site.db, site.now(), &member.by(), at, reason).await {
        Ok(()) => {
            let result = format!("/matches/{}/result", the_match.id);
            Ok(go_with(&site, &result, "published").into_response())
        }
        Err(ActionError::Refused { field, sentence }) => {
            let mut problems = Problems::default();
            problems.add(field, sentence);
            let visitor = member.visitor();
            let mut again =
                PublicationPage::of(&site, &visitor, the_match, (reason, problems)).await?;
            // Still the one that was looked over: a change meanwhile is told before it is posted.
            again.version = at.1;
            page_again(again)
        }
        Err(ActionError::Changed) => {
            let mut problems = Problems::default();
            problems.add(
                "",
                "Somebody changed the match, its pegs or its weights after you looked this over. Below is the result as it now stands: look again, then publish.",
            );
            let (the_match, visitor) = (found(&site, &id).await?, member.visitor());
            let shown = PublicationPage::of(&site, &visitor, the_match, (reason, problems)).await?;
            Ok((StatusCode::CONFLICT, Html(shown.render()?)).into_response())
        }
        Err(other) => Err(other.into()),
    }
}
