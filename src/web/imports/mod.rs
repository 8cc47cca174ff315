//! Files brought in: the list, choosing one, its columns, its names, and the look before saving.

pub mod columns;
pub mod import;
pub mod list;
pub mod names;
pub mod new;

use super::{errors::PageError, state::Site};
use crate::{
    actions::import::sheet::{Plan, rows_of},
    domain::{
        dates::{Day, Zone},
        ids::ImportId,
        imports::ImportState,
    },
    formats::old_sheets::SheetOf,
    store::imports::{self, Import},
};

/// The file an address names.
async fn found(site: &Site, id: &str) -> Result<Import, PageError> {
    let id = id.parse().map_err(|_| PageError::NotFound)?;
    let import = imports::by_id(&mut *site.db.read().await?, ImportId(id)).await?;
    import.ok_or(PageError::NotFound)
}

/// A sheet that is laid out, with its plan; anything else is not found here.
async fn laid_out(site: &Site, id: &str) -> Result<(Import, Plan, SheetOf), PageError> {
    let import = found(site, id).await?;
    let of = rows_of(import.kind).filter(|_| import.state == ImportState::Uploaded);
    let of = of.ok_or(PageError::NotFound)?;
    let plan = Plan::read(&import.mapping_json)?;
    Ok((import, plan, of))
}

/// The last day that can have been fished: today, wherever the water is.
fn latest(site: &Site) -> Day {
    site.now().day(&Zone::utc()).plus(1)
}
