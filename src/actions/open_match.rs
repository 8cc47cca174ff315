//! How every change to the entries and weights of a match begins.

use super::{ActionError, By};
use crate::{
    domain::{ids::MatchId, matches::MatchState},
    store::{
        Db, Writing,
        matches::{self, Match},
    },
};

/// The match, and a transaction in which an officer may change who fished it and with what.
///
/// Errors: `NotAllowed` for all but officers; `NotFound`; `Refused` with `when_final` once the
/// result is final, and while the match is called off.
pub(super) async fn open_match(
    db: &Db,
    by: &By,
    id: MatchId,
    when_final: &str,
) -> Result<(Writing, Match), ActionError> {
    let (writing, the_match) = match_to_change(db, by, id, when_final).await?;
    not_called_off(&the_match)?;
    Ok((writing, the_match))
}

/// Refuses a match that is called off.
pub(super) fn not_called_off(the_match: &Match) -> Result<(), ActionError> {
    match the_match.state {
        MatchState::Abandoned => Err(ActionError::refused(
            "",
            "This match is called off. Put it on again first, at “Change this match”.",
        )),
        _ => Ok(()),
    }
}

/// The same for a change to the match itself, which may be called off.
///
/// Errors: `NotAllowed`, `NotFound` and `when_final` as for [`open_match`].
pub(super) async fn match_to_change(
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
