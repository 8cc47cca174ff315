//! Accounts, their devices, and one-time links.

use sqlx::SqliteConnection;

use super::StoreError;
use crate::domain::{accounts::Role, dates::Instant, ids::*, units::Units};

pub struct Account {
    pub id: AccountId,
    pub pid: Pid,
    pub name: String,
    pub role: Role,
    pub phc: Option<String>,
    pub created: Instant,
    pub disabled: Option<Instant>,
}

/// One place for the columns of an account; what follows says which.
macro_rules! account {
    ($which:tt $(, $given:expr)*) => {
        sqlx::query_as!(
            Account,
            r#"SELECT id AS "id: AccountId", pid AS "pid: Pid", name, role AS "role: Role", phc,
                      created_utc AS "created: Instant", disabled_utc AS "disabled: Instant"
               FROM accounts "# + $which
            $(, $given)*
        )
    };
}

pub async fn insert(
    connection: &mut SqliteConnection,
    pid: &Pid,
    name: &str,
    name_key: &str,
    role: Role,
    created: Instant,
) -> Result<AccountId, StoreError> {
    let row = sqlx::query!(
        "INSERT INTO accounts (pid, name, name_key, role, created_utc) VALUES (?, ?, ?, ?, ?)",
        pid,
        name,
        name_key,
        role,
        created
    )
    .execute(connection)
    .await?;
    Ok(AccountId(row.last_insert_rowid()))
}

pub async fn by_name_key(
    connection: &mut SqliteConnection,
    name_key: &str,
) -> Result<Option<Account>, StoreError> {
    Ok(account!("WHERE name_key = ?", name_key)
        .fetch_optional(connection)
        .await?)
}

pub async fn by_id(
    connection: &mut SqliteConnection,
    id: AccountId,
) -> Result<Option<Account>, StoreError> {
    Ok(account!("WHERE id = ?", id)
        .fetch_optional(connection)
        .await?)
}

pub async fn by_pid(
    connection: &mut SqliteConnection,
    pid: &Pid,
) -> Result<Option<Account>, StoreError> {
    Ok(account!("WHERE pid = ?", pid)
        .fetch_optional(connection)
        .await?)
}

pub async fn all(connection: &mut SqliteConnection) -> Result<Vec<Account>, StoreError> {
    Ok(account!("ORDER BY name_key").fetch_all(connection).await?)
}

pub async fn set_password(
    connection: &mut SqliteConnection,
    id: AccountId,
    phc: &str,
) -> Result<(), StoreError> {
    sqlx::query!("UPDATE accounts SET phc = ? WHERE id = ?", phc, id)
        .execute(connection)
        .await?;
    Ok(())
}

pub async fn set_role(
    connection: &mut SqliteConnection,
    id: AccountId,
    role: Role,
) -> Result<(), StoreError> {
    sqlx::query!("UPDATE accounts SET role = ? WHERE id = ?", role, id)
        .execute(connection)
        .await?;
    Ok(())
}

/// How figures are shown to whoever holds the account.
pub async fn set_units(
    connection: &mut SqliteConnection,
    id: AccountId,
    units: Units,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE accounts SET shown_weights = ?, shown_wind = ? WHERE id = ?",
        units.weights,
        units.wind,
        id
    )
    .execute(connection)
    .await?;
    Ok(())
}

pub async fn set_disabled(
    connection: &mut SqliteConnection,
    id: AccountId,
    at: Option<Instant>,
) -> Result<(), StoreError> {
    sqlx::query!("UPDATE accounts SET disabled_utc = ? WHERE id = ?", at, id)
        .execute(connection)
        .await?;
    Ok(())
}

/// Administrators who can sign in.
pub async fn able_administrators(connection: &mut SqliteConnection) -> Result<i64, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT COUNT(*) AS "n!: i64" FROM accounts WHERE role = 'administrator' AND disabled_utc IS NULL AND phc IS NOT NULL"#
    )
    .fetch_one(connection)
    .await?)
}

