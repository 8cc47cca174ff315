//! Making a match.

use askama::Template;
use axum::{
    extract::State,
    response::{IntoResponse, Response},
};

use super::typed::Typed;
use crate::{
    actions::{ActionError, make_match::make_match},
    web::{
        errors::PageError,
        forms::Form,
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
    typed: Typed,
}

pub async fn show(State(site): State<Site>, member: Member) -> Result<Response, PageError> {
    page(NewPage {
        frame: Frame::new(&site, &member.visitor(), Section::Matches).await?,
        typed: Typed::of(&site, Form::default(), None).await?,
    })
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    form: Form,
) -> Result<Response, PageError> {
    let mut typed = Typed::of(&site, form, None).await?;
    if let Some(new) = typed.read(&site).await? {
        match make_match(&site.db, site.now(), &member.by(), &new).await {
            Ok(id) => {
                return Ok(
                    go_with(&site, &format!("/matches/{id}/entries"), "saved").into_response()
                );
            }
            Err(ActionError::Refused { field, sentence }) => typed.problems.add(field, sentence),
            Err(other) => return Err(other.into()),
        }
    }
    page_again(NewPage {
        frame: Frame::new(&site, &member.visitor(), Section::Matches)
            .await?
            .with_problems(true),
        typed,
    })
}
