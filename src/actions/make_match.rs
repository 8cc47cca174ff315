//! Makes a match.

use super::{ActionError, By};
use crate::{
    domain::{dates::Instant, groups::GroupSet, ids::MatchId},
    store::{
        Db, audit,
        matches::{self, NewMatch},
    },
};

/// Errors: `NotAllowed` for all but officers; `Refused` when the kinds of net overlap or none is named.
pub async fn make_match(
    db: &Db,
    now: Instant,
    by: &By,
    new: &NewMatch,
) -> Result<MatchId, ActionError> {
    by.must_be_officer()?;
    kinds_stand(&new.net_kinds)?;
    let mut writing = db.write().await?;
    let id = matches::insert(&mut writing, new, by.account()).await?;
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "made a match",
        Some(new.pid.as_str()),
        "",
    )
    .await?;
    writing.commit().await?;
    Ok(id)
}

/// What is said where no group of fish counts.
pub const NO_GROUP: &str = "No group of fish counts. Choose at least one that does.";

/// At least one kind of net, and no group in two.
pub(super) fn kinds_stand(kinds: &[GroupSet]) -> Result<(), ActionError> {
    let mut seen = 0;
    for kind in kinds {
        if seen & kind.bits() != 0 {
            return Err(ActionError::refused(
                "groups",
                "A group of fish is named in two nets. Name each group once.",
            ));
        }
        seen |= kind.bits();
    }
    if seen == 0 {
        return Err(ActionError::refused("groups", NO_GROUP));
    }
    Ok(())
}
