//! Anglers, who may exist without an account. Their names are in `labels`, and only there.

use sqlx::SqliteConnection;

use super::StoreError;
use crate::domain::{dates::Day, ids::*, names::Name};

/// An angler with the name, if it has not been erased.
#[derive(Clone, Debug)]
pub struct Angler {
    pub id: AnglerId,
    pub pid: Pid,
    pub account: Option<AccountId>,
    pub given: Option<String>,
    pub surname: Option<String>,
    pub is_junior: bool,
    /// Fished as a junior once: shown so for ever.
    pub was_junior: bool,
    pub default_visibility: Option<String>,
    /// The one on the list who is the same person.
    pub merged_into: Option<AnglerId>,
}

impl Angler {
    /// The whole name, unless it has been erased.
    pub fn name(&self) -> Option<Name> {
        Some(Name::from_label(self.given.clone()?, self.surname.clone()))
    }

    /// Is this the angler's name, however it is spelt?
    pub fn is_called(&self, name: &Name) -> bool {
        self.name().is_some_and(|own| own.key() == name.key())
    }
}

/// One place for the columns of an angler; what follows says which.
macro_rules! angler {
    ($which:tt $(, $given:expr)*) => {
        sqlx::query_as!(
            Angler,
            r#"SELECT g.id AS "id: AnglerId", g.pid AS "pid: Pid", g.account_id AS "account: AccountId",
                      l.given AS "given?", l.surname AS "surname?", g.is_junior AS "is_junior: bool",
                      (EXISTS (SELECT 1 FROM sessions AS js WHERE js.angler_id = g.id AND js.was_junior = 1)
                       OR EXISTS (SELECT 1 FROM entries AS je WHERE je.angler_id = g.id AND je.was_junior = 1)) AS "was_junior!: bool",
                      g.default_visibility, g.merged_into AS "merged_into: AnglerId"
               FROM anglers AS g LEFT JOIN labels AS l ON l.id = g.label_id "# + $which
            $(, $given)*
        )
    };
}

pub async fn insert(
    connection: &mut SqliteConnection,
    pid: &Pid,
    given: &str,
    surname: Option<&str>,
    salt: &[u8],
    is_junior: bool,
    import: Option<ImportId>,
) -> Result<AnglerId, StoreError> {
    let label = sqlx::query!(
        "INSERT INTO labels (given, surname, salt) VALUES (?, ?, ?)",
        given,
        surname,
        salt
    )
    .execute(&mut *connection)
    .await?
    .last_insert_rowid();
    let row = sqlx::query!(
        "INSERT INTO anglers (pid, label_id, is_junior, import_id) VALUES (?, ?, ?, ?)",
        pid,
        label,
        is_junior,
        import
    )
    .execute(connection)
    .await?;
    Ok(AnglerId(row.last_insert_rowid()))
}

pub async fn by_id(
    connection: &mut SqliteConnection,
    id: AnglerId,
) -> Result<Option<Angler>, StoreError> {
    Ok(angler!("WHERE g.id = ?", id)
        .fetch_optional(connection)
        .await?)
}

pub async fn by_pid(
    connection: &mut SqliteConnection,
    pid: &Pid,
) -> Result<Option<Angler>, StoreError> {
    Ok(angler!("WHERE g.pid = ?", pid)
        .fetch_optional(connection)
        .await?)
}

/// The angler whom an account speaks for.
pub async fn speaking_for(
    connection: &mut SqliteConnection,
    account: AccountId,
) -> Result<Option<Angler>, StoreError> {
    Ok(angler!("WHERE g.account_id = ?", account)
        .fetch_optional(connection)
        .await?)
}

/// The one on the list for an angler: the same, or the one they were joined to.
pub async fn standing_for(
    connection: &mut SqliteConnection,
    id: AnglerId,
) -> Result<AnglerId, StoreError> {
    let other = sqlx::query_scalar!(
        r#"SELECT merged_into AS "other!: AnglerId" FROM anglers WHERE id = ? AND merged_into IS NOT NULL"#,
        id
    )
    .fetch_optional(connection)
    .await?;
    Ok(other.unwrap_or(id))
}

/// How lately an angler fished.
pub struct Fished {
    /// The last day of a match or of a report shared with the club.
    pub last: Option<Day>,
    pub sessions: i64,
}

pub async fn fished(connection: &mut SqliteConnection, id: AnglerId) -> Result<Fished, StoreError> {
    Ok(sqlx::query_as!(
        Fished,
        r#"SELECT MAX(CASE WHEN s.entry_id IS NOT NULL OR s.visibility = 'club' THEN s.fished_on END) AS "last?: Day",
                  COUNT(*) AS "sessions!: i64"
           FROM readable_sessions AS s WHERE s.angler_id = ?"#,
        id
    )
    .fetch_one(connection)
    .await?)
}

/// Every angler not merged into another, by surname then given name.
pub async fn all(connection: &mut SqliteConnection) -> Result<Vec<Angler>, StoreError> {
    Ok(angler!(
        "WHERE g.merged_into IS NULL
           AND (g.import_id IS NULL OR EXISTS (SELECT 1 FROM imports AS i WHERE i.id = g.import_id AND i.state <> 'undone'))
           ORDER BY l.surname COLLATE NOCASE, l.given COLLATE NOCASE, g.id"
    )
    .fetch_all(connection)
    .await?)
}

pub async fn set_account(
    connection: &mut SqliteConnection,
    id: AnglerId,
    account: Option<AccountId>,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE anglers SET account_id = ? WHERE id = ?",
        account,
        id
    )
    .execute(connection)
    .await?;
    Ok(())
}

pub async fn set_junior(
    connection: &mut SqliteConnection,
    id: AnglerId,
    is_junior: bool,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE anglers SET is_junior = ? WHERE id = ?",
        is_junior,
        id
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// Marks what is on record of an angler as a junior's.
pub async fn mark_was_junior(
    connection: &mut SqliteConnection,
    id: AnglerId,
) -> Result<(), StoreError> {
    sqlx::query!("UPDATE entries SET was_junior = 1 WHERE angler_id = ?", id)
        .execute(&mut *connection)
        .await?;
    sqlx::query!("UPDATE sessions SET was_junior = 1 WHERE angler_id = ?", id)
        .execute(connection)
        .await?;
    Ok(())
}

pub async fn rename(
    connection: &mut SqliteConnection,
    id: AnglerId,
    given: &str,
    surname: Option<&str>,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE labels SET given = ?, surname = ? WHERE id = (SELECT label_id FROM anglers WHERE id = ?)",
        given, surname, id
    )
    .execute(connection)
    .await?;
    Ok(())
}

pub async fn set_default_visibility(
    connection: &mut SqliteConnection,
    id: AnglerId,
    visibility: &str,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE anglers SET default_visibility = ? WHERE id = ?",
        visibility,
        id
    )
    .execute(connection)
    .await?;
    Ok(())
}
