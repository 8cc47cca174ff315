//! The session behind an entry: one for each that fished, whichever way its outcome came to be
//! known. The angler's own report is that session, whether it came before the result or after it.

use super::{ActionError, tokens::new_pid};
use crate::{
    domain::{dates::Instant, ids::AccountId, matches::Outcome},
    store::{
        Writing,
        matches::{
            Match,
            entries::Entry,
            sessions::{self, Fished},
        },
        sessions::refresh_catches,
    },
};

/// Makes, attaches or lets go the session of `entry`, as its outcome asks, and works its kept
/// catches out again. Call it after every change of an entry's outcome, nets or chosen weighings.
pub async fn keep(
    writing: &mut Writing,
    now: Instant,
    by: Option<AccountId>,
    the_match: &Match,
    (entry, outcome): (&Entry, Option<Outcome>),
) -> Result<(), ActionError> {
    let fished = outcome.is_some_and(Outcome::is_session);
    let session = match (sessions::of_entry(writing, entry.id).await?, fished) {
        (Some(session), true) => session.id,
        (Some(session), false) if session.has_report => {
            sessions::detach(writing, session.id).await?;
            session.id
        }
        (Some(session), false) => return Ok(sessions::delete(writing, session.id).await?),
        (None, false) => return Ok(()),
        (None, true) => match sessions::report_to_attach(writing, the_match, entry.angler).await? {
            Some(report) => {
                sessions::attach(writing, report, entry.id).await?;
                report
            }
            None => {
                let new = Fished {
                    pid: new_pid(),
                    entry: entry.id,
                    angler: entry.angler,
                    peg: entry.peg,
                    was_junior: entry.was_junior,
                };
                sessions::insert(writing, the_match, &new, by, now).await?
            }
        },
    };
    Ok(refresh_catches(writing, session).await?)
}
