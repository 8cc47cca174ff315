//! One angler: the name as the reader may see it; officers mend it and mark juniors.

use askama::Template;
use axum::{
    extract::{Path, State},
    response::{IntoResponse, Response},
};

use super::name_for;
use crate::{
    actions::{self, ActionError},
    domain::{ids::Pid, names::Name},
    store::anglers::{self, Angler},
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
#[template(path = "anglers/angler.html")]
struct AnglerPage {
    frame: Frame,
    angler: Angler,
    name: String,
    given: Field,
    surname: Field,
    junior: Field,
    problems: Problems,
}

impl AnglerPage {
    async fn new(
        site: &Site,
        member: &Member,
        angler: Angler,
        typed: Option<&Form>,
        problems: Problems,
    ) -> Result<Self, PageError> {
        let field = |name: &str, label: &str, kept: &str| {
            Field::new(name, label, typed.map_or(kept, |form| form.get(name))).problems(&problems)
        };
        Ok(Self {
            frame: Frame::new(site, &member.visitor(), Section::Anglers)
                .await?
                .with_problems(!problems.is_empty()),
            name: name_for(&angler, member),
            given: field(
                "given",
                "First name",
                angler.given.as_deref().unwrap_or_default(),
            ),
            surname: field(
                "surname",
                "Surname",
                angler.surname.as_deref().unwrap_or_default(),
            ),
            junior: field(
                "junior",
                "A junior",
                if angler.is_junior { "on" } else { "" },
            ),
            angler,
            problems,
        })
    }
}

async fn the_angler(site: &Site, pid: &str) -> Result<Angler, PageError> {
    let pid = Pid::parse(pid).ok_or(PageError::NotFound)?;
    anglers::by_pid(&mut *site.db.read().await?, &pid)
        .await?
        .ok_or(PageError::NotFound)
}

pub async fn show(
    State(site): State<Site>,
    member: Member,
    Path(angler): Path<String>,
) -> Result<Response, PageError> {
    let angler = the_angler(&site, &angler).await?;
    page(AnglerPage::new(&site, &member, angler, None, Problems::default()).await?)
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Path(angler): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let angler = the_angler(&site, &angler).await?;
    let mut problems = Problems::default();
    if let Some(name) = problems.take("given", Name::new(form.get("given"), form.get("surname"))) {
        match actions::anglers::change(
            &site.db,
            site.now(),
            &member.by(),
            &angler.pid,
            &name,
            form.has("junior"),
        )
        .await
        {
            Ok(()) => {
                return Ok(
                    go_with(&site, &format!("/anglers/{}", angler.pid), "saved").into_response()
                );
            }
            Err(ActionError::Refused { field, sentence }) => problems.add(field, sentence),
            Err(other) => return Err(other.into()),
        }
    }
    page_again(AnglerPage::new(&site, &member, angler, Some(&form), problems).await?)
}
