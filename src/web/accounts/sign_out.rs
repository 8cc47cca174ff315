//! Signing out of this browser.

use axum::{
    extract::State,
    response::{IntoResponse, Response},
};
use axum_extra::extract::CookieJar;

use super::sign_in::without_cookie;
use crate::{
    actions::sign_in,
    web::{errors::PageError, links::go_with, people::Member, state::Site},
};

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    jar: CookieJar,
) -> Result<Response, PageError> {
    sign_in::sign_out(&site.db, site.now(), &member.by(), member.who.sign_in).await?;
    Ok((
        without_cookie(&site, jar),
        go_with(&site, "/", "signed-out"),
    )
        .into_response())
}
