//! The committee's front page: what an officer can look after from here.

use askama::Template;
use axum::{extract::State, response::Response};

use crate::web::{
    errors::PageError,
    page::{Frame, Section, page},
    people::Member,
    state::Site,
};

#[derive(Template)]
#[template(path = "committee/desk.html")]
struct DeskPage {
    frame: Frame,
}

pub async fn show(State(site): State<Site>, member: Member) -> Result<Response, PageError> {
    let frame = Frame::new(&site, &member.visitor(), Section::Committee).await?;
    page(DeskPage { frame })
}
