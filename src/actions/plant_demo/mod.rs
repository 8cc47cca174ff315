//! Writes the made-up club into an empty record, with the same statements that pages use.

use super::{
    ActionError, By, one_time_links,
    tokens::{new_pid, random},
};
use crate::{
    demo::{DemoClub, DemoVenue},
    domain::{
        accounts::{Role, folded_name},
        dates::{Instant, Zone},
        ids::{AccountId, AnglerId, PegId, Pid, SpeciesId, VenueId},
    },
    store::{Db, Writing, accounts, anglers, demo as rows, sessions::choices, settings},
};

mod matches;
mod reports;
mod waters;

/// The one-time links with which a newcomer signs in to the demonstration.
pub struct DemoLinks {
    pub angler: String,
    pub organiser: String,
    pub administrator: String,
}

/// Writes `club` down. The record must be empty.
pub async fn plant(db: &Db, now: Instant, club: &DemoClub) -> Result<DemoLinks, ActionError> {
    let zone = Zone::named("Europe/London").ok_or(ActionError::NotFound)?;
    let mut writing = db.write().await?;
    if !accounts::all(&mut writing).await?.is_empty() {
        return Err(ActionError::refused(
            "data",
            "The demonstration is only written into an empty folder.",
        ));
    }
    settings::put(&mut writing, "club_name", club.name).await?;
    settings::put_made_up(&mut writing).await?;
    let people = people(&mut writing, club).await?;
    let mut made = Vec::new();
    let mut grown = (0..people.len()).filter(|place| !club.anglers[*place].is_junior);
    let mut organising = None;
    for role in SIGN_IN {
        let place = grown.next().ok_or(ActionError::NotFound)?;
        made.push(account(&mut writing, now, role, (place, people[place]), club).await?);
        if role == Role::Organiser {
            organising = Some(people[place]);
        }
    }
    let (organiser, pid) = made[1].clone();
    let by = By::Account {
        id: organiser,
        pid,
        role: Role::Organiser,
        angler: organising,
    };
    for venue in &club.venues {
        let (id, pegs) = waters::write(&mut writing, now, &zone, venue).await?;
        let scene = Scene {
            id,
            zone: &zone,
            pegs: &pegs,
            people: &people,
            club,
            venue,
            by: &by,
            carp: mirror_carp(&mut writing).await?,
        };
        matches::write(&mut writing, &scene).await?;
        reports::write(&mut writing, &scene).await?;
    }
    rows::refresh_all_catches(&mut writing).await?;
    writing.commit().await?;
    let link = async |place: usize| one_time_links::demo_link(db, now, made[place].0).await;
    Ok(DemoLinks {
        angler: link(0).await?,
        organiser: link(1).await?,
        administrator: link(2).await?,
    })
}

/// The first grown anglers have accounts, in these roles.
const SIGN_IN: [Role; 3] = [Role::Member, Role::Organiser, Role::Administrator];

/// Drams as scales and anglers have them: whole ounces, one at least for anything caught.
fn to_the_ounce(drams: u32) -> u32 {
    match drams {
        0 => 0,
        some => ((some + 8) / 16).max(1) * 16,
    }
}

/// What every session of a venue needs.
struct Scene<'a> {
    id: VenueId,
    zone: &'a Zone,
    pegs: &'a [PegId],
    people: &'a [AnglerId],
    club: &'a DemoClub,
    venue: &'a DemoVenue,
    /// The organiser, who does all that officers do.
    by: &'a By,
    carp: SpeciesId,
}

async fn people(writing: &mut Writing, club: &DemoClub) -> Result<Vec<AnglerId>, ActionError> {
    let mut people = Vec::new();
    for angler in &club.anglers {
        let (given, surname) = (angler.given, Some(angler.surname));
        let salt = random::<16>();
        let junior = angler.is_junior;
        people
            .push(anglers::insert(writing, &new_pid(), given, surname, &salt, junior, None).await?);
    }
    Ok(people)
}

/// An account under the angler's own name, joined to the angler.
async fn account(
    writing: &mut Writing,
    now: Instant,
    role: Role,
    (place, angler): (usize, AnglerId),
    club: &DemoClub,
) -> Result<(AccountId, Pid), ActionError> {
    let person = &club.anglers[place];
    let name = format!("{} {}", person.given, person.surname);
    let pid = new_pid();
    let id = accounts::insert(writing, &pid, &name, &folded_name(&name), role, now).await?;
    anglers::set_account(writing, angler, Some(id)).await?;
    anglers::set_default_visibility(writing, angler, "club").await?;
    Ok((id, pid))
}

async fn mirror_carp(writing: &mut Writing) -> Result<SpeciesId, ActionError> {
    let fish = choices::fish(writing).await?;
    let carp = fish.iter().find(|fish| fish.name == "Mirror carp");
    Ok(carp.ok_or(ActionError::NotFound)?.id)
}
