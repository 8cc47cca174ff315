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
    let Some(link) = open_to(&site, &visitor, &secret).await? else {
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
    let Some(link) = open_to(&site, &visitor, &secret).await? else {
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

/// The link, if it works for whoever opens it: a link to choose a password is refused to a browser
/// in which somebody else is signed in, so that nobody chooses it for another by mistake.
async fn open_to(
    site: &Site,
    visitor: &Visitor,
    secret: &str,
) -> Result<Option<LinkInView>, PageError> {
    let link = one_time_links::look_at_link(&site.db, site.now(), secret).await?;
    let signed_in = visitor.who.as_ref().map(|who| who.account);
    Ok(link.filter(|link| {
        let somebody_else =
            signed_in.is_some() && link.account.is_some() && link.account != signed_in;
        link.kind == "demo" || !somebody_else
    }))
}

async fn gone(site: &Site, visitor: &Visitor) -> Result<Response, PageError> {
    let frame = Frame::new(site, visitor, Section::Nowhere).await?;
    let html = LinkGonePage { frame }.render()?;
    Ok((StatusCode::NOT_FOUND, Html(html)).into_response())
}
