//! What has run its time goes: sign-ins left idle, one-time links that ran out, failed guesses.

use super::ActionError;
use crate::{
    domain::dates::Instant,
    store::{Db, accounts, sign_ins, throttle},
};

const DAY_S: i64 = 24 * 3_600;
/// A sign-in unused for so long is over; `web::people` refuses it from then on.
const IDLE_S: i64 = 30 * DAY_S;
/// A link that ran out is still told from an unknown one for so long.
const LINK_S: i64 = 30 * DAY_S;
/// Failed guesses slow nobody down any more after so long.
const FAILURES_S: i64 = 2 * DAY_S;

/// How many of each went.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Expired {
    pub sign_ins: u64,
    pub links: u64,
    pub failures: u64,
}

pub async fn expire(db: &Db, now: Instant) -> Result<Expired, ActionError> {
    let mut writing = db.write().await?;
    let expired = Expired {
        sign_ins: sign_ins::delete_idle(&mut writing, now.plus_seconds(-IDLE_S)).await?,
        links: accounts::delete_links(&mut writing, now.plus_seconds(-LINK_S)).await?,
        failures: throttle::delete_failures(&mut writing, now.plus_seconds(-FAILURES_S)).await?,
    };
    writing.commit().await?;
    Ok(expired)
}
