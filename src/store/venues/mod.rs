//! Waters: a venue itself, its banks and pegs, closures and the diary.

mod closures;
pub mod diary;
mod pegs;
pub mod removal;

pub use closures::{ClosureLine, closures, end_closure, insert_closure};
pub use pegs::{
    PegPlace, banks, insert_bank, insert_peg, pegs, place_peg, retire_peg, update_bank,
};

use sqlx::SqliteConnection;

use super::StoreError;
use crate::domain::{
    dates::Zone,
    ids::*,
    units::Scale,
    venues::{CloseSeason, MonthDay, Venue, WaterKind},
};

/// A venue as the list shows it.
pub struct VenueLine {
    pub id: VenueId,
    pub name: String,
    pub kind: String,
    pub pegs: i64,
    pub banks: i64,
}

pub async fn all(connection: &mut SqliteConnection) -> Result<Vec<VenueLine>, StoreError> {
    Ok(sqlx::query_as!(
        VenueLine,
        r#"SELECT v.id AS "id: VenueId", v.name, v.kind,
                  (SELECT COUNT(*) FROM pegs AS p WHERE p.venue_id = v.id AND p.valid_to IS NULL) AS "pegs!: i64",
                  (SELECT COUNT(DISTINCT p.bank_id) FROM pegs AS p WHERE p.venue_id = v.id AND p.valid_to IS NULL) AS "banks!: i64"
           FROM venues AS v ORDER BY v.name COLLATE NOCASE"#
    )
    .fetch_all(connection)
    .await?)
}

fn unreadable(what: &str) -> StoreError {
    StoreError::Sql(sqlx::Error::Decode(
        format!("a stored value that is no {what}").into(),
    ))
}

pub async fn by_id(
    connection: &mut SqliteConnection,
    id: VenueId,
) -> Result<Option<Venue>, StoreError> {
    let row = sqlx::query!(
        r#"SELECT pid AS "pid: Pid", ver, name, kind, zone, lat, lon, weighs_in, rules_text, emergency_text, close_from, close_to
           FROM venues WHERE id = ?"#,
        id
    )
    .fetch_optional(connection)
    .await?;
    let Some(row) = row else { return Ok(None) };
    let month_day = |text: &str| MonthDay::parse(text).ok_or_else(|| unreadable("day of a year"));
    let close_season = match (&row.close_from, &row.close_to) {
        (Some(from), Some(to)) => Some(CloseSeason {
            from: month_day(from)?,
            to: month_day(to)?,
        }),
        _ => None,
    };
    Ok(Some(Venue {
        id,
        pid: row.pid,
        version: row.ver,
        name: row.name,
        kind: WaterKind::parse(&row.kind).ok_or_else(|| unreadable("kind of water"))?,
        zone: Zone::named(&row.zone).ok_or_else(|| unreadable("time zone"))?,
        position: row.lat.zip(row.lon),
        weighs_in: Scale::parse(&row.weighs_in).ok_or_else(|| unreadable("unit of scales"))?,
        rules: row.rules_text,
        emergency: row.emergency_text,
        close_season,
    }))
}

/// What is kept of a venue itself, as it is saved.
pub struct VenueRow<'a> {
    pub name: &'a str,
    pub kind: WaterKind,
    pub zone: &'a str,
    pub position: Option<(f64, f64)>,
    pub weighs_in: Scale,
    pub rules: Option<&'a str>,
    pub emergency: Option<&'a str>,
    pub close_season: Option<CloseSeason>,
}

pub async fn insert(
    connection: &mut SqliteConnection,
    pid: &Pid,
    row: &VenueRow<'_>,
) -> Result<VenueId, StoreError> {
    let (kind, scale) = (row.kind.as_str(), row.weighs_in.as_str());
    let (lat, lon) = row.position.unzip();
    let (from, to) = row
        .close_season
        .map(|s| (s.from.to_string(), s.to.to_string()))
        .unzip();
    let made = sqlx::query!(
        "INSERT INTO venues (pid, name, kind, zone, lat, lon, weighs_in, rules_text, emergency_text, close_from, close_to)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        pid, row.name, kind, row.zone, lat, lon, scale, row.rules, row.emergency, from, to
    )
    .execute(connection)
    .await?;
    Ok(VenueId(made.last_insert_rowid()))
}

/// Saves over version `version`; `false` when somebody saved first.
pub async fn update(
    connection: &mut SqliteConnection,
    id: VenueId,
    version: i64,
    row: &VenueRow<'_>,
) -> Result<bool, StoreError> {
    let (kind, scale) = (row.kind.as_str(), row.weighs_in.as_str());
    let (lat, lon) = row.position.unzip();
    let (from, to) = row
        .close_season
        .map(|s| (s.from.to_string(), s.to.to_string()))
        .unzip();
    let saved = sqlx::query!(
        "UPDATE venues SET ver = ver + 1, name = ?, kind = ?, zone = ?, lat = ?, lon = ?, weighs_in = ?, rules_text = ?,
                emergency_text = ?, close_from = ?, close_to = ? WHERE id = ? AND ver = ?",
        row.name, kind, row.zone, lat, lon, scale, row.rules, row.emergency, from, to, id, version
    )
    .execute(connection)
    .await?;
    Ok(saved.rows_affected() == 1)
}
