//! Readings of the water itself: temperature, level, clarity, at a peg or a depth where it
//! matters.

use sqlx::SqliteConnection;

use crate::{
    domain::{
        dates::{Day, Instant},
        ids::{AccountId, PegId, ReadingId, VenueId},
        weather::water::{Clarity, WaterFigures},
    },
    store::StoreError,
};

/// A reading as it is kept.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    pub id: ReadingId,
    pub version: i64,
    /// Local date at the water.
    pub day: Day,
    pub at: Instant,
    pub peg: Option<PegId>,
    pub peg_number: Option<String>,
    pub figures: WaterFigures,
    pub by: Option<AccountId>,
}

/// A reading about to be kept.
#[derive(Clone, Debug, PartialEq)]
pub struct NewReading {
    pub day: Day,
    pub at: Instant,
    pub peg: Option<PegId>,
    pub figures: WaterFigures,
}

struct Row {
    id: ReadingId,
    version: i64,
    day: Day,
    at: Instant,
    peg: Option<PegId>,
    peg_number: Option<String>,
    depth_m: Option<f64>,
    temp_c: Option<f64>,
    level_m: Option<f64>,
    clarity: Option<String>,
    by: Option<AccountId>,
}

impl From<Row> for Reading {
    fn from(row: Row) -> Self {
        Self {
            id: row.id,
            version: row.version,
            day: row.day,
            at: row.at,
            peg: row.peg,
            peg_number: row.peg_number,
            figures: WaterFigures {
                temp_c: row.temp_c,
                level_m: row.level_m,
                depth_m: row.depth_m,
                clarity: row.clarity.as_deref().and_then(Clarity::from_slug),
            },
            by: row.by,
        }
    }
}

/// One page of a venue's readings, the latest first; or the one called `id`.
async fn fetch(
    connection: &mut SqliteConnection,
    venue: VenueId,
    id: Option<ReadingId>,
    skip: i64,
    rows: i64,
) -> Result<Vec<Reading>, StoreError> {
    let rows = sqlx::query_as!(
        Row,
        r#"SELECT r.id AS "id: ReadingId", r.ver AS version, r.on_date AS "day: Day",
                  r.at_utc AS "at: Instant", r.peg_id AS "peg: PegId", p.number AS "peg_number?",
                  r.depth_m, r.temp_c, r.level_m, r.clarity, r.by_account AS "by: AccountId"
           FROM water_readings AS r LEFT JOIN pegs AS p ON p.id = r.peg_id
           WHERE r.venue_id = ?1 AND (?2 IS NULL OR r.id = ?2)
           ORDER BY r.on_date DESC, r.at_utc DESC, r.id DESC LIMIT ?3 OFFSET ?4"#,
        venue,
        id,
        rows,
        skip
    )
    .fetch_all(connection)
    .await?;
    Ok(rows.into_iter().map(Reading::from).collect())
}

/// A venue's readings from the `skip`th on, the latest first.
pub async fn of_venue(
    connection: &mut SqliteConnection,
    venue: VenueId,
    skip: i64,
    rows: i64,
) -> Result<Vec<Reading>, StoreError> {
    fetch(connection, venue, None, skip, rows).await
}

pub async fn by_id(
    connection: &mut SqliteConnection,
    venue: VenueId,
    id: ReadingId,
) -> Result<Option<Reading>, StoreError> {
    Ok(fetch(connection, venue, Some(id), 0, 1).await?.pop())
}

/// How many readings a venue has, and how many days with a temperature.
pub async fn counts(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<(i64, i64), StoreError> {
    let row = sqlx::query!(
        r#"SELECT COUNT(*) AS "all!: i64",
                  COUNT(DISTINCT CASE WHEN temp_c IS NOT NULL THEN on_date END) AS "days!: i64"
           FROM water_readings WHERE venue_id = ?"#,
        venue
    )
    .fetch_one(connection)
    .await?;
    Ok((row.all, row.days))
}

/// The same reading, if it is there already: sent twice, it is kept once.
pub async fn same(
    connection: &mut SqliteConnection,
    venue: VenueId,
    reading: &NewReading,
    by: Option<AccountId>,
) -> Result<Option<ReadingId>, StoreError> {
    let clarity = reading.figures.clarity.map(Clarity::slug);
    Ok(sqlx::query_scalar!(
        r#"SELECT id AS "id: ReadingId" FROM water_readings
           WHERE venue_id = ? AND on_date = ? AND at_utc = ? AND by_account IS ? AND peg_id IS ?
             AND depth_m IS ? AND temp_c IS ? AND level_m IS ? AND clarity IS ? LIMIT 1"#,
        venue,
        reading.day,
        reading.at,
        by,
        reading.peg,
        reading.figures.depth_m,
        reading.figures.temp_c,
        reading.figures.level_m,
        clarity
    )
    .fetch_optional(connection)
    .await?)
}

pub async fn insert(
    connection: &mut SqliteConnection,
    venue: VenueId,
    reading: &NewReading,
    by: Option<AccountId>,
) -> Result<ReadingId, StoreError> {
    let clarity = reading.figures.clarity.map(Clarity::slug);
    let made = sqlx::query!(
        "INSERT INTO water_readings (venue_id, on_date, at_utc, peg_id, depth_m, temp_c, level_m, clarity, by_account)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        venue,
        reading.day,
        reading.at,
        reading.peg,
        reading.figures.depth_m,
        reading.figures.temp_c,
        reading.figures.level_m,
        clarity,
        by
    )
    .execute(connection)
    .await?;
    Ok(ReadingId(made.last_insert_rowid()))
}

/// Saves over version `version`; `false` when somebody saved first.
pub async fn update(
    connection: &mut SqliteConnection,
    id: ReadingId,
    version: i64,
    reading: &NewReading,
) -> Result<bool, StoreError> {
    let clarity = reading.figures.clarity.map(Clarity::slug);
    let saved = sqlx::query!(
        "UPDATE water_readings SET ver = ver + 1, on_date = ?, at_utc = ?, peg_id = ?, depth_m = ?,
                temp_c = ?, level_m = ?, clarity = ? WHERE id = ? AND ver = ?",
        reading.day,
        reading.at,
        reading.peg,
        reading.figures.depth_m,
        reading.figures.temp_c,
        reading.figures.level_m,
        clarity,
        id,
        version
    )
    .execute(connection)
    .await?;
    Ok(saved.rows_affected() == 1)
}

/// Takes a reading out; `false` when somebody changed it meanwhile.
pub async fn remove(
    connection: &mut SqliteConnection,
    id: ReadingId,
    version: i64,
) -> Result<bool, StoreError> {
    let gone = sqlx::query!(
        "DELETE FROM water_readings WHERE id = ? AND ver = ?",
        id,
        version
    )
    .execute(connection)
    .await?;
    Ok(gone.rows_affected() == 1)
}
