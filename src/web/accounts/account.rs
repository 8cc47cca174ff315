//! Your own account: where you are signed in, and signing out everywhere else.

use askama::Template;
use axum::{
    extract::State,
    response::{IntoResponse, Response},
};

use crate::{
    actions::sign_in,
    store::{settings, sign_ins},
    web::{
        errors::PageError,
        links::go_with,
        page::{Frame, Section, page},
        people::{Member, Visitor},
        state::Site,
    },
};

#[derive(Template)]
#[template(path = "accounts/account.html")]
struct AccountPage {
    frame: Frame,
    name: String,
    role: &'static str,
    zone: String,
    sign_ins: Vec<SignInRow>,
}

struct SignInRow {
    device: String,
    since: String,
    last_seen: String,
    is_this: bool,
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    member: Member,
) -> Result<Response, PageError> {
    let who = &member.who;
    let mut reading = site.db.read().await?;
    let zone = settings::club(&mut reading).await?.zone;
    let lines = sign_ins::of_account(&mut reading, who.account).await?;
    drop(reading);
    page(AccountPage {
        frame: Frame::new(&site, &visitor, Section::Nowhere).await?,
        name: who.name.clone(),
        role: who.role.as_str(),
        zone: zone.name().to_owned(),
        sign_ins: lines
            .into_iter()
            .map(|line| SignInRow {
                device: line.device,
                since: line.created.in_words(&zone),
                last_seen: line.last_seen.in_words(&zone),
                is_this: line.id == who.sign_in,
            })
            .collect(),
    })
}

pub async fn sign_out_others(
    State(site): State<Site>,
    member: Member,
) -> Result<Response, PageError> {
    sign_in::sign_out_others(&site.db, site.now(), &member.by(), member.who.sign_in).await?;
    Ok(go_with(&site, "/account", "signed-out-others").into_response())
}
