//! Files that were brought in: the file itself, how it was read, and a row for each record made
//! of it. Undoing changes the state alone; every view and page leaves undone imports out.

use std::collections::HashSet;

use sqlx::SqliteConnection;

use super::StoreError;
use crate::domain::{
    dates::Instant,
    ids::*,
    imports::{ImportKind, ImportState, RecordKind},
};

pub mod known;
pub mod records;
pub mod undoing;

/// A file as the record has it, its bytes apart (see [`content`]).
#[derive(Clone, Debug)]
pub struct Import {
    pub id: ImportId,
    pub file_name: String,
    pub file_sha256: Vec<u8>,
    pub kind: ImportKind,
    /// How it is read; what it holds belongs to the kind.
    pub mapping_json: String,
    pub state: ImportState,
    pub by_name: Option<String>,
    pub at: Instant,
    pub done: Option<Instant>,
    pub undone: Option<Instant>,
}

pub struct NewImport<'a> {
    pub file_name: &'a str,
    pub file_sha256: &'a [u8],
    pub content: &'a [u8],
    pub kind: ImportKind,
    pub mapping_json: &'a str,
    pub by: Option<AccountId>,
    pub at: Instant,
}

/// Keeps a file, laid out: nothing of it is in the record yet.
pub async fn insert(
    connection: &mut SqliteConnection,
    new: &NewImport<'_>,
) -> Result<ImportId, StoreError> {
    let row = sqlx::query!(
        "INSERT INTO imports (file_name, file_sha256, content, kind, mapping_json, state, by_account, at_utc)
         VALUES (?, ?, ?, ?, ?, 'uploaded', ?, ?)",
        new.file_name, new.file_sha256, new.content, new.kind, new.mapping_json, new.by, new.at
    )
    .execute(connection)
    .await?;
    Ok(ImportId(row.last_insert_rowid()))
}

pub async fn by_id(
    connection: &mut SqliteConnection,
    id: ImportId,
) -> Result<Option<Import>, StoreError> {
    Ok(sqlx::query_as!(
        Import,
        r#"SELECT i.id AS "id: ImportId", i.file_name, i.file_sha256, i.kind AS "kind: ImportKind", i.mapping_json,
                  i.state AS "state: ImportState", a.name AS "by_name?", i.at_utc AS "at: Instant",
                  i.done_utc AS "done: Instant", i.undone_utc AS "undone: Instant"
           FROM imports AS i LEFT JOIN accounts AS a ON a.id = i.by_account WHERE i.id = ?"#,
        id
    )
    .fetch_optional(connection)
    .await?)
}

/// The newest file of a kind that has these headings, as its plan keeps them.
pub async fn with_headings(
    connection: &mut SqliteConnection,
    kind: ImportKind,
    headings: &str,
) -> Result<Option<Import>, StoreError> {
    Ok(sqlx::query_as!(
        Import,
        r#"SELECT i.id AS "id: ImportId", i.file_name, i.file_sha256, i.kind AS "kind: ImportKind", i.mapping_json,
                  i.state AS "state: ImportState", a.name AS "by_name?", i.at_utc AS "at: Instant",
                  i.done_utc AS "done: Instant", i.undone_utc AS "undone: Instant"
           FROM imports AS i LEFT JOIN accounts AS a ON a.id = i.by_account
           WHERE i.kind = ? AND json_extract(i.mapping_json, '$.headings') = ?
           ORDER BY i.id DESC LIMIT 1"#,
        kind,
        headings
    )
    .fetch_optional(connection)
    .await?)
}

/// How each sheet in the record was read, the newest first.
pub async fn plans_in_record(connection: &mut SqliteConnection) -> Result<Vec<String>, StoreError> {
    Ok(sqlx::query_scalar!(
        "SELECT mapping_json FROM imports WHERE state = 'done' AND kind IN ('results', 'sessions') ORDER BY id DESC"
    )
    .fetch_all(connection)
    .await?)
}

/// The bytes of the file.
pub async fn content(
    connection: &mut SqliteConnection,
    id: ImportId,
) -> Result<Option<Vec<u8>>, StoreError> {
    Ok(
        sqlx::query_scalar!("SELECT content FROM imports WHERE id = ?", id)
            .fetch_optional(connection)
            .await?,
    )
}

