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
    /// What does not keep it from being posted, and is likely to be an oversight.
    warnings: Vec<String>,
    again: bool,
    /// What differs from the posting that stands.
    differs: Option<Told>,
    reason: Field,
    problems: Problems,
}

impl PublicationPage {
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
                (None, vec![nobody], Vec::new(), None)
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
                let warnings = warnings(&figures, !sections.is_empty(), whom);
                let laid = Laid::out(&figures, &entered, naming);
                (Some(laid), Vec::new(), warnings, differs)
            }
            Err(missing) => (None, missing, Vec::new(), None),
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

/// Who has no peg where pegs are given out, who no section where there are sections, and how unequal
/// the teams are; whoever was absent needs no peg and no section.
fn warnings(figures: &Figures, in_sections: bool, whom: impl Fn(EntryId) -> String) -> Vec<String> {
    let named = |lacks: &dyn Fn(&Line) -> bool| -> Vec<String> {
        let sat = figures
            .lines
            .iter()
            .filter(|line| line.outcome != Outcome::Absent);
        sat.filter(|line| lacks(line))
            .map(|line| whom(line.entry))
            .collect()
    };
    let mut warnings = Vec::new();
    let without_peg = named(&|line| line.peg.is_none());
    if !without_peg.is_empty() && figures.pegs_allotted != PegsAllotted::Roving {
        warnings.push(format!(
            "Without a peg: {}. What they caught will count for no peg.",
            wording::list(&without_peg)
        ));
    }
    let without_section = named(&|line| line.section.is_none());
    if !without_section.is_empty() && in_sections {
        warnings.push(format!(
            "Without a section: {}. They will stand in no section’s table.",
            wording::list(&without_section)
        ));
    }
    warnings.extend(unequal_teams(figures));
    warnings
}

/// How many fished for each team, where teams are not of one size.
fn unequal_teams(figures: &Figures) -> Option<String> {
    let mut sizes: BTreeMap<&str, usize> = BTreeMap::new();
    for line in &figures.lines {
        if let Some(team) = line.team.as_deref() {
            *sizes.entry(team).or_default() += usize::from(line.outcome != Outcome::Absent);
        }
    }
    let (least, most) = (sizes.values().min()?, sizes.values().max()?);
    let fished: Vec<String> = sizes
        .iter()
        .map(|(team, anglers)| format!("{team} {anglers}"))
        .collect();
    (least != most).then(|| {
        format!(
            "Teams are not of one size: {} fished. All weights of a team are added, so a larger team has more of them.",
            wording::list(&fished)
        )
    })
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
