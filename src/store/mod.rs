//! Every SQL statement of the program, one file or folder per aggregate.
//!
//! [`Db`] hands out connections: many readers that cannot write, and one writer. Functions take
//! a connection, not the pool, so that any of them can join a transaction. `store` never
//! decides: it fetches and saves.

use std::{
    path::{Path, PathBuf},
    sync::{
        Arc,
        atomic::{AtomicBool, AtomicU64, Ordering},
    },
    time::Duration,
};

use sqlx::{
    Sqlite, SqliteConnection, SqlitePool,
    migrate::Migrator,
    pool::PoolConnection,
    sqlite::{SqliteConnectOptions, SqliteJournalMode, SqlitePoolOptions, SqliteSynchronous},
};

/// A connection as it is handed on; only `store` speaks to it.
pub use sqlx::SqliteConnection as Connection;

pub mod accounts;
pub mod anglers;
pub mod audit;
pub mod backup;
pub mod checks;
pub mod demo;
pub mod fits;
pub mod imports;
pub mod joined;
pub mod marks;
pub mod matches;
pub mod sessions;
pub mod settings;
pub mod sign_ins;
pub mod statistics;
pub mod submissions;
pub mod throttle;
mod types;
pub mod venues;
pub mod weather;
mod writing;

use statistics::{run_up::WeatherRecords, studies::Studies};
pub use writing::Writing;

/// The steps that make the schema, in the binary.
pub static MIGRATIONS: Migrator = sqlx::migrate!("./migrations");

/// The database's file inside the data folder.
pub const FILE_NAME: &str = "peglore.sqlite3";

/// The oldest SQLite that does not damage a WAL database when two connections write and
/// checkpoint at the same moment.
const OLDEST_SQLITE: &str = "3.51.3";

#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    #[error("the database: {0}")]
    Sql(#[from] sqlx::Error),
    #[error("preparing the database: {0}")]
    Migrate(#[from] sqlx::migrate::MigrateError),
    #[error("SQLite {0} is too old: {OLDEST_SQLITE} or newer is needed")]
    OldSqlite(String),
    #[error("the database did not accept the setting {0}: it answered {1}")]
    Pragma(&'static str, String),
    #[error(
        "the database was last written by a newer Peglore (schema {found}; this one knows {known}). Restore the backup made before that upgrade, or start the newer program"
    )]
    NewerSchema { found: i64, known: i64 },
    #[error("“{}” is not a Peglore backup or record", .0.display())]
    NotARecord(PathBuf),
    /// What the checks found wrong, a line a fault.
    #[error("the record is damaged: {}. Restore the last proved backup", checks::in_words(.0.len()))]
    Damaged(Vec<String>),
    #[error(
        "an earlier write failed at the disk, so nothing more is written until the program is started again"
    )]
    WritingStopped,
    #[error("{0}")]
    Io(#[from] std::io::Error),
}

impl StoreError {
    /// Did a named UNIQUE rule refuse? `column` as SQLite names it: `accounts.name_key`.
    pub fn is_taken(&self, column: &str) -> bool {
        matches!(self, Self::Sql(sqlx::Error::Database(e)) if e.is_unique_violation() && e.message().contains(column))
    }

    /// Did a row point at one that is no longer there?
    pub fn points_nowhere(&self) -> bool {
        matches!(self, Self::Sql(sqlx::Error::Database(e)) if e.is_foreign_key_violation())
    }

    /// Is the disk full?
    pub fn is_full(&self) -> bool {
        matches!(self, Self::Sql(sqlx::Error::Database(e)) if e.code().as_deref() == Some("13"))
    }

    /// Is the file something else than a database? (SQLITE_NOTADB)
    pub(crate) fn is_no_database(&self) -> bool {
        matches!(self, Self::Sql(sqlx::Error::Database(e)) if e.code().as_deref() == Some("26"))
    }

    /// Is the file a database whose pages do not fit together? (SQLITE_CORRUPT)
    pub(crate) fn is_malformed(&self) -> bool {
        matches!(self, Self::Damaged(_))
            || matches!(self, Self::Sql(sqlx::Error::Database(e))
            if e.code().and_then(|c| c.parse::<i32>().ok()).is_some_and(|c| c & 0xff == 11))
    }

