//! `/report` before a water is chosen: which water was fished.

use askama::Template;
use axum::response::{IntoResponse, Response};

use crate::{
    store::sessions::{choices, reading},
    web::{
        errors::PageError,
        links::go,
        page::{Frame, page},
        people::Member,
        state::Site,
    },
};

#[derive(Template)]
#[template(path = "sessions/waters.html")]
struct WatersPage {
    frame: Frame,
    waters: Vec<choices::Water>,
    reported_before: bool,
}

pub(super) async fn which(
    site: &Site,
    member: &Member,
    frame: Frame,
) -> Result<Response, PageError> {
    let mut reading = site.db.read().await?;
    let waters = choices::waters(&mut reading).await?;
    let before = match member.who.angler {
        Some(angler) => reading::latest(&mut reading, angler).await?,
        None => None,
    };
    if let ([only], None) = (&waters[..], &before) {
        return Ok(go(site, &format!("/report?venue={}", only.id)).into_response());
    }
    page(WatersPage {
        frame,
        waters,
        reported_before: before.is_some(),
    })
}
