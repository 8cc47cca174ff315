//! What an administrator sets for the whole club.

use super::{ActionError, By};
use crate::{
    domain::{club::Club, dates::Instant},
    store::{Db, audit, settings},
};

pub async fn set_club(db: &Db, now: Instant, by: &By, club: &Club) -> Result<(), ActionError> {
    by.must_be_administrator()?;
    let mut writing = db.write().await?;
    settings::put(&mut writing, "club_name", &club.name).await?;
    settings::put(&mut writing, "names_open", club.names.as_str()).await?;
    settings::put(&mut writing, "zone", club.zone.name()).await?;
    let detail = format!("names: {}", club.names.as_str());
    let verb = "changed the club’s settings";
    audit::add(&mut writing, now, by.pid(), verb, None, &detail).await?;
    Ok(writing.commit().await?)
}
