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
            sessions::{self, Fished},
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
    let session = match sessions::of_entry(writing, entry.id).await? {
        Some(session) => {
            sessions::follow_the_draw(writing, session.id, entry.id).await?;
            sessions::follow_the_match(writing, session.id, entry.id).await?;
            session.id
        }
        None => match agreeing_report(writing, the_match, entry).await? {
            Some(report) => {
                sessions::attach(writing, report, entry.id).await?;
                report
            }
            None => {
                let new = Fished {
                    pid: new_pid(),
                    entry: entry.id,
                    angler: entry.angler,
                    was_junior: entry.was_junior,
                };
                sessions::insert(writing, the_match, &new, by, now).await?
            }
        },
    };
    Ok(refresh_catches(writing, session).await?)
}

/// The angler's first report of that day that contradicts neither the match's hours nor the draw;
/// one that does stands by itself.
async fn agreeing_report(
    writing: &mut Writing,
    the_match: &Match,
    entry: &Entry,
) -> Result<Option<SessionId>, ActionError> {
    let part = Part {
        start: the_match.start,
        finish: the_match.finish,
        peg: entry.peg,
    };
    for pid in sessions::reports_to_attach(writing, the_match, entry.angler).await? {
        let Some(head) = reading::by_pid(writing, &pid).await? else {
            continue;
        };
        let report = reading::report(writing, &head).await?;
        if report.against(&part).is_none() {
            return Ok(Some(head.id));
        }
    }
    Ok(None)
}
