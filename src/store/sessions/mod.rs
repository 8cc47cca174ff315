//! Sessions: what was reported and what is shown of it.

use sqlx::SqliteConnection;

use super::StoreError;
use crate::domain::ids::*;

pub mod choices;
pub mod keeping;
pub mod reading;
pub mod seen;

/// Works the kept catches of a session out again, from the view that defines them. The only
/// writer of `session_catches`: call it after every change to a session's fish, to its entry's
/// outcome, nets or chosen weighings, inside the same transaction.
pub async fn refresh_catches(
    connection: &mut SqliteConnection,
    session: SessionId,
) -> Result<(), StoreError> {
    sqlx::query!("DELETE FROM session_catches WHERE session_id = ?", session)
        .execute(&mut *connection)
        .await?;
    sqlx::query!(
        "INSERT INTO session_catches (session_id, group_set, weight_g, fish_count, official)
         SELECT session_id, group_set, weight_g, fish_count, official FROM session_catches_worked WHERE session_id = ?",
        session
    )
    .execute(connection)
    .await?;
    Ok(())
}
