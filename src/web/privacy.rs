//! What is kept about people, in plain words.

use askama::Template;
use axum::{extract::State, response::Response};

use super::{
    errors::PageError,
    page::{Frame, Section, page},
    people::Visitor,
    state::Site,
};
use crate::{domain::names::NamesOpen, store::settings};

#[derive(Template)]
#[template(path = "privacy.html")]
struct PrivacyPage {
    frame: Frame,
    visitors_see: &'static str,
    juniors: &'static str,
}

pub async fn show(State(site): State<Site>, visitor: Visitor) -> Result<Response, PageError> {
    let frame = Frame::new(&site, &visitor, Section::Nowhere).await?;
    let club = settings::club(&mut *site.db.read().await?).await?;
    let visitors_see = match club.names {
        NamesOpen::InitialAndSurname => "visitors see initial and surname on published results.",
        NamesOpen::Full => "visitors see full names on published results.",
        NamesOpen::MembersOnly => "visitors see no names on published results, only pegs.",
    };
    let juniors = match club.names {
        NamesOpen::InitialAndSurname | NamesOpen::Full => {
            "Juniors are shown as first name and initial to everybody but officers."
        }
        NamesOpen::MembersOnly => {
            "Members see juniors as first name and initial, officers in full; no visitor sees a junior’s name."
        }
    };
    page(PrivacyPage {
        frame,
        visitors_see,
        juniors,
    })
}
