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

/// A word may hold anything, so a field is called after its folded form in figures.
fn in_figures(key: &str) -> String {
    key.bytes().map(|b| format!("{b:02x}")).collect()
}

/// The word that was put in figures; `None` for what is no such thing.
fn from_figures(figures: &str) -> Option<String> {
    let pair = |pair: &[u8]| {
        let pair = std::str::from_utf8(pair).ok().filter(|_| pair.len() == 2)?;
        u8::from_str_radix(pair, 16).ok()
    };
    let bytes: Option<Vec<u8>> = figures.as_bytes().chunks(2).map(pair).collect();
    String::from_utf8(bytes?).ok()
}
