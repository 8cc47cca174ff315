//! Readings of the water: noted, corrected, taken out. A reading sent twice is kept once.

use super::{ActionError, By};
use crate::{
    domain::{
        dates::Instant,
        ids::{ReadingId, VenueId},
    },
    store::{
        Db, audit,
        weather::{
            self, WeatherVenue,
            readings::{self, NewReading, Reading},
        },
    },
};

/// How far ahead of the server's clock a reading may be timed, seconds: clocks differ.
const AHEAD: i64 = 15 * 60;

/// May this person correct or take out a reading? Officers any, others their own.
pub fn may_change(by: &By, reading: &Reading) -> bool {
    by.is_officer() || (by.account().is_some() && by.account() == reading.by)
}

/// Notes a reading; the one that is there already, where the same person sent the same before.
pub async fn note(
    db: &Db,
    now: Instant,
    by: &By,
    venue: VenueId,
    reading: &NewReading,
) -> Result<ReadingId, ActionError> {
    check(now, reading)?;
    let mut writing = db.write().await?;
    let venue = the_venue(&mut writing, venue).await?;
    if let Some(same) = readings::same(&mut writing, venue.id, reading, by.account()).await? {
        return Ok(same);
    }
    let id = readings::insert(&mut writing, venue.id, reading, by.account()).await?;
    let line = (by, "noted a water reading", &venue);
    said(&mut writing, now, line, &format!("reading {id}")).await?;
    writing.commit().await?;
    Ok(id)
}

/// Saves over version `version` of a reading.
///
/// Errors: `Changed` when somebody saved first, `NotAllowed` when it is somebody else's.
pub async fn correct(
    db: &Db,
    now: Instant,
    by: &By,
    (venue, id, version): (VenueId, ReadingId, i64),
    reading: &NewReading,
) -> Result<(), ActionError> {
    check(now, reading)?;
    let mut writing = db.write().await?;
    let venue = the_venue(&mut writing, venue).await?;
    let before = theirs_to_change(&mut writing, by, &venue, id).await?;
    if !readings::update(&mut writing, id, version, reading).await? {
        return Err(ActionError::Changed);
    }
    let line = (by, "corrected a water reading", &venue);
    said(&mut writing, now, line, &figures(&before)).await?;
    Ok(writing.commit().await?)
}

/// Takes version `version` of a reading out of the record; the audit log keeps its figures.
pub async fn remove(
    db: &Db,
    now: Instant,
    by: &By,
    (venue, id, version): (VenueId, ReadingId, i64),
) -> Result<(), ActionError> {
    let mut writing = db.write().await?;
    let venue = the_venue(&mut writing, venue).await?;
    let before = theirs_to_change(&mut writing, by, &venue, id).await?;
    if !readings::remove(&mut writing, id, version).await? {
        return Err(ActionError::Changed);
    }
    let line = (by, "took a water reading out", &venue);
    said(&mut writing, now, line, &figures(&before)).await?;
    Ok(writing.commit().await?)
}

async fn the_venue(
    writing: &mut crate::store::Writing,
    venue: VenueId,
) -> Result<WeatherVenue, ActionError> {
    weather::venue(writing, venue)
        .await?
        .ok_or(ActionError::NotFound)
}

async fn theirs_to_change(
    writing: &mut crate::store::Writing,
    by: &By,
    venue: &WeatherVenue,
    id: ReadingId,
) -> Result<Reading, ActionError> {
    let reading = readings::by_id(writing, venue.id, id)
        .await?
        .ok_or(ActionError::NotFound)?;
    match may_change(by, &reading) {
        true => Ok(reading),
        false => Err(ActionError::NotAllowed),
    }
}

fn check(now: Instant, reading: &NewReading) -> Result<(), ActionError> {
    if reading.figures.is_empty() {
        return Err(ActionError::refused(
            "temp",
            "Enter the temperature, the level or how clear the water was: at least one of them.",
        ));
    }
    if reading.at > now.plus_seconds(AHEAD) {
        return Err(ActionError::refused(
            "on",
            "Day: that moment is still to come. Enter the day and time at which the water was read.",
        ));
    }
    Ok(())
}

async fn said(
    writing: &mut crate::store::Writing,
    now: Instant,
    (by, verb, venue): (&By, &str, &WeatherVenue),
    detail: &str,
) -> Result<(), ActionError> {
    Ok(audit::add(writing, now, by.pid(), verb, Some(&venue.pid), detail).await?)
}

/// What a reading said before it was changed, for the log.
fn figures(reading: &Reading) -> String {
    let figure = |name: &str, value: Option<f64>| value.map(|value| format!(", {name} {value}"));
    let parts = [
        figure("temperature", reading.figures.temp_c),
        figure("level", reading.figures.level_m),
        figure("depth", reading.figures.depth_m),
        reading
            .figures
            .clarity
            .map(|clarity| format!(", {}", clarity.slug())),
    ];
    let said: String = parts.into_iter().flatten().collect();
    format!("reading {}, {}{said}", reading.id, reading.at.rfc3339())
}
