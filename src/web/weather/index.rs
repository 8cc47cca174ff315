//! Every venue with today and the ten days before: what is written down and what is missing.

use askama::Template;
use axum::{extract::State, response::Response};

use super::window::{Asked, Window};
use crate::{
    store::weather,
    web::{
        errors::PageError,
        page::{Frame, Section, page},
        people::Visitor,
        state::Site,
    },
};

struct VenueLine {
    path: String,
    name: String,
    words: String,
}

#[derive(Template)]
#[template(path = "weather/index.html")]
struct IndexPage {
    frame: Frame,
    venues: Vec<VenueLine>,
}

pub async fn show(State(site): State<Site>, visitor: Visitor) -> Result<Response, PageError> {
    let found = weather::venues(&mut *site.db.read().await?).await?;
    let mut venues = Vec::new();
    for venue in found {
        let wind = visitor.units().wind;
        let window = Window::fetch(&site, venue.id, &Asked::default(), wind).await?;
        venues.push(VenueLine {
            path: format!("/venues/{}/weather", venue.id),
            name: venue.name,
            words: window.known(),
        });
    }
    page(IndexPage {
        frame: Frame::new(&site, &visitor, Section::Weather).await?,
        venues,
    })
}
