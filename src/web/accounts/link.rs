//! One-time links: invites, new passwords, the first administrator. Opening one spends nothing;
//! the form on it does. Every link that does not work is answered in the same words.

use askama::Template;
use axum::{
    extract::{Path, State},
    http::{HeaderMap, StatusCode},
    response::{Html, IntoResponse, Response},
};
use axum_extra::extract::CookieJar;

use super::sign_in::{device_words, with_cookies};
use crate::{
    actions::{
        ActionError,
        one_time_links::{self, LinkInView},
        sign_in::SignInAnswer,
    },
    web::{
        errors::PageError,
        forms::{Form, Problems},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::Visitor,
        state::Site,
    },
};

#[derive(Template)]
#[template(path = "accounts/link.html")]
struct LinkPage {
    frame: Frame,
    link: LinkInView,
    secret: String,
    name: String,
    problems: Problems,
}

#[derive(Template)]
#[template(path = "accounts/link_gone.html")]
struct LinkGonePage {
    frame: Frame,
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Path(secret): Path<String>,
) -> Result<Response, PageError> {
    let Some(link) = one_time_links::look_at_link(&site.db, site.now(), &secret).await? else {
        return gone(&site, &visitor).await;
    };
    page(LinkPage {
        frame: Frame::new(&site, &visitor, Section::Nowhere).await?,
        link,
        secret,
        name: String::new(),
        problems: Problems::default(),
    })
}

pub async fn submit(
    State(site): State<Site>,
    visitor: Visitor,
    Path(secret): Path<String>,
    jar: CookieJar,
    headers: HeaderMap,
    form: Form,
) -> Result<Response, PageError> {
    let Some(link) = one_time_links::look_at_link(&site.db, site.now(), &secret).await? else {
        return gone(&site, &visitor).await;
    };
    let used = one_time_links::use_link(
        &site.db,
        &site.hasher,
        site.now(),
        &secret,
        Some(form.get("name")),
        Some(form.raw("password")),
        &device_words(&headers),
    )
    .await;
    match used {
        Ok(SignInAnswer::In { token, device }) => {
            let done = if link.kind == "demo" {
                "signed-in"
            } else {
                "password-set"
            };
            Ok((
                with_cookies(&site, jar, &token, &device),
                go_with(&site, "/", done),
            )
                .into_response())
        }
        Ok(_) | Err(ActionError::NotFound) => gone(&site, &visitor).await,
        Err(ActionError::Refused { field, sentence }) => {
            let mut problems = Problems::default();
            problems.add(field, sentence);
            page_again(LinkPage {
                frame: Frame::new(&site, &visitor, Section::Nowhere)
                    .await?
                    .with_problems(true),
                link,
                secret,
                name: form.get("name").to_owned(),
                problems,
            })
        }
        Err(other) => Err(other.into()),
    }
}

async fn gone(site: &Site, visitor: &Visitor) -> Result<Response, PageError> {
    let frame = Frame::new(site, visitor, Section::Nowhere).await?;
    let html = LinkGonePage { frame }.render()?;
    Ok((StatusCode::NOT_FOUND, Html(html)).into_response())
}
