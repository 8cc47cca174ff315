//! A whole copy of the database in one file, and the checks that prove one.

use std::{collections::BTreeMap, path::Path, pin::pin, time::Duration};

use sqlx::{
    AssertSqlSafe, Connection, SqliteConnection,
    sqlite::{SqliteConnectOptions, SqliteJournalMode},
};

use super::{Db, StoreError, checks, schema_of, settings};
use crate::domain::dates::Instant;

/// What a copy was found to hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Proof {
    pub schema: i64,
    pub accounts: i64,
    pub anglers: i64,
    pub matches: i64,
    pub sessions: i64,
    pub weather_days: i64,
    /// When the newest session was written down.
    pub newest: Option<Instant>,
}

/// How many rows each table held, by its name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RowCounts(BTreeMap<String, i64>);

/// How long a copy waits for a write in progress.
const PATIENCE: Duration = Duration::from_secs(30);
/// How often it is looked whether a copy has begun.
const GLANCE: Duration = Duration::from_millis(5);

/// Writes a whole, consistent copy to `target`, which must not exist, and says how many rows the
/// record held as it was copied. Readers go on. Writers wait while the rows are counted and until
/// the copy has begun, so that it is of the very record that was counted.
pub async fn copy_to(db: &Db, target: &Path) -> Result<RowCounts, StoreError> {
    // Connections of their own: the readers are kept from writing, even to another file, and a
    // copy cannot be made inside the transaction that keeps writers out.
    let options = SqliteConnectOptions::new()
        .filename(db.file())
        .busy_timeout(PATIENCE);
    let mut copying = SqliteConnection::connect_with(&options).await?;
    let mut holding = SqliteConnection::connect_with(&options).await?;
    sqlx::query("BEGIN IMMEDIATE").execute(&mut holding).await?;
    let counted = rows_of(&mut holding).await?;
    let mut held = Some(holding);
    {
        let name = target.to_string_lossy().into_owned();
        let copy = sqlx::query("VACUUM INTO ?").bind(name);
        let mut copied = pin!(copy.execute(&mut copying));
        loop {
            match tokio::time::timeout(GLANCE, copied.as_mut()).await {
                Ok(outcome) => {
                    outcome?;
                    break;
                }
                Err(_) if has_begun(target) => {
                    if let Some(holding) = held.take() {
                        let_go(holding).await?;
                    }
                }
                Err(_) => {}
            }
        }
    }
    if let Some(holding) = held {
        let_go(holding).await?;
    }
    copying.close().await?;
    Ok(counted)
}

/// SQLite writes nothing of a copy before it has a hold of what it copies: whatever is written to
/// the record from then on is not in it.
fn has_begun(copy: &Path) -> bool {
    std::fs::metadata(copy).is_ok_and(|file| file.len() > 0)
}

/// Lets writers go on.
async fn let_go(mut holding: SqliteConnection) -> Result<(), StoreError> {
    sqlx::query("ROLLBACK").execute(&mut holding).await?;
    Ok(holding.close().await?)
}

/// The rows of every table; of the settings without the row that only copies have.
async fn rows_of(connection: &mut SqliteConnection) -> Result<RowCounts, StoreError> {
    let tables: Vec<String> = sqlx::query_scalar(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND substr(name, 1, 7) <> 'sqlite_' ORDER BY name",
    )
    .fetch_all(&mut *connection)
    .await?;
    let mut counted = BTreeMap::new();
    for table in tables {
        let without = match table.as_str() {
            "settings" => format!(" WHERE key <> '{SETTINGS_FILE}'"),
            _ => String::new(),
        };
        let named = table.replace('"', "\"\"");
        // The name is one of the record's own tables, quoted.
        let question = AssertSqlSafe(format!("SELECT COUNT(*) FROM \"{named}\"{without}"));
        let rows: i64 = sqlx::query_scalar(question)
            .fetch_one(&mut *connection)
            .await?;
        counted.insert(table, rows);
    }
    Ok(RowCounts(counted))
}

/// Where a copy has other rows than were counted as it was made, a sentence a table.
pub async fn differences(copy: &Path, counted: &RowCounts) -> Result<Vec<String>, StoreError> {
    let mut connection = checks::opened(copy).await?;
    let found = rows_of(&mut connection).await?;
    connection.close().await?;
    let rows = |counts: &RowCounts, table: &str| match counts.0.get(table) {
        Some(rows) => rows.to_string(),
        None => "no such table".to_owned(),
    };
    let mut tables: Vec<&String> = counted.0.keys().chain(found.0.keys()).collect();
    tables.sort();
    tables.dedup();
    Ok(tables
        .into_iter()
        .map(|table| (table, rows(counted, table), rows(&found, table)))
        .filter(|(_, held, copied)| held != copied)
        .map(|(table, held, copied)| format!("{table}: {held} in the record, {copied} in the copy"))
        .collect())
}

/// The row of a copy that holds what stood in `settings.txt` beside the record.
const SETTINGS_FILE: &str = "settings_file";

/// Writes into a copy what stood in `settings.txt` beside the record, so that a backup is one file.
pub async fn keep_settings(copy: &Path, text: Option<&str>) -> Result<(), StoreError> {
    // Without a journal beside it: a copy that was not finished is thrown away.
    let options = SqliteConnectOptions::new()
        .filename(copy)
        .journal_mode(SqliteJournalMode::Memory);
    let mut connection = SqliteConnection::connect_with(&options).await?;
    match text {
        Some(text) => settings::put(&mut connection, SETTINGS_FILE, text).await?,
        None => settings::remove(&mut connection, SETTINGS_FILE).await?,
    }
    Ok(connection.close().await?)
}

