//! What the club has set for itself: its name and how people's names are shown. And whether the
//! whole record is made up.

use sqlx::SqliteConnection;

use super::StoreError;
use crate::domain::{club::Club, dates::Zone, names::NamesOpen};

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

pub async fn remove(connection: &mut SqliteConnection, key: &str) -> Result<(), StoreError> {
    sqlx::query!("DELETE FROM settings WHERE key = ?", key)
        .execute(connection)
        .await?;
    Ok(())
}

/// Writes on the record itself that everything in it is made up: it stays so wherever the folder
/// goes, and whichever command serves it.
pub async fn put_made_up(connection: &mut SqliteConnection) -> Result<(), StoreError> {
    put(connection, "made_up", "yes").await
}

/// What stands at the head of every page, and how names stand on it.
pub struct Head {
    pub club_name: Option<String>,
    pub names: NamesOpen,
    /// Nothing in the record is real.
    pub made_up: bool,
    /// The club's own, for the day on which a page is printed.
    pub zone: Zone,
}

pub async fn head(connection: &mut SqliteConnection) -> Result<Head, StoreError> {
    let rows = sqlx::query!(
        r#"SELECT key AS "key!", value AS "value!" FROM settings WHERE key IN ('club_name', 'names_open', 'made_up', 'zone')"#
    )
    .fetch_all(connection)
    .await?;
    let of = |key: &str| {
        let row = rows.iter().find(|row| row.key == key);
        row.map(|row| row.value.as_str())
    };
    let club = Club::from_words(None, of("names_open"), of("zone"));
    Ok(Head {
        club_name: of("club_name").map(str::to_owned),
        names: club.names,
        made_up: of("made_up") == Some("yes"),
        zone: club.zone,
    })
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

/// How far a new club has come.
#[derive(Clone, Copy, Debug)]
pub struct Begun {
    /// There is a second account.
    pub people: bool,
    /// There is a match or a report, made here or brought in.
    pub records: bool,
    /// A sheet of past results or sessions is in the record.
    pub sheets: bool,
}

pub async fn begun(connection: &mut SqliteConnection) -> Result<Begun, StoreError> {
    Ok(sqlx::query_as!(
        Begun,
        r#"SELECT EXISTS (SELECT 1 FROM accounts LIMIT 1 OFFSET 1) AS "people!: bool",
                  (EXISTS (SELECT 1 FROM matches) OR EXISTS (SELECT 1 FROM sessions)) AS "records!: bool",
                  EXISTS (SELECT 1 FROM imports WHERE state = 'done' AND kind IN ('results', 'sessions')) AS "sheets!: bool""#
    )
    .fetch_one(connection)
    .await?)
}
