//! The audit log: what was done, by whom. Append only; no passwords, tokens, names or report text.

use sqlx::SqliteConnection;

use super::StoreError;
use crate::domain::{dates::Instant, ids::Pid};

/// Adds a line. `verb` is a short phrase such as `signed in`; `detail` carries numbers and kinds only.
pub async fn add(
    connection: &mut SqliteConnection,
    at: Instant,
    actor: Option<&Pid>,
    verb: &str,
    subject: Option<&str>,
    detail: &str,
) -> Result<(), StoreError> {
    sqlx::query!(
        "INSERT INTO audit (at_utc, actor_pid, verb, subject_pid, detail) VALUES (?, ?, ?, ?, ?)",
        at,
        actor,
        verb,
        subject,
        detail
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// A line of the log, newest first on its page.
pub struct AuditLine {
    pub at: Instant,
    pub actor: Option<String>,
    pub verb: String,
    pub detail: String,
}

pub async fn newest(
    connection: &mut SqliteConnection,
    limit: i64,
    offset: i64,
) -> Result<Vec<AuditLine>, StoreError> {
    Ok(sqlx::query_as!(
        AuditLine,
        r#"SELECT a.at_utc AS "at: Instant", c.name AS "actor?", a.verb, a.detail
           FROM audit AS a LEFT JOIN accounts AS c ON c.pid = a.actor_pid
           ORDER BY a.id DESC LIMIT ? OFFSET ?"#,
        limit,
        offset
    )
    .fetch_all(connection)
    .await?)
}
