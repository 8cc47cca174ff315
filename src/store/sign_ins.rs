//! Browser sign-ins. A sign-in is known by the hash of its token only.

use sqlx::SqliteConnection;

use super::{StoreError, marks::SettingsMark};
use crate::domain::{
    accounts::Role,
    dates::Instant,
    ids::*,
    units::{Scale, Speed, Units},
};

/// Somebody signed in, as every request needs to know them.
#[derive(Clone, Debug)]
pub struct SignedIn {
    pub sign_in: SignInId,
    pub account: AccountId,
    pub pid: Pid,
    pub name: String,
    pub role: Role,
    pub angler: Option<AnglerId>,
    /// How figures are shown to them.
    pub units: Units,
    pub last_seen: Instant,
    /// When the password was last given.
    pub reauth: Instant,
}

/// Who holds this token; `None` when it is unknown or the account is disabled. With them the mark
/// of what the club has set, which the head of every page rests on.
pub async fn by_token(
    connection: &mut SqliteConnection,
    token_sha256: &[u8],
) -> Result<Option<(SignedIn, SettingsMark)>, StoreError> {
    let row = sqlx::query!(
        r#"SELECT s.id AS "sign_in!: SignInId", a.id AS "account!: AccountId", a.pid AS "pid!: Pid", a.name AS "name!",
                  a.role AS "role!: Role", g.id AS "angler?: AnglerId",
                  a.shown_weights AS "shown_weights?: Scale", a.shown_wind AS "shown_wind!: Speed",
                  s.last_seen_utc AS "last_seen!: Instant", s.reauth_utc AS "reauth!: Instant",
                  (SELECT settings FROM club_marks) AS "settings!: SettingsMark"
           FROM sign_ins AS s
           JOIN accounts AS a ON a.id = s.account_id AND a.disabled_utc IS NULL
           LEFT JOIN anglers AS g ON g.account_id = a.id
           WHERE s.token_sha256 = ?"#,
        token_sha256
    )
    .fetch_optional(connection)
    .await?;
    Ok(row.map(|row| {
        let who = SignedIn {
            sign_in: row.sign_in,
            account: row.account,
            pid: row.pid,
            name: row.name,
            role: row.role,
            angler: row.angler,
            units: Units {
                weights: row.shown_weights,
                wind: row.shown_wind,
            },
            last_seen: row.last_seen,
            reauth: row.reauth,
        };
        (who, row.settings)
    }))
}

pub async fn insert(
    connection: &mut SqliteConnection,
    token_sha256: &[u8],
    account: AccountId,
    now: Instant,
    device: &str,
) -> Result<(), StoreError> {
    sqlx::query!(
        "INSERT INTO sign_ins (token_sha256, account_id, created_utc, last_seen_utc, reauth_utc, device) VALUES (?, ?, ?, ?, ?, ?)",
        token_sha256, account, now, now, now, device
    )
    .execute(connection)
    .await?;
    Ok(())
}

pub async fn touch(
    connection: &mut SqliteConnection,
    id: SignInId,
    now: Instant,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE sign_ins SET last_seen_utc = ? WHERE id = ?",
        now,
        id
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// A sign-in as its owner sees it in the list.
pub struct SignInLine {
    pub id: SignInId,
    pub created: Instant,
    pub last_seen: Instant,
    pub device: String,
}

pub async fn of_account(
    connection: &mut SqliteConnection,
    account: AccountId,
) -> Result<Vec<SignInLine>, StoreError> {
    Ok(sqlx::query_as!(
        SignInLine,
        r#"SELECT id AS "id: SignInId", created_utc AS "created: Instant", last_seen_utc AS "last_seen: Instant", device
           FROM sign_ins WHERE account_id = ? ORDER BY last_seen_utc DESC"#,
        account
    )
    .fetch_all(connection)
    .await?)
}

pub async fn delete(connection: &mut SqliteConnection, id: SignInId) -> Result<(), StoreError> {
    sqlx::query!("DELETE FROM sign_ins WHERE id = ?", id)
        .execute(connection)
        .await?;
    Ok(())
}

pub async fn delete_all(
    connection: &mut SqliteConnection,
    account: AccountId,
) -> Result<(), StoreError> {
    sqlx::query!("DELETE FROM sign_ins WHERE account_id = ?", account)
        .execute(connection)
        .await?;
    Ok(())
}

pub async fn delete_others(
    connection: &mut SqliteConnection,
    account: AccountId,
    keep: SignInId,
) -> Result<(), StoreError> {
    sqlx::query!(
        "DELETE FROM sign_ins WHERE account_id = ? AND id <> ?",
        account,
        keep
    )
    .execute(connection)
    .await?;
    Ok(())
}

pub async fn delete_idle(
    connection: &mut SqliteConnection,
    before: Instant,
) -> Result<u64, StoreError> {
    Ok(
        sqlx::query!("DELETE FROM sign_ins WHERE last_seen_utc < ?", before)
            .execute(connection)
            .await?
            .rows_affected(),
    )
}

/// The password was just given again.
pub async fn confirm(
    connection: &mut SqliteConnection,
    id: SignInId,
    now: Instant,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE sign_ins SET reauth_utc = ?, last_seen_utc = ? WHERE id = ?",
        now,
        now,
        id
    )
    .execute(connection)
    .await?;
    Ok(())
}
