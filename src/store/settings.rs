//! What the club has set for itself: its name and how people's names are shown.

use sqlx::SqliteConnection;

use super::StoreError;

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
