//! What must be let go before a file is undone, because it is not the file's own; and who undid it.

use sqlx::SqliteConnection;

use crate::{domain::ids::*, store::StoreError};

/// Sessions of the file's matches that hold an angler's own report.
pub async fn reports_within(
    connection: &mut SqliteConnection,
    id: ImportId,
) -> Result<Vec<SessionId>, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT s.id AS "id: SessionId" FROM sessions AS s
           JOIN entries AS e ON e.id = s.entry_id JOIN matches AS m ON m.id = e.match_id
           WHERE m.import_id = ? AND s.has_report = 1 AND s.removed_utc IS NULL"#,
        id
    )
    .fetch_all(connection)
    .await?)
}

/// Sessions the file brought in that have since become the session of a match that is not its own.
pub async fn joined_to_matches(
    connection: &mut SqliteConnection,
    id: ImportId,
) -> Result<Vec<SessionId>, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT s.id AS "id: SessionId" FROM sessions AS s
           JOIN entries AS e ON e.id = s.entry_id JOIN matches AS m ON m.id = e.match_id
           WHERE s.import_id = ?1 AND m.import_id IS NOT ?1"#,
        id
    )
    .fetch_all(connection)
    .await?)
}

/// Anglers the file brought in who have an account, or have fished or been entered elsewhere
/// since, are on the club's list in their own right.
pub async fn keep_anglers_in_use(
    connection: &mut SqliteConnection,
    id: ImportId,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE anglers SET import_id = NULL WHERE import_id = ?1 AND (
           account_id IS NOT NULL
           OR EXISTS (SELECT 1 FROM anglers AS other WHERE other.merged_into = anglers.id AND other.import_id IS NOT ?1)
           OR EXISTS (SELECT 1 FROM team_members AS t WHERE t.angler_id = anglers.id)
           OR EXISTS (SELECT 1 FROM entries AS e JOIN matches AS m ON m.id = e.match_id
                      LEFT JOIN imports AS i ON i.id = m.import_id
                      WHERE e.angler_id = anglers.id AND m.import_id IS NOT ?1 AND (i.id IS NULL OR i.state <> 'undone'))
           OR EXISTS (SELECT 1 FROM sessions AS s LEFT JOIN imports AS i ON i.id = s.import_id
                      WHERE s.angler_id = anglers.id AND s.entry_id IS NULL AND s.removed_utc IS NULL
                        AND s.import_id IS NOT ?1 AND (i.id IS NULL OR i.state <> 'undone')))",
        id
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// The account that undid a file; `None` of the command line, and of a file that is not undone.
pub async fn undone_by(
    connection: &mut SqliteConnection,
    id: ImportId,
) -> Result<Option<String>, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT a.name AS "name!" FROM imports AS i JOIN accounts AS a ON a.id = i.undone_by WHERE i.id = ?"#,
        id
    )
    .fetch_optional(connection)
    .await?)
}
