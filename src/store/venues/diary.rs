//! The diary of a venue: what was done to the water, or befell it.

use sqlx::SqliteConnection;

use crate::{
    domain::{
        dates::{Day, Instant},
        ids::*,
    },
    store::StoreError,
};

/// What is written into the diary.
#[derive(Clone, Debug, PartialEq)]
pub struct DiaryEntry {
    pub on: Day,
    pub kind: String,
    pub words: String,
    pub kg: Option<f64>,
    pub group: Option<i64>,
}

/// An entry as it stands.
#[derive(Clone, Debug)]
pub struct DiaryLine {
    pub id: DiaryId,
    pub version: i64,
    pub on: Day,
    pub kind: String,
    pub words: String,
    pub kg: Option<f64>,
    pub group: Option<i64>,
}

impl DiaryLine {
    pub fn entry(&self) -> DiaryEntry {
        DiaryEntry {
            on: self.on,
            kind: self.kind.clone(),
            words: self.words.clone(),
            kg: self.kg,
            group: self.group,
        }
    }
}

pub async fn insert(
    connection: &mut SqliteConnection,
    venue: VenueId,
    entry: &DiaryEntry,
    by: Option<AccountId>,
    at: Instant,
) -> Result<(), StoreError> {
    sqlx::query!(
        "INSERT INTO venue_diary (venue_id, on_date, kind, words, kg, group_id, by_account, at_utc) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        venue, entry.on, entry.kind, entry.words, entry.kg, entry.group, by, at
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// The latest days first.
pub async fn of_venue(
    connection: &mut SqliteConnection,
    venue: VenueId,
    limit: i64,
) -> Result<Vec<DiaryLine>, StoreError> {
    Ok(sqlx::query_as!(
        DiaryLine,
        r#"SELECT id AS "id: DiaryId", ver AS version, on_date AS "on: Day", kind, words, kg, group_id AS "group"
           FROM venue_diary WHERE venue_id = ? ORDER BY on_date DESC, id DESC LIMIT ?"#,
        venue,
        limit
    )
    .fetch_all(connection)
    .await?)
}

pub async fn by_id(
    connection: &mut SqliteConnection,
    venue: VenueId,
    id: DiaryId,
) -> Result<Option<DiaryLine>, StoreError> {
    Ok(sqlx::query_as!(
        DiaryLine,
        r#"SELECT id AS "id: DiaryId", ver AS version, on_date AS "on: Day", kind, words, kg, group_id AS "group"
           FROM venue_diary WHERE venue_id = ? AND id = ?"#,
        venue,
        id
    )
    .fetch_optional(connection)
    .await?)
}

/// `false` when `version` is no longer the entry's.
pub async fn update(
    connection: &mut SqliteConnection,
    id: DiaryId,
    version: i64,
    entry: &DiaryEntry,
) -> Result<bool, StoreError> {
    let done = sqlx::query!(
        "UPDATE venue_diary SET ver = ver + 1, on_date = ?, kind = ?, words = ?, kg = ?, group_id = ? WHERE id = ? AND ver = ?",
        entry.on, entry.kind, entry.words, entry.kg, entry.group, id, version
    )
    .execute(connection)
    .await?;
    Ok(done.rows_affected() == 1)
}

/// `false` when `version` is no longer the entry's.
pub async fn delete(
    connection: &mut SqliteConnection,
    id: DiaryId,
    version: i64,
) -> Result<bool, StoreError> {
    let done = sqlx::query!(
        "DELETE FROM venue_diary WHERE id = ? AND ver = ?",
        id,
        version
    )
    .execute(connection)
    .await?;
    Ok(done.rows_affected() == 1)
}
