//! The committee's front page: what an officer can look after from here, what an administrator
//! has to be told of, and how the record fares.

use std::net::IpAddr;

use askama::Template;
use axum::{extract::State, response::Response};

use crate::{
    actions::daily_backup,
    store::{checks, settings},
    web::{
        errors::PageError,
        page::{Frame, Section, page},
        people::{Address, Member},
        reached::Reached,
        state::Site,
    },
};

/// How the record fares, for those who can do something about it.
struct Fares {
    /// `3 faults were found`, where the last look through it found any.
    damage: Option<String>,
    /// When the latest of the daily backups was made.
    latest_backup: Option<String>,
    backups: String,
}

#[derive(Template)]
#[template(path = "committee/desk.html")]
struct DeskPage {
    frame: Frame,
    /// The address that everybody seems to come from.
    one_address: Option<IpAddr>,
    /// Sign-ins are not kept to https, though the site is reached from elsewhere.
    in_plain: bool,
    fares: Option<Fares>,
}

pub async fn show(
    State(site): State<Site>,
    member: Member,
    Address(address): Address,
    reached: Reached,
) -> Result<Response, PageError> {
    let frame = Frame::new(&site, &member.visitor(), Section::Committee).await?;
    // Whoever reads this comes from it too, so it need not have been kept.
    let told = frame.is_administrator() && site.addresses.all_from_one(site.now());
    let fares = match frame.is_administrator() {
        true => Some(fares(&site).await?),
        false => None,
    };
    let in_plain = frame.is_administrator() && !site.settings.https() && !reached.is_only_here();
    page(DeskPage {
        frame,
        one_address: told.then_some(address),
        in_plain,
        fares,
    })
}

async fn fares(site: &Site) -> Result<Fares, PageError> {
    let zone = settings::club(&mut *site.db.read().await?).await?.zone;
    let backups = daily_backup::folder(&site.db);
    let latest = daily_backup::latest(&backups, site.now());
    let faults = site.db.damage.faults();
    Ok(Fares {
        damage: (faults > 0).then(|| checks::in_words(faults)),
        latest_backup: latest.map(|at| at.in_words(&zone)),
        backups: backups.display().to_string(),
    })
}
