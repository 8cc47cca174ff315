//! The club's waters.

use askama::Template;
use axum::{extract::State, response::Response};

use crate::{
    store::venues::{self, VenueLine},
    web::{
        errors::PageError,
        page::{Frame, Section, page},
        people::Visitor,
        state::Site,
    },
};

#[derive(Template)]
#[template(path = "venues/list.html")]
struct VenuesPage {
    frame: Frame,
    venues: Vec<VenueLine>,
}

pub async fn show(State(site): State<Site>, visitor: Visitor) -> Result<Response, PageError> {
    let frame = Frame::new(&site, &visitor, Section::Venues).await?;
    let venues = venues::all(&mut *site.db.read().await?).await?;
    page(VenuesPage { frame, venues })
}
