//! Taking a whole file out of the record again. Nothing is deleted: every view and page leaves
//! undone imports out. What others added since is theirs and stays: an angler's own report that
//! had joined an imported match stands by itself again, and an angler who has been entered or
//! has fished elsewhere stays on the list.

use crate::{
    actions::{ActionError, By},
    domain::{dates::Instant, ids::ImportId, imports::ImportState},
    store::{Db, audit, imports, matches, sessions},
};

/// Errors: `NotAllowed` for all but officers; `Refused` when the file is not in the record.
pub async fn undo(db: &Db, now: Instant, by: &By, id: ImportId) -> Result<(), ActionError> {
    by.must_be_officer()?;
    let mut writing = db.write().await?;
    let import = imports::by_id(&mut writing, id)
        .await?
        .ok_or(ActionError::NotFound)?;
    if import.state == ImportState::Undone {
        return Err(ActionError::refused(
            "",
            "This file is undone already, so there is nothing to do.",
        ));
    }
    for session in imports::undoing::reports_within(&mut writing, id).await? {
        matches::sessions::detach(&mut writing, session).await?;
        sessions::refresh_catches(&mut writing, session).await?;
    }
    for session in imports::undoing::joined_to_matches(&mut writing, id).await? {
        sessions::keeping::detach_report(&mut writing, session).await?;
    }
    imports::undoing::keep_anglers_in_use(&mut writing, id).await?;
    if !imports::undo(&mut writing, id, by.account(), now).await? {
        return Err(ActionError::refused(
            "",
            "This file is not in the record, so there is nothing to undo.",
        ));
    }
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "undid an import",
        None,
        &format!("import {id}"),
    )
    .await?;
    Ok(writing.commit().await?)
}
