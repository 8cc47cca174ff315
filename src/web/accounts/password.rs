//! Changing one's own password.

use askama::Template;
use axum::{
    extract::State,
    http::HeaderMap,
    response::{IntoResponse, Response},
};
use axum_extra::extract::CookieJar;

use super::sign_in::{device_words, with_sign_in};
use crate::{
    actions::{
        ActionError,
        own_password::{self, Change},
    },
    web::{
        errors::PageError,
        forms::{Field, Form, Problems},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::{Address, Member},
        state::Site,
    },
};

#[derive(Template)]
#[template(path = "accounts/password.html")]
struct PasswordPage {
    frame: Frame,
    current: Field,
    new: Field,
    problems: Problems,
}

impl PasswordPage {
    async fn new(site: &Site, member: &Member, problems: Problems) -> Result<Self, PageError> {
        Ok(Self {
            frame: Frame::new(site, &member.visitor(), Section::Nowhere)
                .await?
                .with_problems(!problems.is_empty()),
            current: Field::new("current", "Your password now", "").problems(&problems),
            new: Field::new("new", "New password", "")
                .hint("8 characters or more; anything you can type. Three words in a row are easy to remember.")
                .problems(&problems),
            problems,
        })
    }
}

pub async fn show(State(site): State<Site>, member: Member) -> Result<Response, PageError> {
    page(PasswordPage::new(&site, &member, Problems::default()).await?)
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Address(address): Address,
    jar: CookieJar,
    headers: HeaderMap,
    form: Form,
) -> Result<Response, PageError> {
    let change = Change {
        current: form.raw("current"),
        new: form.raw("new"),
        address: &address.to_string(),
        device_words: &device_words(&headers),
    };
    let changed =
        own_password::change(&site.db, &site.hasher, site.now(), &member.who, change).await;
    match changed {
        Ok(token) => Ok((
            with_sign_in(&site, jar, &token),
            go_with(&site, "/account", "password-changed"),
        )
            .into_response()),
        Err(ActionError::Refused { field, sentence }) => {
            let mut problems = Problems::default();
            problems.add(field, sentence);
            page_again(PasswordPage::new(&site, &member, problems).await?)
        }
        Err(other) => Err(other.into()),
    }
}