/// What [`keep_settings`] wrote into a copy.
pub async fn kept_settings(copy: &Path) -> Result<Option<String>, StoreError> {
    let mut connection = checks::opened(copy).await?;
    let text = settings::get(&mut connection, SETTINGS_FILE).await?;
    connection.close().await?;
    Ok(text)
}

/// Opens `file` to read it and nothing else, once it is known to be a record; with its newest schema
/// step, 0 when a record was only begun in it. `NotARecord` when it is something else altogether.
pub async fn open_record(file: &Path) -> Result<(Db, i64), StoreError> {
    let named = |error: StoreError| match error.is_no_database() {
        true => StoreError::NotARecord(file.to_owned()),
        false => error,
    };
    let db = Db::open_to_read(file).await.map_err(named)?;
    match steps_and_strangers(&db).await.map_err(named) {
        // A database of some other program must not get our tables beside its own.
        Ok((0, strangers)) if strangers > 0 => {
            db.close_reading().await;
            Err(StoreError::NotARecord(file.to_owned()))
        }
        Ok((schema, _)) => Ok((db, schema)),
        Err(error) => {
            db.close_reading().await;
            Err(error)
        }
    }
}

/// The newest schema step, and how many tables are there that no step of ours has to be for.
async fn steps_and_strangers(db: &Db) -> Result<(i64, i64), StoreError> {
    let mut reading = db.read().await?;
    let schema = schema_of(&mut reading).await?;
    let strangers = count(
        &mut reading,
        "SELECT COUNT(*) FROM sqlite_master WHERE type = 'table' AND name <> '_sqlx_migrations' AND substr(name, 1, 7) <> 'sqlite_'",
    )
    .await?;
    Ok((schema, strangers))
}

/// Opens `file`, changing nothing, and proves it whole: SQLite's integrity and foreign-key checks, and what it holds.
/// `Err` carries the faults found; `NotARecord` when it is something else altogether.
pub async fn prove(file: &Path) -> Result<Proof, StoreError> {
    match look_through(file).await {
        Err(error @ StoreError::Sql(_)) if error.is_malformed() => {
            Err(StoreError::Damaged(vec![error.to_string()]))
        }
        Err(error) if error.is_no_database() => Err(StoreError::NotARecord(file.to_owned())),
        looked => looked,
    }
}

async fn look_through(file: &Path) -> Result<Proof, StoreError> {
    let mut connection = checks::opened(file).await?;
    let answers: Vec<String> = sqlx::query_scalar("PRAGMA integrity_check(100)")
        .fetch_all(&mut connection)
        .await?;
    let faults = checks::faults_in(answers);
    if !faults.is_empty() {
        return Err(StoreError::Damaged(faults));
    }
    let orphans = sqlx::query("PRAGMA foreign_key_check")
        .fetch_all(&mut connection)
        .await?;
    if !orphans.is_empty() {
        return Err(StoreError::Damaged(vec![format!(
            "{} rows refer to something that is not there",
            orphans.len()
        )]));
    }
    let schema = schema_of(&mut connection).await?;
    if schema == 0 {
        return Err(StoreError::NotARecord(file.to_owned()));
    }
    let proof = Proof {
        schema,
        accounts: count(&mut connection, "SELECT COUNT(*) FROM accounts").await?,
        anglers: count(&mut connection, ANGLERS).await?,
        matches: count(&mut connection, MATCHES).await?,
        sessions: count(&mut connection, SESSIONS).await?,
        weather_days: count(&mut connection, WEATHER_DAYS).await?,
        newest: sqlx::query_scalar::<_, Option<i64>>("SELECT MAX(entered_utc) FROM sessions")
            .fetch_one(&mut connection)
            .await?
            .map(Instant),
    };
    connection.close().await?;
    Ok(proof)
}

// As the pages list them: without what was joined to another, taken back or undone with its file. Of
// tables alone, which an older record has as well.
const ANGLERS: &str = "SELECT COUNT(*) FROM anglers WHERE merged_into IS NULL
   AND (import_id IS NULL OR import_id NOT IN (SELECT id FROM imports WHERE state = 'undone'))";
const MATCHES: &str = "SELECT COUNT(*) FROM matches
   WHERE import_id IS NULL OR import_id NOT IN (SELECT id FROM imports WHERE state = 'undone')";
const SESSIONS: &str = "SELECT COUNT(*) FROM sessions WHERE removed_utc IS NULL
   AND (import_id IS NULL OR import_id NOT IN (SELECT id FROM imports WHERE state = 'undone'))
   AND (entry_id IS NULL OR entry_id NOT IN (SELECT e.id FROM entries AS e
        JOIN matches AS m ON m.id = e.match_id JOIN imports AS i ON i.id = m.import_id WHERE i.state = 'undone'))";
const WEATHER_DAYS: &str =
    "SELECT COUNT(*) FROM (SELECT DISTINCT source_id, on_date FROM weather_days
   WHERE import_id IS NULL OR import_id NOT IN (SELECT id FROM imports WHERE state = 'undone'))";

async fn count(
    connection: &mut SqliteConnection,
    question: &'static str,
) -> Result<i64, StoreError> {
    Ok(sqlx::query_scalar(question).fetch_one(connection).await?)
}