/// Is there an administrator who has a password, or is signed in without one, as in a demonstration?
pub async fn has_administrator_inside(
    connection: &mut SqliteConnection,
) -> Result<bool, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT EXISTS (SELECT 1 FROM accounts AS a WHERE a.role = 'administrator' AND a.disabled_utc IS NULL
             AND (a.phc IS NOT NULL OR EXISTS (SELECT 1 FROM sign_ins AS s WHERE s.account_id = a.id))) AS "there!: bool""#
    )
    .fetch_one(connection)
    .await?)
}

/// A one-time link, by the hash of its token.
pub struct OneTimeLink {
    pub kind: String,
    pub account_id: Option<AccountId>,
    /// The sign-in name of its account.
    pub name: Option<String>,
    /// That account may not sign in.
    pub disabled: bool,
    pub expires: Instant,
    pub used: Option<Instant>,
}

pub async fn insert_link(
    connection: &mut SqliteConnection,
    token_sha256: &[u8],
    kind: &str,
    account: Option<AccountId>,
    created: Instant,
    expires: Instant,
) -> Result<(), StoreError> {
    sqlx::query!(
        "INSERT INTO one_time_links (token_sha256, kind, account_id, created_utc, expires_utc) VALUES (?, ?, ?, ?, ?)",
        token_sha256, kind, account, created, expires
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// A link with what has to be known of its account, in one question: whether a link works, and why
/// it does not, is then told by nothing but its answer.
pub async fn link(
    connection: &mut SqliteConnection,
    token_sha256: &[u8],
) -> Result<Option<OneTimeLink>, StoreError> {
    Ok(sqlx::query_as!(
        OneTimeLink,
        r#"SELECT l.kind AS "kind!", l.account_id AS "account_id?: AccountId", a.name AS "name?",
                  a.disabled_utc IS NOT NULL AS "disabled!: bool", l.expires_utc AS "expires!: Instant", l.used_utc AS "used?: Instant"
           FROM one_time_links AS l LEFT JOIN accounts AS a ON a.id = l.account_id WHERE l.token_sha256 = ?"#,
        token_sha256
    )
    .fetch_optional(connection)
    .await?)
}

/// Marks a link used; `false` when it was used already.
pub async fn spend_link(
    connection: &mut SqliteConnection,
    token_sha256: &[u8],
    at: Instant,
) -> Result<bool, StoreError> {
    let spent = sqlx::query!(
        "UPDATE one_time_links SET used_utc = ? WHERE token_sha256 = ? AND used_utc IS NULL",
        at,
        token_sha256
    )
    .execute(connection)
    .await?;
    Ok(spent.rows_affected() == 1)
}

/// An older link of an account stops working when a newer one is made.
pub async fn cancel_links(
    connection: &mut SqliteConnection,
    account: Option<AccountId>,
    kind: &str,
    at: Instant,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE one_time_links SET used_utc = ? WHERE account_id IS ? AND kind = ? AND used_utc IS NULL",
        at, account, kind
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// Forgets one-time links that ran out before `before`.
pub async fn delete_links(
    connection: &mut SqliteConnection,
    before: Instant,
) -> Result<u64, StoreError> {
    let gone = sqlx::query!("DELETE FROM one_time_links WHERE expires_utc < ?", before);
    Ok(gone.execute(connection).await?.rows_affected())
}

/// Has this device signed in to the account before?
pub async fn is_known_device(
    connection: &mut SqliteConnection,
    account: AccountId,
    token_sha256: &[u8],
) -> Result<bool, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT COUNT(*) AS "n!: i64" FROM known_devices WHERE account_id = ? AND token_sha256 = ?"#,
        account, token_sha256
    )
    .fetch_one(connection)
    .await?
        > 0)
}

pub async fn remember_device(
    connection: &mut SqliteConnection,
    account: AccountId,
    token_sha256: &[u8],
    at: Instant,
) -> Result<(), StoreError> {
    sqlx::query!(
        "INSERT INTO known_devices (account_id, token_sha256, last_used_utc) VALUES (?, ?, ?)
         ON CONFLICT DO UPDATE SET last_used_utc = excluded.last_used_utc",
        account,
        token_sha256,
        at
    )
    .execute(connection)
    .await?;
    Ok(())
}
