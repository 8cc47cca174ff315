//! What the club has set for itself: its name and how people's names are shown.

use sqlx::SqliteConnection;

use super::StoreError;
use crate::domain::club::Club;

pub async fn get(
    connection: &mut SqliteConnection,
    key: &str,
) -> Result<Option<String>, StoreError> {
    Ok(
        sqlx::query_scalar!("SELECT value FROM settings WHERE key = ?", key)
            .fetch_optional(connection)
            .await?,
    )
}

pub async fn put(
    connection: &mut SqliteConnection,
    key: &str,
    value: &str,
) -> Result<(), StoreError> {
    sqlx::query!(
        "INSERT INTO settings (key, value) VALUES (?, ?) ON CONFLICT (key) DO UPDATE SET value = excluded.value",
        key, value
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// Everything the club has set.
pub async fn club(connection: &mut SqliteConnection) -> Result<Club, StoreError> {
    let rows = sqlx::query!("SELECT key, value FROM settings")
        .fetch_all(connection)
        .await?;
    let of = |key: &str| {
        let row = rows.iter().find(|row| row.key == key);
        row.map(|row| row.value.as_str())
    };
    Ok(Club::from_words(
        of("club_name").map(str::to_owned),
        of("names_open"),
        of("zone"),
    ))
}
