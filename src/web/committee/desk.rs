//! The committee's front page: what an officer can look after from here, and what an administrator
//! has to be told of.

use std::net::IpAddr;

use askama::Template;
use axum::{extract::State, response::Response};

use crate::{
    domain::accounts::Role,
    web::{
        errors::PageError,
        page::{Frame, Section, page},
        people::{Address, Member},
        state::Site,
    },
};

#[derive(Template)]
#[template(path = "committee/desk.html")]
struct DeskPage {
    frame: Frame,
    /// The address that everybody seems to come from.
    one_address: Option<IpAddr>,
}

pub async fn show(
    State(site): State<Site>,
    member: Member,
    Address(address): Address,
) -> Result<Response, PageError> {
    let frame = Frame::new(&site, &member.visitor(), Section::Committee).await?;
    // Whoever reads this comes from it too, so it need not have been kept.
    let told = member.who.role == Role::Administrator && site.addresses.all_from_one(site.now());
    page(DeskPage {
        frame,
        one_address: told.then_some(address),
    })
}
