//! Waters: the list, one water, its setting up, its pegs and its diary.

use super::{errors::PageError, state::Site};
use crate::{
    domain::{ids::VenueId, venues::Venue},
    store::venues,
};

pub mod closures;
pub mod diary;
pub mod diary_entry;
pub mod like_days;
pub mod list;
pub mod peg;
pub(super) mod peg_counts;
pub mod peg_files;
pub(super) mod peg_history;
pub(super) mod rate_table;
pub mod record;
mod reeds;
pub mod removal;
pub mod setup;
mod today;
mod typed;
pub mod venue;
pub mod what_it_took;

/// The number of the water an address names.
fn number_of(address: &str) -> Result<VenueId, PageError> {
    let number: i64 = address.parse().map_err(|_| PageError::NotFound)?;
    Ok(VenueId(number))
}

/// The water an address names, or "not found".
async fn the_venue(site: &Site, id: &str) -> Result<Venue, PageError> {
    venues::by_id(&mut *site.db.read().await?, number_of(id)?)
        .await?
        .ok_or(PageError::NotFound)
}
