//! The diary of a water.

use sqlx::SqliteConnection;

use crate::{
    domain::{
        dates::{Day, Instant},
        ids::*,
    },
    store::StoreError,
};

/// What is written into the diary.
pub struct DiaryEntry {
    pub on: Day,
    pub kind: String,
    pub words: String,
    pub kg: Option<f64>,
    pub group: Option<i64>,
}

pub async fn insert_diary(
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

/// The diary, latest day first.
pub async fn diary(
    connection: &mut SqliteConnection,
    venue: VenueId,
    limit: i64,
) -> Result<Vec<DiaryEntry>, StoreError> {
    Ok(sqlx::query_as!(
        DiaryEntry,
        r#"SELECT on_date AS "on: Day", kind, words, kg, group_id AS "group"
           FROM venue_diary WHERE venue_id = ? ORDER BY on_date DESC, id DESC LIMIT ?"#,
        venue,
        limit
    )
    .fetch_all(connection)
    .await?)
}
