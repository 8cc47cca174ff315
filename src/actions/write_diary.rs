//! Writing the diary of a venue, putting an entry right, and taking one out.

use super::{ActionError, By};
use crate::{
    domain::{
        dates::Instant,
        ids::{DiaryId, VenueId},
    },
    store::{
        Db, Writing, audit,
        venues::{
            self,
            diary::{self, DiaryEntry, DiaryLine},
        },
    },
};

/// Writes an entry into the venue's diary.
pub async fn write(
    db: &Db,
    now: Instant,
    by: &By,
    venue: VenueId,
    entry: &DiaryEntry,
) -> Result<(), ActionError> {
    by.must_be_officer()?;
    let mut writing = db.write().await?;
    venues::by_id(&mut writing, venue)
        .await?
        .ok_or(ActionError::NotFound)?;
    diary::insert(&mut writing, venue, entry, by.account(), now).await?;
    let detail = format!("venue {venue}, {}", entry.kind);
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "wrote in a diary",
        None,
        &detail,
    )
    .await?;
    Ok(writing.commit().await?)
}

/// Puts `entry` in the place of the one of version `version`.
///
/// Errors: `Changed` when the diary says something else by now, unless it says the same already.
pub async fn correct(
    db: &Db,
    now: Instant,
    by: &By,
    (venue, id, version): (VenueId, DiaryId, i64),
    entry: &DiaryEntry,
) -> Result<(), ActionError> {
    by.must_be_officer()?;
    let mut writing = db.write().await?;
    let line = the_line(&mut writing, venue, id).await?;
    if line.entry() == *entry {
        return Ok(());
    }
    if !diary::update(&mut writing, id, version, entry).await? {
        return Err(ActionError::Changed);
    }
    let detail = format!("venue {venue}, {}", changed(&line, entry).join(", "));
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "corrected a diary",
        None,
        &detail,
    )
    .await?;
    Ok(writing.commit().await?)
}

/// Takes an entry out.
///
/// Errors: `Changed` when `version` is old.
pub async fn take_out(
    db: &Db,
    now: Instant,
    by: &By,
    (venue, id, version): (VenueId, DiaryId, i64),
) -> Result<(), ActionError> {
    by.must_be_officer()?;
    let mut writing = db.write().await?;
    let line = the_line(&mut writing, venue, id).await?;
    if !diary::delete(&mut writing, id, version).await? {
        return Err(ActionError::Changed);
    }
    let detail = format!("venue {venue}, {}, {}", line.kind, line.on);
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "took out of a diary",
        None,
        &detail,
    )
    .await?;
    Ok(writing.commit().await?)
}

async fn the_line(
    writing: &mut Writing,
    venue: VenueId,
    id: DiaryId,
) -> Result<DiaryLine, ActionError> {
    diary::by_id(writing, venue, id)
        .await?
        .ok_or(ActionError::NotFound)
}

/// Which parts are otherwise now: their names, not their words, which may speak of people.
fn changed(was: &DiaryLine, is: &DiaryEntry) -> Vec<&'static str> {
    [
        ("day", was.on != is.on),
        ("kind", was.kind != is.kind),
        ("words", was.words != is.words),
        ("kilograms", was.kg != is.kg),
        ("fish", was.group != is.group),
    ]
    .into_iter()
    .filter_map(|(part, other)| other.then_some(part))
    .collect()
}
