//! Once-only delivery: what was sent under which identifier, and what was answered.

use sqlx::SqliteConnection;

use super::StoreError;
use crate::domain::{dates::Instant, ids::*};

/// A form that was accepted.
pub struct Submission {
    pub owner: AccountId,
    pub body_sha256: Vec<u8>,
    pub answer_json: String,
}

pub async fn by_key(
    connection: &mut SqliteConnection,
    key: &str,
) -> Result<Option<Submission>, StoreError> {
    Ok(sqlx::query_as!(
        Submission,
        r#"SELECT owner_id AS "owner: AccountId", body_sha256, answer_json
           FROM submissions WHERE key = ? AND owner_kind = 'account'"#,
        key
    )
    .fetch_optional(connection)
    .await?)
}

/// What the latest report of the same words was answered, of those received since.
pub async fn same_words(
    connection: &mut SqliteConnection,
    owner: AccountId,
    body_sha256: &[u8],
    since: Instant,
) -> Result<Option<String>, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT answer_json AS "answer!: String" FROM submissions
           WHERE owner_kind = 'account' AND owner_id = ? AND kind = 'report' AND body_sha256 = ? AND received_utc >= ?
           ORDER BY received_utc DESC LIMIT 1"#,
        owner,
        body_sha256,
        since
    )
    .fetch_optional(connection)
    .await?)
}

/// A form about to be accepted.
pub struct Accepted<'a> {
    pub key: &'a str,
    pub owner: AccountId,
    pub kind: &'a str,
    pub body_sha256: &'a [u8],
    pub answer_json: &'a str,
    pub received: Instant,
}

pub async fn insert(
    connection: &mut SqliteConnection,
    accepted: &Accepted<'_>,
) -> Result<(), StoreError> {
    sqlx::query!(
        "INSERT INTO submissions (key, owner_kind, owner_id, kind, form_version, body_sha256, outcome, answer_json, received_utc)
         VALUES (?, 'account', ?, ?, 1, ?, 'accepted', ?, ?)",
        accepted.key,
        accepted.owner,
        accepted.kind,
        accepted.body_sha256,
        accepted.answer_json,
        accepted.received
    )
    .execute(connection)
    .await?;
    Ok(())
}
