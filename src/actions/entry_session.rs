//! The session behind an entry: one for each that stands posted as having fished. The angler's own
//! report is that session, whether it came before the result or after it.

use super::{ActionError, tokens::new_pid};
use crate::{
    domain::{
        dates::Instant,
        ids::{AccountId, SessionId},
        matches::Outcome,
        sessions::match_part::Part,
    },
    store::{
        Writing,
        matches::{
            Match,
            entries::Entry,
            sessions::{self, EntrySession, Fished},
        },
        sessions::{reading, refresh_catches},
    },
};

/// Makes, attaches or lets go the sessions of a match as its result just posted asks, and works
/// their kept catches out again. Whatever fished nothing posted has no session.
pub(super) async fn keep_all(
    writing: &mut Writing,
    now: Instant,
    by: Option<AccountId>,
    the_match: &Match,
    entered: &[Entry],
) -> Result<(), ActionError> {
    for session in sessions::no_longer_posted(writing, the_match.id).await? {
        if session.has_report {
            sessions::detach(writing, session.id).await?;
            refresh_catches(writing, session.id).await?;
        } else {
            sessions::delete(writing, session.id).await?;
        }
    }
    for entry in entered {
        if entry.outcome.is_some_and(Outcome::is_session) {
            keep(writing, now, by, the_match, entry).await?;
        }
    }
    Ok(())
}

async fn keep(
    writing: &mut Writing,
    now: Instant,
    by: Option<AccountId>,
    the_match: &Match,
    entry: &Entry,
) -> Result<(), ActionError> {
    let session = match standing(writing, the_match, entry).await? {
        Some(session) => session,
        None => {
            let new = Fished {
                pid: new_pid(),
                entry: entry.id,
                angler: entry.angler,
                was_junior: entry.was_junior,
            };
            sessions::insert(writing, the_match, &new, by, now).await?
        }
    };
    Ok(refresh_catches(writing, session).await?)
}

/// The entry's session as this posting leaves it: a report that agrees with the entry, joined now
/// where it stood apart; else the session that the match made before. A report that agrees no
/// longer is let go.
async fn standing(
    writing: &mut Writing,
    the_match: &Match,
    entry: &Entry,
) -> Result<Option<SessionId>, ActionError> {
    let mut made = None;
    if let Some(session) = sessions::of_entry(writing, entry.id).await? {
        if session.has_report && !still_agrees(writing, the_match, entry, &session).await? {
            sessions::detach(writing, session.id).await?;
            refresh_catches(writing, session.id).await?;
        } else {
            made = Some(session);
        }
    }
    if made.as_ref().is_none_or(|session| !session.has_report)
        && let Some(report) = agreeing_report(writing, the_match, entry).await?
    {
        if let Some(session) = made {
            sessions::delete(writing, session.id).await?;
        }
        sessions::attach(writing, report, entry.id).await?;
        return Ok(Some(report));
    }
    let Some(session) = made else {
        return Ok(None);
    };
    sessions::follow_the_draw(writing, session.id, entry.id).await?;
    sessions::follow_the_match(writing, session.id, entry.id).await?;
    Ok(Some(session.id))
}

/// Whether what the angler's own report says by itself agrees with the entry as it is posted.
async fn still_agrees(
    writing: &mut Writing,
    the_match: &Match,
    entry: &Entry,
    session: &EntrySession,
) -> Result<bool, ActionError> {
    let Some(head) = reading::by_pid(writing, &session.pid).await? else {
        return Ok(true);
    };
    let given = sessions::given_by_match(writing, session.id).await?;
    let mut report = reading::report(writing, &head).await?;
    if given.hours {
        (report.start, report.end) = (None, None);
    }
    for spell in &mut report.spells {
        if given.hours {
            (spell.from, spell.to) = (None, None);
        }
        if given.peg.is_some() {
            spell.peg = None;
        }
    }
    Ok(head.day == the_match.on && report.agrees(&part(the_match, entry)))
}

/// What a match says of its entry.
fn part(the_match: &Match, entry: &Entry) -> Part {
    Part {
        start: the_match.start,
        finish: the_match.finish,
        peg: entry.peg,
    }
}

/// The angler's first report of that day that contradicts neither the match's hours nor the draw;
/// one that does stands by itself.
async fn agreeing_report(
    writing: &mut Writing,
    the_match: &Match,
    entry: &Entry,
) -> Result<Option<SessionId>, ActionError> {
    let part = part(the_match, entry);
    for pid in sessions::reports_to_attach(writing, the_match, entry.angler).await? {
        let Some(head) = reading::by_pid(writing, &pid).await? else {
            continue;
        };
        let report = reading::report(writing, &head).await?;
        if report.agrees(&part) {
            return Ok(Some(head.id));
        }
    }
    Ok(None)
}
