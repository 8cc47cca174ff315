//! What is kept about people, in plain words.

use askama::Template;
use axum::{extract::State, response::Response};

use super::{
    errors::PageError,
    page::{Frame, Section, page},
    people::Visitor,
    state::Site,
};

#[derive(Template)]
#[template(path = "privacy.html")]
struct PrivacyPage {
    frame: Frame,
}

pub async fn show(State(site): State<Site>, visitor: Visitor) -> Result<Response, PageError> {
    let frame = Frame::new(&site, &visitor, Section::Nowhere).await?;
    page(PrivacyPage { frame })
}
