//! Guesses at a password. Each is counted before it is looked at, so that many at once are no
//! cheaper than one after another, and is taken back when it was right.

use super::{ActionError, tokens::hash};
use crate::{
    domain::{dates::Instant, throttle},
    store::{Db, Writing, throttle as counts},
};

const KINDS: [&str; 2] = ["account", "address"];

/// A guess that has been counted.
pub(super) struct Guess {
    /// The hashes of the name and of the address, and when the failure before this was.
    subjects: [([u8; 32], Option<Instant>); 2],
    at: Instant,
}

/// May it be looked at?
pub(super) enum Claim {
    Counted(Guess),
    /// Too many were wrong: this many seconds are left.
    Wait(i64),
}

impl Guess {
    /// Counts a guess at the password of `name_key` from `address`. A device that has signed in to
    /// the account before does not wait for a stranger's guesses at it.
    pub async fn claim(
        db: &Db,
        now: Instant,
        name_key: &str,
        address: &str,
        known_device: bool,
    ) -> Result<Claim, ActionError> {
        let mut subjects = [(hash(name_key), None), (hash(address), None)];
        let mut writing = db.write().await?;
        for (kind, (subject, before)) in KINDS.into_iter().zip(&mut subjects) {
            let failed = counts::failures(&mut writing, kind, subject).await?;
            *before = failed.map(|(_, last)| last);
            let excused = known_device && kind == "account";
            let seconds = failed.map_or(0, |(failures, last)| {
                throttle::wait_seconds(failures, last, now)
            });
            if seconds > 0 && !excused {
                return Ok(Claim::Wait(seconds));
            }
        }
        for (kind, (subject, _)) in KINDS.into_iter().zip(&subjects) {
            counts::add_failure(&mut writing, kind, subject, now).await?;
        }
        writing.commit().await?;
        Ok(Claim::Counted(Self { subjects, at: now }))
    }

    /// It was right: the name's wrong tries are forgotten, the address's are as they were.
    pub async fn was_right(self, writing: &mut Writing) -> Result<(), ActionError> {
        let [(name, _), (address, before)] = self.subjects;
        counts::forget_failures(writing, KINDS[0], &name).await?;
        counts::take_back(writing, KINDS[1], &address, self.at, before).await?;
        Ok(())
    }

    /// It was never looked at.
    pub async fn taken_back(self, db: &Db) -> Result<(), ActionError> {
        let mut writing = db.write().await?;
        for (kind, (subject, before)) in KINDS.into_iter().zip(&self.subjects) {
            counts::take_back(&mut writing, kind, subject, self.at, *before).await?;
        }
        Ok(writing.commit().await?)
    }
}