    fn is_disk_fault(&self) -> bool {
        matches!(self, Self::Sql(sqlx::Error::Database(e))
            if e.code().and_then(|c| c.parse::<i32>().ok()).is_some_and(|c| c & 0xff == 10 || c & 0xff == 11))
    }
}

/// The database: readers that cannot write, one writer, and whether writing has been stopped.
#[derive(Clone)]
pub struct Db {
    readers: SqlitePool,
    writer: SqlitePool,
    stopped: Arc<AtomicBool>,
    changes: Arc<AtomicU64>,
    file: PathBuf,
    weather: WeatherRecords,
    studies: Studies,
    /// What the last look through it found.
    pub damage: checks::Damage,
}

fn options(file: &Path) -> SqliteConnectOptions {
    SqliteConnectOptions::new()
        .filename(file)
        .journal_mode(SqliteJournalMode::Wal)
        .synchronous(SqliteSynchronous::Full)
        .foreign_keys(true)
        .busy_timeout(Duration::from_secs(5))
        .pragma("mmap_size", "0")
        .pragma("secure_delete", "ON")
        .pragma("cache_size", "-8000")
        // Room for every question of the program: reading one anew costs more than asking it.
        .statement_cache_capacity(512)
        // Whenever so many rows wait, SQLite's thread and the one that asked hand over to each
        // other: on a busy machine each time costs a turn in the queue.
        .row_buffer_size(1_024)
}

impl Db {
    /// Opens the database in `folder`, making it when absent, and brings its schema up to date.
    /// The caller holds the folder's lock.
    pub async fn open(folder: &Path) -> Result<Self, StoreError> {
        let file = folder.join(FILE_NAME);
        let writer = SqlitePoolOptions::new()
            .max_connections(1)
            .idle_timeout(None)
            .max_lifetime(None)
            .test_before_acquire(false)
            .acquire_timeout(Duration::from_secs(10))
            .connect_with(options(&file).create_if_missing(true))
            .await?;
        let mut connection = writer.acquire().await?;
        check_engine(&mut connection).await?;
        refuse_newer_schema(&mut connection).await?;
        MIGRATIONS.run(&mut *connection).await?;
        drop(connection);
        Ok(Self {
            readers: readers(&file).await?,
            writer,
            stopped: Arc::new(AtomicBool::new(false)),
            changes: Arc::default(),
            file,
            weather: WeatherRecords::default(),
            studies: Studies::default(),
            damage: checks::Damage::default(),
        })
    }

    /// Opens a database that is already there, to read it only.
    pub async fn open_to_read(file: &Path) -> Result<Self, StoreError> {
        let pool = SqlitePoolOptions::new()
            .max_connections(2)
            .connect_with(
                SqliteConnectOptions::new()
                    .filename(file)
                    .pragma("query_only", "ON"),
            )
            .await?;
        Ok(Self {
            readers: pool.clone(),
            writer: pool,
            stopped: Arc::new(AtomicBool::new(true)),
            changes: Arc::default(),
            file: file.to_owned(),
            weather: WeatherRecords::default(),
            studies: Studies::default(),
            damage: checks::Damage::default(),
        })
    }

    /// A connection that cannot write.
    pub async fn read(&self) -> Result<PoolConnection<Sqlite>, StoreError> {
        Ok(self.readers.acquire().await?)
    }

    /// The write transaction; the next one waits for it.
    pub async fn write(&self) -> Result<Writing, StoreError> {
        if self.stopped.load(Ordering::SeqCst) {
            return Err(StoreError::WritingStopped);
        }
        let transaction = self.writer.begin_with("BEGIN IMMEDIATE").await?;
        Ok(Writing::of(
            transaction,
            self.stopped.clone(),
            self.changes.clone(),
        ))
    }

    /// How often this program has changed the record; nobody else does, while it holds the folder.
    /// Asked before a reading: for as long as it stays the same, what was read still stands.
    pub fn changes(&self) -> u64 {
        self.changes.load(Ordering::SeqCst)
    }

    /// The weather of the venues as run-ups want it, kept in memory until it changes.
    pub fn weather(&self) -> &WeatherRecords {
        &self.weather
    }

    /// What has been worked out of each series, kept in memory as it stands in the record.
    pub fn studies(&self) -> &Studies {
        &self.studies
    }

    pub fn file(&self) -> &Path {
        &self.file
    }

