//! What every handler shares.

use std::{ops::Deref, sync::Arc};

use super::{addresses::Addresses, answers::Answers};
use crate::{actions::passwords::Hasher, domain::dates::Instant, settings::Settings, store::Db};

/// The clock, handed in so that tests can set it.
#[derive(Clone)]
pub struct Clock(Arc<dyn Fn() -> Instant + Send + Sync>);

impl Clock {
    pub fn system() -> Self {
        Self::from(|| Instant(jiff::Timestamp::now().as_second()))
    }

    pub fn from(now: impl Fn() -> Instant + Send + Sync + 'static) -> Self {
        Self(Arc::new(now))
    }

    pub fn now(&self) -> Instant {
        (self.0)()
    }
}

pub struct Shared {
    pub db: Db,
    pub settings: Settings,
    pub clock: Clock,
    pub hasher: Hasher,
    /// Figures worked out before and still true.
    pub answers: Answers,
    /// Whether everybody seems to come from one address.
    pub(super) addresses: Addresses,
}

/// The state of the site; cheap to clone.
#[derive(Clone)]
pub struct Site(Arc<Shared>);

impl Site {
    pub fn new(db: Db, settings: Settings, clock: Clock) -> Self {
        let hasher = Hasher::new(settings.password_memory_kib);
        Self(Arc::new(Shared {
            db,
            settings,
            clock,
            hasher,
            answers: Answers::default(),
            addresses: Addresses::default(),
        }))
    }

    pub fn now(&self) -> Instant {
        self.clock.now()
    }
}

impl Deref for Site {
    type Target = Shared;
    fn deref(&self) -> &Shared {
        &self.0
    }
}
