//! `/anglers/{angler}/join`: an officer says that two anglers on the list are one person. First who,
//! then a look at what moves, then the joining itself.

use askama::Template;
use axum::{
    extract::{Path, Query, State},
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{angler::the_angler, apart::Apart};
use crate::{
    actions::{ActionError, join_anglers},
    domain::ids::{AnglerId, Pid},
    statistics::wording,
    store::{
        anglers::{self, Angler},
        joined::{self, Standing},
    },
    web::{
        errors::PageError,
        forms::{Field, Form, Problems},
        links::{go, go_with},
        page::{Frame, Section, page, page_again},
        people::Member,
        state::Site,
    },
};

#[derive(Template)]
#[template(path = "anglers/join.html")]
struct JoinPage {
    frame: Frame,
    angler: Angler,
    name: String,
    other: Field,
    choices: Vec<(String, String)>,
    /// Whom was chosen, when nothing stands in the way.
    look: Option<Look>,
    problems: Problems,
}

/// What joining would do.
struct Look {
    stays: Pid,
    name: String,
    standing: Standing,
    moves: String,
}

impl Look {
    /// Neither a result nor a report would move.
    fn is_bare(&self) -> bool {
        self.standing.results == 0 && self.standing.reports == 0
    }
}

#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Asked {
    other: String,
}

/// The whole name, as officers see it.
fn named(angler: &Angler) -> String {
    let name = angler.name();
    name.map_or_else(
        || crate::domain::names::FORMER_MEMBER.to_owned(),
        |name| name.full(),
    )
}

fn moves(standing: Standing) -> String {
    let of =
        |n: i64, one: &str, many: &str| wording::count(usize::try_from(n).unwrap_or(0), one, many);
    format!(
        "{} and {}",
        of(standing.results, "result", "results"),
        of(standing.reports, "report", "reports")
    )
}

impl JoinPage {
    /// The page for `angler` with `other` chosen, and a look at what moves where that can be.
    async fn new(
        site: &Site,
        member: &Member,
        angler: Angler,
        other: &str,
        mut problems: Problems,
    ) -> Result<Self, PageError> {
        let mut reading = site.db.read().await?;
        let list = anglers::all(&mut reading).await?;
        let apart = Apart::of(&mut reading, &list).await?;
        let look = match list.iter().find(|one| one.pid.as_str() == other) {
            Some(to) => match join_anglers::check(&mut reading, &angler, to).await {
                Ok(()) => {
                    let standing = joined::standing(&mut reading, angler.id).await?;
                    Some(Look {
                        stays: to.pid.clone(),
                        name: apart.beside(to.id, named(to)),
                        standing,
                        moves: moves(standing),
                    })
                }
                Err(ActionError::Refused { field, sentence }) => {
                    if problems.is_empty() {
                        problems.add(field, sentence);
                    }
                    None
                }
                Err(error) => return Err(error.into()),
            },
            None => {
                if !other.is_empty() && problems.is_empty() {
                    problems.add("other", "Choose an angler from the list.");
                }
                None
            }
        };
        drop(reading);
        let choices = choices(&list, &apart, angler.id);
        Ok(Self {
            frame: Frame::new(site, &member.visitor(), Section::Anglers)
                .await?
                .with_problems(!problems.is_empty()),
            name: named(&angler),
            other: Field::new("other", "This is the same person as", other).problems(&problems),
            angler,
            choices,
            look,
            problems,
        })
    }

    fn here(&self) -> String {
        self.frame
            .url(&format!("/anglers/{}/join", self.angler.pid))
    }
}

fn choices(list: &[Angler], apart: &Apart, but: AnglerId) -> Vec<(String, String)> {
    list.iter()
        .filter(|one| one.id != but)
        .filter_map(|one| Some((one.pid.to_string(), apart.sorted(one)?)))
        .collect()
}

pub async fn show(
    State(site): State<Site>,
    member: Member,
    Path(angler): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let angler = the_angler(&site, &angler).await?;
    if let Some(standing) = super::angler::joined_to(&site, &angler).await? {
        return Ok(go(&site, &format!("/anglers/{}", standing.pid)).into_response());
    }
    let shown = JoinPage::new(
        &site,
        &member,
        angler,
        asked.other.trim(),
        Problems::default(),
    )
    .await?;
    match shown.problems.is_empty() {
        true => page(shown),
        false => page_again(shown),
    }
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Path(angler): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let angler = the_angler(&site, &angler).await?;
    if let Some(standing) = super::angler::joined_to(&site, &angler).await? {
        return Ok(go(&site, &format!("/anglers/{}", standing.pid)).into_response());
    }
    let mut problems = Problems::default();
    let Some(other) = Pid::parse(form.get("other")) else {
        problems.add("other", "Choose an angler from the list.");
        return page_again(JoinPage::new(&site, &member, angler, "", problems).await?);
    };
    let number = |name: &str| form.get(name).parse().unwrap_or(-1);
    let seen = Standing {
        results: number("results"),
        reports: number("reports"),
    };
    let pair = (&angler.pid, &other);
    match join_anglers::join_anglers(&site.db, site.now(), &member.by(), pair, seen).await {
        Ok(()) => {
            return Ok(go_with(&site, &format!("/anglers/{other}"), "joined").into_response());
        }
        Err(ActionError::Refused { field, sentence }) => problems.add(field, sentence),
        Err(ActionError::NotFound) => problems.add("other", "Choose an angler from the list."),
        Err(ActionError::Changed) => problems.add(
            "other",
            "What stands under this angler has changed since you looked. Look at it below once more, then join them.",
        ),
        Err(error) => return Err(error.into()),
    }
    page_again(JoinPage::new(&site, &member, angler, other.as_str(), problems).await?)
}
