//! Wrong tries at passwords, by a hash of the name or of the address.

use sqlx::SqliteConnection;

use super::StoreError;
use crate::domain::dates::Instant;

/// Failures so far and the last of them, for a name or an address.
pub async fn failures(
    connection: &mut SqliteConnection,
    kind: &str,
    subject_sha256: &[u8],
) -> Result<Option<(i64, Instant)>, StoreError> {
    let row = sqlx::query!(
        r#"SELECT failures, last_failure_utc AS "last: Instant" FROM throttle WHERE kind = ? AND subject_sha256 = ?"#,
        kind, subject_sha256
    )
    .fetch_optional(connection)
    .await?;
    Ok(row.map(|r| (r.failures, r.last)))
}

pub async fn add_failure(
    connection: &mut SqliteConnection,
    kind: &str,
    subject_sha256: &[u8],
    at: Instant,
) -> Result<(), StoreError> {
    sqlx::query!(
        "INSERT INTO throttle (kind, subject_sha256, failures, last_failure_utc) VALUES (?, ?, 1, ?)
         ON CONFLICT DO UPDATE SET failures = failures + 1, last_failure_utc = excluded.last_failure_utc",
        kind, subject_sha256, at
    )
    .execute(connection)
    .await?;
    Ok(())
}

pub async fn forget_failures(
    connection: &mut SqliteConnection,
    kind: &str,
    subject_sha256: &[u8],
) -> Result<(), StoreError> {
    sqlx::query!(
        "DELETE FROM throttle WHERE kind = ? AND subject_sha256 = ?",
        kind,
        subject_sha256
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// Takes one failure back that was counted at `at`; the last before it was at `before`.
pub async fn take_back(
    connection: &mut SqliteConnection,
    kind: &str,
    subject_sha256: &[u8],
    at: Instant,
    before: Option<Instant>,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE throttle SET failures = max(failures - 1, 0),
                last_failure_utc = CASE WHEN last_failure_utc = ?1 THEN coalesce(?2, last_failure_utc) ELSE last_failure_utc END
         WHERE kind = ?3 AND subject_sha256 = ?4",
        at,
        before,
        kind,
        subject_sha256
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!(
        "DELETE FROM throttle WHERE kind = ? AND subject_sha256 = ? AND failures = 0",
        kind,
        subject_sha256
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// Forgets failed sign-ins that were last added to before `before`.
pub async fn delete_failures(
    connection: &mut SqliteConnection,
    before: Instant,
) -> Result<u64, StoreError> {
    let gone = sqlx::query!("DELETE FROM throttle WHERE last_failure_utc < ?", before);
    Ok(gone.execute(connection).await?.rows_affected())
}
