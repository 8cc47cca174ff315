//! Whether all who are signed in come from one address: then a proxy stands before the program that
//! it was not told of, and guesses at passwords are slowed for everybody together.
//!
//! In memory alone, and no more than the question needs: the latest address, scrambled with a key
//! that is gone when the program stops, and a few accounts.

use std::{
    hash::{BuildHasher, RandomState},
    net::IpAddr,
    sync::{Mutex, MutexGuard, PoisonError},
};

use crate::domain::{dates::Instant, ids::AccountId};

/// Fewer accounts may well be one household, or a committee that tries the program out.
const ENOUGH: usize = 5;
/// What was seen longer ago says nothing any more, seconds.
const REMEMBERED: i64 = 7 * 86_400;

#[derive(Default)]
pub struct Addresses {
    key: RandomState,
    seen: Mutex<Seen>,
}

#[derive(Default)]
struct Seen {
    /// The latest address, scrambled.
    latest: Option<u64>,
    /// Accounts seen at it and when, as many as are asked about.
    accounts: Vec<(AccountId, Instant)>,
    /// When it took the place of another.
    changed: Option<Instant>,
}

impl Addresses {
    /// Notes that somebody signed in asks from `address`, which no proxy told us.
    pub fn note(&self, account: AccountId, address: IpAddr, now: Instant) {
        let address = self.key.hash_one(address);
        let mut seen = self.seen();
        if seen.latest != Some(address) {
            if seen.latest.replace(address).is_some() {
                seen.changed = Some(now);
            }
            seen.accounts.clear();
        }
        seen.accounts
            .retain(|(other, at)| *other != account && is_recent(*at, now));
        if seen.accounts.len() < ENOUGH {
            seen.accounts.push((account, now));
        }
    }

    /// A proxy that we were told of passes requests on: addresses are what they should be.
    pub fn forget(&self) {
        *self.seen() = Seen::default();
    }

    /// Have several accounts been here of late, and all from the latest address?
    pub fn all_from_one(&self, now: Instant) -> bool {
        let seen = self.seen();
        let recent = seen.accounts.iter().filter(|(_, at)| is_recent(*at, now));
        recent.count() >= ENOUGH && seen.changed.is_none_or(|at| !is_recent(at, now))
    }

    fn seen(&self) -> MutexGuard<'_, Seen> {
        self.seen.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn is_recent(at: Instant, now: Instant) -> bool {
    now.0 - at.0 <= REMEMBERED
}
