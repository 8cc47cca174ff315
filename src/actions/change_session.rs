//! Changing an angler's own report of a session, and taking it back.

use super::{
    ActionError, By,
    report_in_match::{joinable, must_agree},
    save_session::{Kept, in_those_hours},
};
use crate::{
    domain::{
        dates::Instant,
        ids::{PegId, Pid},
        sessions::Report,
    },
    store::{
        Connection, Db, Writing, anglers, audit,
        matches::sessions::{self, GivenByMatch},
        sessions::{
            keeping,
            overlapping::Overlapping,
            reading::{self, Head},
            refresh_catches,
        },
        venues,
    },
};

/// The session, when it is this person's own report.
async fn own(writing: &mut Writing, by: &By, session: &Pid) -> Result<Head, ActionError> {
    let head = reading::by_pid(writing, session)
        .await?
        .ok_or(ActionError::NotFound)?;
    if by.angler() != Some(head.angler) || !head.has_report {
        return Err(ActionError::NotFound);
    }
    Ok(head)
}

/// Puts a changed report in place of the one of version `ver`. Where its water, date or hours are
/// now those of a match of the angler's, the report becomes that entry's session.
///
/// Errors: `Changed` when the record has moved on since, unless it already says the same.
/// Otherwise it is `Kept::Saved`; `Kept::Reported` where that match has a report already; or
/// `Kept::Overlaps` where its hours were moved into those of another session, unless `another`
/// says that both are right.
pub async fn change(
    db: &Db,
    now: Instant,
    by: &By,
    session: &Pid,
    ver: i64,
    (report, another): (&Report, bool),
) -> Result<Kept, ActionError> {
    let mut writing = db.write().await?;
    let kept = put_changed(&mut writing, now, by, (session, ver), (report, another)).await?;
    if matches!(kept, Kept::Saved(_)) {
        writing.commit().await?;
    }
    Ok(kept)
}

/// What `change` would answer, with nothing changed: for a change that is only read back.
pub async fn would_change(
    db: &Db,
    now: Instant,
    by: &By,
    session: &Pid,
    ver: i64,
    sent: (&Report, bool),
) -> Result<Kept, ActionError> {
    let mut never_committed = db.write().await?;
    put_changed(&mut never_committed, now, by, (session, ver), sent).await
}

/// Puts it in place unless something speaks against it; the caller commits.
async fn put_changed(
    writing: &mut Writing,
    now: Instant,
    by: &By,
    (session, ver): (&Pid, i64),
    (report, another): (&Report, bool),
) -> Result<Kept, ActionError> {
    let head = own(writing, by, session).await?;
    if head.ver != ver {
        let saved = reading::report(writing, &head).await?;
        return if saved == *report {
            Ok(Kept::Saved(head.pid))
        } else {
            Err(ActionError::Changed)
        };
    }
    if head.entry.is_some() && head.day != report.day {
        return Err(ActionError::refused(
            "date",
            format!(
                "This is your report of a match on {}. Keep that date.",
                head.day.long()
            ),
        ));
    }
    if head.venue != report.venue {
        may_move(writing, &head, report).await?;
    }
    if !another && let Some(other) = in_new_hours(writing, &head, report).await? {
        return Ok(Kept::Overlaps(other));
    }
    let joined = match head.entry {
        Some(_) => None,
        None => joinable(writing, head.angler, report).await?,
    };
    if let Some(session) = joined.as_ref().filter(|session| session.has_report) {
        return Ok(Kept::Reported(session.pid.clone()));
    }
    must_agree(writing, head.angler, Some(&head), report).await?;
    let given = sessions::given_by_match(writing, head.id).await?;
    keeping::update(writing, head.id, report).await?;
    keeping::replace_parts(writing, head.id, report).await?;
    match (head.entry, joined) {
        (Some(entry), _) => {
            let given = still_given(given, &head, report);
            sessions::mark_given(writing, head.id, given).await?;
            sessions::fill_gaps(writing, head.id, entry).await?;
        }
        (None, Some(session)) => {
            sessions::delete(writing, session.id).await?;
            sessions::attach(writing, head.id, session.entry).await?;
        }
        (None, None) => {}
    }
    refresh_catches(writing, head.id).await?;
    if head.visibility != report.visibility.as_str() {
        let answer = report.visibility.as_str();
        anglers::set_default_visibility(writing, head.angler, answer).await?;
    }
    let detail = match head.venue == report.venue {
        true => String::new(),
        false => format!("venue {} to {}", head.venue, report.venue),
    };
    audit::add(
        writing,
        now,
        by.pid(),
        "changed a session",
        Some(session.as_str()),
        &detail,
    )
    .await?;
    Ok(Kept::Saved(head.pid))
}

/// A match's session stays at the match's water; any other goes to one that is on record.
async fn may_move(writing: &mut Writing, head: &Head, report: &Report) -> Result<(), ActionError> {
    if head.entry.is_some() {
        return Err(ActionError::refused(
            "venue",
            format!(
                "This is your report of a match at {}. Keep that water.",
                head.venue_name
            ),
        ));
    }
    match venues::by_id(writing, report.venue).await? {
        Some(_) => Ok(()),
        None => Err(ActionError::refused(
            "venue",
            "That water is not on record any longer. Choose another.",
        )),
    }
}

/// What the match gave and a form only gave back stays the match's.
fn still_given(given: GivenByMatch, head: &Head, report: &Report) -> GivenByMatch {
    let on = |peg: &PegId| report.spells.iter().all(|spell| spell.peg == Some(*peg));
    let same_hours = (head.start, head.end) == (report.start, report.end);
    let same_minutes = match report.spells.as_slice() {
        [spell] => spell.minutes == given.minutes,
        _ => false,
    };
    GivenByMatch {
        peg: given.peg.filter(on),
        hours: given.hours && same_hours && same_minutes,
        ..given
    }
}

/// Takes a report back: hidden everywhere. What a match recorded of the day stays.
pub async fn take_back(
    db: &Db,
    now: Instant,
    by: &By,
    session: &Pid,
    ver: i64,
) -> Result<(), ActionError> {
    let mut writing = db.write().await?;
    let head = own(&mut writing, by, session).await?;
    if head.ver != ver {
        return Err(ActionError::Changed);
    }
    match head.entry {
        Some(_) => keeping::detach_report(&mut writing, head.id).await?,
        None => keeping::remove(&mut writing, head.id, now).await?,
    }
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "took a session back",
        Some(session.as_str()),
        "",
    )
    .await?;
    Ok(writing.commit().await?)
}

/// Another session of the angler's in the hours that a report was moved into.
async fn in_new_hours(
    connection: &mut Connection,
    head: &Head,
    report: &Report,
) -> Result<Option<Overlapping>, ActionError> {
    let moved = (head.venue, head.day, head.start, head.end)
        != (report.venue, report.day, report.start, report.end);
    match moved {
        true => in_those_hours(connection, head.angler, Some(head.id), report).await,
        false => Ok(None),
    }
}

/// The same of a report that is not to be changed yet, for a form that shows at once all that has
/// to be mended.
pub async fn overlaps(
    db: &Db,
    head: &Head,
    report: &Report,
) -> Result<Option<Overlapping>, ActionError> {
    in_new_hours(&mut *db.read().await?, head, report).await
}