    pub fn writing_stopped(&self) -> bool {
        self.stopped.load(Ordering::SeqCst)
    }

    /// Closes what [`Db::open_to_read`] opened.
    pub async fn close_reading(&self) {
        self.readers.close().await;
    }

    /// Closes every connection; the last one folds the write-ahead log into the file.
    pub async fn close(&self) {
        self.readers.close().await;
        if let Ok(mut writer) = self.writer.acquire().await {
            // A refused checkpoint leaves the log for the next start, which loses nothing.
            if let Err(e) = sqlx::query("PRAGMA wal_checkpoint(TRUNCATE)")
                .execute(&mut *writer)
                .await
            {
                tracing::warn!("checkpoint at stop: {e}");
            }
        }
        self.writer.close().await;
    }
}

/// Connections that read at one time. A page holds one at most: pages that held one each and
/// waited for a second would wait for one another.
pub const READERS: u32 = 6;

async fn readers(file: &Path) -> Result<SqlitePool, StoreError> {
    Ok(SqlitePoolOptions::new()
        .max_connections(READERS)
        // A file does not hang up; asking each time doubles what a short question costs.
        .test_before_acquire(false)
        .acquire_timeout(Duration::from_secs(10))
        .connect_with(options(file).pragma("query_only", "ON"))
        .await?)
}

/// Reads back what a library default might have overridden.
async fn check_engine(connection: &mut SqliteConnection) -> Result<(), StoreError> {
    let version: String = sqlx::query_scalar("SELECT sqlite_version()")
        .fetch_one(&mut *connection)
        .await?;
    if is_too_old(&version) {
        return Err(StoreError::OldSqlite(version));
    }
    let journal: String = sqlx::query_scalar("PRAGMA journal_mode")
        .fetch_one(&mut *connection)
        .await?;
    if journal != "wal" {
        return Err(StoreError::Pragma("journal_mode=WAL", journal));
    }
    let synchronous: i64 = sqlx::query_scalar("PRAGMA synchronous")
        .fetch_one(&mut *connection)
        .await?;
    if synchronous != 2 {
        return Err(StoreError::Pragma(
            "synchronous=FULL",
            synchronous.to_string(),
        ));
    }
    let keys: i64 = sqlx::query_scalar("PRAGMA foreign_keys")
        .fetch_one(&mut *connection)
        .await?;
    if keys != 1 {
        return Err(StoreError::Pragma("foreign_keys=ON", keys.to_string()));
    }
    Ok(())
}

/// Is this SQLite older than [`OLDEST_SQLITE`]? Parts are numbers: 3.9 came before 3.51.
fn is_too_old(version: &str) -> bool {
    let numbers = |text: &str| {
        text.split('.')
            .map(|n| n.parse().unwrap_or(0))
            .collect::<Vec<u32>>()
    };
    numbers(version) < numbers(OLDEST_SQLITE)
}

/// The newest schema step this program knows.
pub fn known_schema() -> i64 {
    MIGRATIONS
        .iter()
        .map(|step| step.version)
        .max()
        .unwrap_or(0)
}

/// The newest schema step the database has; 0 when it has none.
pub async fn schema_of(connection: &mut SqliteConnection) -> Result<i64, StoreError> {
    let table: i64 = sqlx::query_scalar(
        "SELECT COUNT(*) FROM sqlite_master WHERE type = 'table' AND name = '_sqlx_migrations'",
    )
    .fetch_one(&mut *connection)
    .await?;
    if table == 0 {
        return Ok(0);
    }
    let newest: Option<i64> = sqlx::query_scalar("SELECT MAX(version) FROM _sqlx_migrations")
        .fetch_one(connection)
        .await?;
    Ok(newest.unwrap_or(0))
}

async fn refuse_newer_schema(connection: &mut SqliteConnection) -> Result<(), StoreError> {
    let (found, known) = (schema_of(connection).await?, known_schema());
    if found > known {
        return Err(StoreError::NewerSchema { found, known });
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_older_engine_is_told_from_a_newer_by_its_numbers() {
        for old in ["3.7.0", "3.9.2", "3.50.4", "3.51.0", "3.51.2", "", "what"] {
            assert!(is_too_old(old), "{old}");
        }
        for new in ["3.51.3", "3.51.10", "3.52.0", "4.0.0"] {
            assert!(!is_too_old(new), "{new}");
        }
    }
}
