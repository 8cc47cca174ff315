//! Everybody on the club's list, and adding one who needs no account.

use askama::Template;
use axum::{
    extract::State,
    response::{IntoResponse, Response},
};

use super::{already, name_for, on_the_list};
use crate::{
    actions,
    domain::{
        ids::Pid,
        names::{Name, without_mark},
    },
    store::anglers,
    web::{
        errors::PageError,
        forms::{Field, Form, Problems},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::Member,
        state::Site,
    },
};

/// An angler as the list shows them.
struct Line {
    pid: Pid,
    name: String,
    is_junior: bool,
    has_account: bool,
}

#[derive(Template)]
#[template(path = "anglers/list.html")]
struct AnglersPage {
    frame: Frame,
    anglers: Vec<Line>,
    given: Field,
    surname: Field,
    junior: Field,
    /// Somebody of that name is on the list already: asked before a second is added.
    twin: Option<String>,
    problems: Problems,
}

impl AnglersPage {
    async fn new(
        site: &Site,
        member: &Member,
        form: &Form,
        problems: Problems,
        twin: Option<String>,
    ) -> Result<Self, PageError> {
        let field =
            |name: &str, label: &str| Field::new(name, label, form.get(name)).problems(&problems);
        let anglers = anglers::all(&mut *site.db.read().await?).await?;
        Ok(Self {
            frame: Frame::new(site, &member.visitor(), Section::Anglers)
                .await?
                .with_problems(!problems.is_empty()),
            anglers: anglers
                .into_iter()
                .map(|angler| Line {
                    name: name_for(&angler, member),
                    is_junior: angler.is_junior,
                    has_account: angler.account.is_some(),
                    pid: angler.pid,
                })
                .collect(),
            given: field("given", "First name"),
            surname: field("surname", "Surname"),
            junior: field("junior", "A junior"),
            twin,
            problems,
        })
    }
}

pub async fn show(State(site): State<Site>, member: Member) -> Result<Response, PageError> {
    page(AnglersPage::new(&site, &member, &Form::default(), Problems::default(), None).await?)
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    form: Form,
) -> Result<Response, PageError> {
    let mut problems = Problems::default();
    let (surname, marked) = without_mark(form.get("surname"));
    let Some(name) = problems.take("given", Name::new(form.get("given"), &surname)) else {
        return page_again(AnglersPage::new(&site, &member, &form, problems, None).await?);
    };
    if !form.has("another") && on_the_list(&site, &name).await? {
        problems.add("given", already(&name));
        return page_again(
            AnglersPage::new(&site, &member, &form, problems, Some(name.full())).await?,
        );
    }
    actions::anglers::add(
        &site.db,
        site.now(),
        &member.by(),
        &name,
        form.has("junior") || marked,
    )
    .await?;
    Ok(go_with(&site, "/anglers", "saved").into_response())
}
