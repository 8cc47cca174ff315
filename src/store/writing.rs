//! The one way to change the record.

use std::{
    ops::{Deref, DerefMut},
    sync::{
        Arc,
        atomic::{AtomicBool, AtomicU64, Ordering},
    },
};

use sqlx::{Sqlite, SqliteConnection, Transaction};

use super::StoreError;

/// A write transaction, begun as such. Dropped without [`Writing::commit`] it leaves no trace.
/// Only `actions` asks for one (`tests/house` holds that rule).
pub struct Writing {
    transaction: Transaction<'static, Sqlite>,
    /// Whether writing has been stopped.
    stopped: Arc<AtomicBool>,
    changes: Arc<AtomicU64>,
}

impl Deref for Writing {
    type Target = SqliteConnection;
    fn deref(&self) -> &SqliteConnection {
        &self.transaction
    }
}

impl DerefMut for Writing {
    fn deref_mut(&mut self) -> &mut SqliteConnection {
        &mut self.transaction
    }
}

/// Raises the count of changes when it goes, whatever became of the commit: of one that failed
/// nobody knows what was kept.
struct Counted(Arc<AtomicU64>);

impl Drop for Counted {
    fn drop(&mut self) {
        self.0.fetch_add(1, Ordering::SeqCst);
    }
}

impl Writing {
    pub(super) fn of(
        transaction: Transaction<'static, Sqlite>,
        stopped: Arc<AtomicBool>,
        changes: Arc<AtomicU64>,
    ) -> Self {
        Self {
            transaction,
            stopped,
            changes,
        }
    }

    /// Makes it durable: when this answers `Ok`, the write-ahead log has been synced.
    /// After an I/O fault nothing more is written, since a second sync may lie. Once begun it is
    /// seen through, also where whoever asked has gone away: [`super::Db::changes`] counts it when
    /// it is over and before anybody is answered.
    pub async fn commit(self) -> Result<(), StoreError> {
        let seen_through = tokio::spawn(async move {
            let _counted = Counted(self.changes);
            let outcome = self.transaction.commit().await.map_err(StoreError::from);
            if outcome.as_ref().is_err_and(StoreError::is_disk_fault) {
                self.stopped.store(true, Ordering::SeqCst);
            }
            outcome
        });
        seen_through.await.map_err(std::io::Error::other)?
    }
}
