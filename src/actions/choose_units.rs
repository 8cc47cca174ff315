//! How somebody has figures shown: kept with their own account, and changed by nobody else.

use super::{ActionError, By};
use crate::{
    domain::{
        dates::Instant,
        units::{Scale, Units},
    },
    store::{Db, accounts, audit},
};

pub async fn choose(db: &Db, now: Instant, by: &By, units: Units) -> Result<(), ActionError> {
    let account = by.account().ok_or(ActionError::NotAllowed)?;
    let mut writing = db.write().await?;
    accounts::set_units(&mut writing, account, units).await?;
    let detail = format!(
        "weights: {}; wind: {}",
        units.weights.map_or("as weighed", Scale::slug),
        units.wind.as_str()
    );
    audit::add(&mut writing, now, by.pid(), "chose units", None, &detail).await?;
    Ok(writing.commit().await?)
}
