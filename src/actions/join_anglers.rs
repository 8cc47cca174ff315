//! Two anglers on the club's list who are one person become one. This cannot be undone.

use super::{ActionError, By};
use crate::{
    domain::{dates::Instant, ids::*},
    store::{
        Connection, Db, Writing, anglers,
        anglers::Angler,
        audit,
        joined::{self, Standing},
        matches::sessions,
        sessions::{reading, refresh_catches},
    },
};

/// Says whether two anglers can be joined.
///
/// Errors: `Refused` at `other` with a sentence that says what stands in the way.
pub async fn check(
    connection: &mut Connection,
    from: &Angler,
    to: &Angler,
) -> Result<(), ActionError> {
    let refused = |sentence: String| Err(ActionError::refused("other", sentence));
    if from.id == to.id {
        return refused("That is the same angler. Choose the other one.".to_owned());
    }
    if from.merged_into.is_some() || to.merged_into.is_some() {
        return refused(
            "One of the two has been joined to somebody meanwhile. Choose an angler from the list."
                .to_owned(),
        );
    }
    if from.account.is_some() && to.account.is_some() {
        return refused(
            "Both have an account. An administrator parts one of the two under People who sign in first."
                .to_owned(),
        );
    }
    match joined::shared_match(connection, from.id, to.id).await? {
        Some(shared) => refused(format!(
            "Both were entered in {} on {}, and nobody is entered twice in one match. Mend that match first, if one of the two is a slip; else these are two people.",
            shared.name,
            shared.on.long()
        )),
        None => Ok(()),
    }
}

/// Moves everything of `from` to `to`, who is the one left on the list. `seen` is what stood under
/// `from` when an officer looked. A report of a match's day and hours joins the entry's session, as
/// it would have under one name.
///
/// Errors: `Changed` when more or less stands under `from` now; `Refused` as for [`check`].
pub async fn join_anglers(
    db: &Db,
    now: Instant,
    by: &By,
    (from, to): (&Pid, &Pid),
    seen: Standing,
) -> Result<(), ActionError> {
    by.must_be_officer()?;
    let mut writing = db.write().await?;
    let from = anglers::by_pid(&mut writing, from)
        .await?
        .ok_or(ActionError::NotFound)?;
    let to = anglers::by_pid(&mut writing, to)
        .await?
        .ok_or(ActionError::NotFound)?;
    check(&mut writing, &from, &to).await?;
    if joined::standing(&mut writing, from.id).await? != seen {
        return Err(ActionError::Changed);
    }
    joined::move_all(&mut writing, from.id, to.id).await?;
    if from.is_junior || to.is_junior {
        anglers::mark_was_junior(&mut writing, to.id).await?;
    }
    join_reports(&mut writing, to.id).await?;
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "joined two anglers who are one person",
        Some(to.pid.as_str()),
        from.pid.as_str(),
    )
    .await?;
    Ok(writing.commit().await?)
}

/// A report that stood beside the angler's match of that day and those hours becomes its session.
async fn join_reports(writing: &mut Writing, angler: AnglerId) -> Result<(), ActionError> {
    for pid in joined::reports_beside_matches(writing, angler).await? {
        let Some(head) = reading::by_pid(writing, &pid).await? else {
            continue;
        };
        let report = reading::report(writing, &head).await?;
        let matches = reading::match_sessions(writing, angler, head.venue, head.day).await?;
        let fits = matches.into_iter().find(|one| {
            !one.has_report && report.overlaps(one.start, one.end) && report.agrees(&one.part())
        });
        if let Some(session) = fits {
            sessions::delete(writing, session.id).await?;
            sessions::attach(writing, head.id, session.entry).await?;
            refresh_catches(writing, head.id).await?;
        }
    }
    Ok(())
}
