//! What the program does by itself, on a clock that is handed in: fits after the record has come
//! to rest, a check and a proved backup a day, and the end of what has run its time. Each is an
//! action; a fault in one is logged and does not keep the others waiting.

use std::{path::PathBuf, time::Duration};

use crate::{
    actions::{ActionError, daily_backup, expire, health, keep_fits},
    domain::dates::Instant,
    store::{Db, StoreError, checks, fits},
};

/// How often it looks.
const LOOKS_EVERY: Duration = Duration::from_secs(5);
/// Fits wait until nothing has changed for so long,
const QUIET_S: i64 = 10;
/// but no longer than this while changes go on.
const MOST_S: i64 = 60;
/// Fits are looked over after so long whatever happens: days pass without a change.
const LOOKED_OVER_S: i64 = 3_600;
const EXPIRES_EVERY_S: i64 = 3_600;
/// The record is read through once the start is over,
const CHECKS_AFTER_S: i64 = 60;
/// and then every day.
const CHECKS_EVERY_S: i64 = 24 * 3_600;
/// After a failed backup or check it tries again.
const TRIES_AGAIN_S: i64 = 3_600;

struct Backups {
    folder: PathBuf,
    keep: usize,
    tried: Option<Instant>,
}

/// The upkeep of one record.
pub struct Upkeep {
    db: Db,
    now: Box<dyn Fn() -> Instant + Send + Sync>,
    backups: Option<Backups>,
    /// The marks that the last look saw.
    seen: Option<i64>,
    /// When changes since the last round of fits began, and the latest of them.
    changed: Option<(Instant, Instant)>,
    fitted: Option<Instant>,
    expired: Option<Instant>,
    /// When the next check is due, from the first look on.
    check_due: Option<Instant>,
}

impl Upkeep {
    pub fn new(db: Db, now: impl Fn() -> Instant + Send + Sync + 'static) -> Self {
        Self {
            db,
            now: Box::new(now),
            backups: None,
            seen: None,
            changed: None,
            fitted: None,
            expired: None,
            check_due: None,
        }
    }

    /// Backs up daily into `folder` and keeps the latest `keep`.
    pub fn backing_up(mut self, folder: PathBuf, keep: usize) -> Self {
        self.backups = Some(Backups {
            folder,
            keep,
            tried: None,
        });
        self
    }

    /// Goes on until it is dropped.
    pub async fn run(mut self) {
        loop {
            self.look().await;
            tokio::time::sleep(LOOKS_EVERY).await;
        }
    }

    /// Does whatever is due now.
    pub async fn look(&mut self) {
        let now = (self.now)();
        match self.fits_are_due(now).await {
            Ok(true) => self.fit(now).await,
            Ok(false) => {}
            Err(error) => tracing::error!("looking for changes: {error}"),
        }
        if is_over(self.expired, EXPIRES_EVERY_S, now) {
            self.expired = Some(now);
            match expire::expire(&self.db, now).await {
                Ok(expired) if expired != expire::Expired::default() => {
                    tracing::info!("run out and forgotten: {expired:?}");
                }
                Ok(_) => {}
                Err(error) => tracing::error!("expiry: {error}"),
            }
        }
        self.check(now).await;
        self.back_up(now).await;
    }

    /// Reads the record through when that is due, and says in the log when it is damaged.
    async fn check(&mut self, now: Instant) {
        let due = *self
            .check_due
            .get_or_insert(now.plus_seconds(CHECKS_AFTER_S));
        if now < due && due.0 - now.0 <= CHECKS_EVERY_S {
            return;
        }
        let next = match health::check(&self.db).await {
            Ok(faults) => {
                if let Some(first) = faults.first() {
                    tracing::error!(
                        "the record “{}” is damaged: {}. What it says cannot be trusted: stop the server and put the latest backup back, with “peglore restore”. The first fault: {first}",
                        self.db.file().display(),
                        checks::in_words(faults.len())
                    );
                }
                CHECKS_EVERY_S
            }
            Err(error) => {
                tracing::error!("the record could not be read through: {error}");
                TRIES_AGAIN_S
            }
        };
        self.check_due = Some(now.plus_seconds(next));
    }

    /// At the start, once changes have come to rest, and every hour.
    async fn fits_are_due(&mut self, now: Instant) -> Result<bool, StoreError> {
        let marks = fits::all_marks(&mut *self.db.read().await?).await?;
        if self.seen.is_some_and(|seen| seen != marks) {
            let first = self.changed.map_or(now, |(first, _)| first);
            self.changed = Some((first, now));
        }
        self.seen = Some(marks);
        let at_rest = self
            .changed
            .is_some_and(|(first, last)| now.0 - last.0 >= QUIET_S || now.0 - first.0 >= MOST_S);
        Ok(at_rest || is_over(self.fitted, LOOKED_OVER_S, now))
    }

    async fn fit(&mut self, now: Instant) {
        self.fitted = Some(now);
        self.changed = None;
        let began = std::time::Instant::now();
        match keep_fits::refresh(&self.db, now).await {
            Ok(round) if round != keep_fits::Round::default() => {
                let took = began.elapsed().as_secs_f64();
                let keep_fits::Round { made, failed } = round;
                tracing::info!("fits: {made} made, {failed} failed, in {took:.1} s");
            }
            Ok(_) => {}
            Err(ActionError::Store(StoreError::WritingStopped)) => {}
            Err(error) => tracing::error!("fits: {error}"),
        }
    }

    async fn back_up(&mut self, now: Instant) {
        let Some(backups) = &mut self.backups else {
            return;
        };
        if !is_over(backups.tried, TRIES_AGAIN_S, now)
            || !daily_backup::is_due(&backups.folder, now)
        {
            return;
        }
        backups.tried = Some(now);
        match daily_backup::back_up(&self.db, &backups.folder, backups.keep, now).await {
            Ok(file) => tracing::info!("backed up and proved: {}", file.display()),
            Err(error) => tracing::error!("the daily backup failed; earlier ones stay: {error}"),
        }
    }
}

/// Whether so many seconds have gone by since `last`, or the clock was set back behind it.
fn is_over(last: Option<Instant>, seconds: i64, now: Instant) -> bool {
    last.is_none_or(|last| now.0 - last.0 >= seconds || now < last)
}
