//! The front page.

use askama::Template;
use axum::{extract::State, response::Response};

use super::{
    errors::PageError,
    page::{Frame, Section, page},
    people::Visitor,
    state::Site,
};

#[derive(Template)]
#[template(path = "home.html")]
struct HomePage {
    frame: Frame,
}

pub async fn show(State(site): State<Site>, visitor: Visitor) -> Result<Response, PageError> {
    let frame = Frame::new(&site, &visitor, Section::Home).await?;
    page(HomePage { frame })
}
