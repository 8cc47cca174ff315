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
mod peg_counts;
mod peg_history;
mod rate_table;
pub mod record;
mod reeds;
pub mod setup;
mod today;
mod typed;
pub mod venue;
pub mod what_it_took;

/// The water an address names, or "not found".
async fn the_venue(site: &Site, id: &str) -> Result<Venue, PageError> {
    let id: i64 = id.parse().map_err(|_| PageError::NotFound)?;
    venues::by_id(&mut *site.db.read().await?, VenueId(id))
        .await?
        .ok_or(PageError::NotFound)
}
