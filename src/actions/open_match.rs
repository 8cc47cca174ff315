//! How every change to the entries and weights of a match begins.

use super::{ActionError, By};
use crate::{
    domain::{ids::MatchId, matches::MatchState},
    store::{
        Db, Writing,
        matches::{self, Match},
    },
};

/// The match, and a transaction in which an officer may change it.
///
/// Errors: `NotAllowed` for all but officers; `NotFound`; `Refused` with `when_final` once the
/// result is final.
pub(super) async fn open_match(
    db: &Db,
    by: &By,
    id: MatchId,
    when_final: &str,
) -> Result<(Writing, Match), ActionError> {
    by.must_be_officer()?;
    let mut writing = db.write().await?;
    let the_match = matches::by_id(&mut writing, id)
        .await?
        .ok_or(ActionError::NotFound)?;
    if the_match.state == MatchState::Final {
        return Err(ActionError::refused("", when_final));
    }
    Ok((writing, the_match))
}