pub async fn count(connection: &mut SqliteConnection) -> Result<i64, StoreError> {
    Ok(
        sqlx::query_scalar!(r#"SELECT COUNT(*) AS "n!: i64" FROM imports"#)
            .fetch_one(connection)
            .await?,
    )
}

/// A page of files, newest first.
pub async fn list(
    connection: &mut SqliteConnection,
    limit: i64,
    offset: i64,
) -> Result<Vec<Import>, StoreError> {
    Ok(sqlx::query_as!(
        Import,
        r#"SELECT i.id AS "id: ImportId", i.file_name, i.file_sha256, i.kind AS "kind: ImportKind", i.mapping_json,
                  i.state AS "state: ImportState", a.name AS "by_name?", i.at_utc AS "at: Instant",
                  i.done_utc AS "done: Instant", i.undone_utc AS "undone: Instant"
           FROM imports AS i LEFT JOIN accounts AS a ON a.id = i.by_account
           ORDER BY i.at_utc DESC, i.id DESC LIMIT ? OFFSET ?"#,
        limit,
        offset
    )
    .fetch_all(connection)
    .await?)
}

/// The weather files brought in for a venue, newest first.
pub async fn weather_of(
    connection: &mut SqliteConnection,
    venue: VenueId,
    limit: i64,
) -> Result<Vec<Import>, StoreError> {
    Ok(sqlx::query_as!(
        Import,
        r#"SELECT i.id AS "id: ImportId", i.file_name, i.file_sha256, i.kind AS "kind: ImportKind", i.mapping_json,
                  i.state AS "state: ImportState", a.name AS "by_name?", i.at_utc AS "at: Instant",
                  i.done_utc AS "done: Instant", i.undone_utc AS "undone: Instant"
           FROM imports AS i LEFT JOIN accounts AS a ON a.id = i.by_account
           WHERE i.kind IN ('weather', 'ghcn-daily') AND json_extract(i.mapping_json, '$.venue') = ?
           ORDER BY i.at_utc DESC, i.id DESC LIMIT ?"#,
        venue,
        limit
    )
    .fetch_all(connection)
    .await?)
}

/// How many records of each kind a file became. A day of weather carries its import itself.
pub async fn made(
    connection: &mut SqliteConnection,
    id: ImportId,
) -> Result<Vec<(RecordKind, i64)>, StoreError> {
    let rows = sqlx::query!(
        r#"SELECT kind AS "kind!: RecordKind", n AS "n!: i64" FROM (
             SELECT record_kind AS kind, COUNT(DISTINCT record_id) AS n FROM import_rows
             WHERE import_id = ?1 GROUP BY record_kind
             UNION ALL
             SELECT 'weather day', COUNT(*) FROM weather_days WHERE import_id = ?1)
           WHERE n > 0"#,
        id
    )
    .fetch_all(connection)
    .await?;
    let mut made: Vec<_> = rows.into_iter().map(|row| (row.kind, row.n)).collect();
    made.sort_unstable();
    Ok(made)
}

/// Keeps how a file is to be read; `false` when it is no longer laid out.
pub async fn set_mapping(
    connection: &mut SqliteConnection,
    id: ImportId,
    kind: ImportKind,
    mapping_json: &str,
) -> Result<bool, StoreError> {
    let done = sqlx::query!(
        "UPDATE imports SET kind = ?, mapping_json = ? WHERE id = ? AND state = 'uploaded'",
        kind,
        mapping_json,
        id
    )
    .execute(connection)
    .await?;
    Ok(done.rows_affected() == 1)
}

/// Marks a laid-out file as being in the record; `false` when it was not laid out any more.
/// Call it after its records are made, so that the marks are raised for all of them.
pub async fn finish(
    connection: &mut SqliteConnection,
    id: ImportId,
    now: Instant,
) -> Result<bool, StoreError> {
    let done = sqlx::query!(
        "UPDATE imports SET state = 'done', done_utc = ? WHERE id = ? AND state = 'uploaded'",
        now,
        id
    )
    .execute(connection)
    .await?;
    Ok(done.rows_affected() == 1)
}

/// Hides everything a file became; `false` when it was not in the record.
pub async fn undo(
    connection: &mut SqliteConnection,
    id: ImportId,
    by: Option<AccountId>,
    now: Instant,
) -> Result<bool, StoreError> {
    let done = sqlx::query!(
        "UPDATE imports SET state = 'undone', undone_utc = ?, undone_by = ? WHERE id = ? AND state = 'done'",
        now,
        by,
        id
    )
    .execute(connection)
    .await?;
    Ok(done.rows_affected() == 1)
}

/// Throws a file away that never came into the record; `false` when it did.
pub async fn discard(connection: &mut SqliteConnection, id: ImportId) -> Result<bool, StoreError> {
    let done = sqlx::query!(
        "DELETE FROM imports WHERE id = ? AND state = 'uploaded'
           AND NOT EXISTS (SELECT 1 FROM import_rows AS r WHERE r.import_id = imports.id)",
        id
    )
    .execute(connection)
    .await?;
    Ok(done.rows_affected() == 1)
}

/// Notes which record a row of a file became.
pub async fn keep_row(
    connection: &mut SqliteConnection,
    id: ImportId,
    row_sha256: &[u8],
    kind: RecordKind,
    record: i64,
) -> Result<(), StoreError> {
    sqlx::query!(
        "INSERT OR IGNORE INTO import_rows (import_id, row_sha256, record_kind, record_id) VALUES (?, ?, ?, ?)",
        id,
        row_sha256,
        kind,
        record
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// The rows that became records of `kind` and still are: no undone import among them.
pub async fn known_rows(
    connection: &mut SqliteConnection,
    kind: RecordKind,
) -> Result<HashSet<Vec<u8>>, StoreError> {
    let rows = sqlx::query_scalar!(
        r#"SELECT r.row_sha256 FROM import_rows AS r JOIN imports AS i ON i.id = r.import_id
           WHERE i.state = 'done' AND r.record_kind = ?"#,
        kind
    )
    .fetch_all(connection)
    .await?;
    Ok(rows.into_iter().collect())
}

/// The file with the same bytes that is in the record, if any: the newest.
pub async fn same_file(
    connection: &mut SqliteConnection,
    file_sha256: &[u8],
) -> Result<Option<ImportId>, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT id AS "id: ImportId" FROM imports WHERE file_sha256 = ? AND state = 'done' ORDER BY id DESC LIMIT 1"#,
        file_sha256
    )
    .fetch_optional(connection)
    .await?)
}
