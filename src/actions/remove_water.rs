//! Removing a water that was set up by mistake, while nothing is recorded at it.

use super::{ActionError, By};
use crate::{
    domain::{dates::Instant, ids::VenueId},
    store::{
        Db, audit,
        venues::{
            self,
            removal::{self, Recorded},
        },
    },
};

/// What came of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Removal {
    Removed,
    /// Something is recorded at it: nothing was removed.
    Stands,
}

/// Removes version `version` of a water with its banks, pegs, closures and the weather files laid out
/// for it that nobody saved, and nothing else.
///
/// Errors: `NotFound` when another removed it first; `Changed` when somebody saved it since.
pub async fn remove_water(
    db: &Db,
    now: Instant,
    by: &By,
    (venue, version): (VenueId, i64),
) -> Result<Removal, ActionError> {
    by.must_be_officer()?;
    let mut writing = db.write().await?;
    venues::by_id(&mut writing, venue)
        .await?
        .ok_or(ActionError::NotFound)?;
    if removal::recorded(&mut writing, venue).await? != Recorded::default() {
        return Ok(Removal::Stands);
    }
    if !removal::remove(&mut writing, venue, version).await? {
        return Err(ActionError::Changed);
    }
    let detail = format!("venue {venue}");
    audit::add(&mut writing, now, by.pid(), removal::REMOVED, None, &detail).await?;
    writing.commit().await?;
    Ok(Removal::Removed)
}
