//! What each source says of a day. A correction is a new version; what stands is the latest
//! that no undone import wrote.

use sqlx::SqliteConnection;

use super::{Written, sources_of};
use crate::{
    domain::{
        dates::Day,
        ids::{SourceId, VenueId},
        weather::{Cloud, DailyWeather, Ice, Snow, WindFrom},
    },
    store::StoreError,
};

/// What one source says of one day.
#[derive(Clone, Debug, PartialEq)]
pub struct SourceDay {
    pub source: SourceId,
    pub day: Day,
    pub version: i64,
    pub weather: DailyWeather,
}

/// Writes what a source says of a day as its next version.
pub async fn put_day(
    connection: &mut SqliteConnection,
    source: SourceId,
    day: Day,
    weather: &DailyWeather,
    written: Written,
) -> Result<(), StoreError> {
    let (from_deg, variable) = match weather.wind_from {
        Some(WindFrom::Degrees(degrees)) => (Some(degrees), false),
        Some(WindFrom::Variable) => (None, true),
        None => (None, false),
    };
    let cloud = weather.cloud.map(Cloud::slug);
    let snow = weather.snow.map(Snow::slug);
    let ice = weather.ice.map(Ice::slug);
    sqlx::query!(
        "INSERT INTO weather_days (source_id, on_date, ver, min_c, max_c, rain_mm, rain_trace, wind_ms,
                wind_from_deg, wind_variable, pressure_hpa, cloud, snow, ice, import_id,
                entered_by, entered_utc)
         VALUES (?1, ?2,
                 1 + COALESCE((SELECT MAX(ver) FROM weather_days WHERE source_id = ?1 AND on_date = ?2), 0),
                 ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16)",
        source,
        day,
        weather.min_c,
        weather.max_c,
        weather.rain_mm,
        weather.rain_trace,
        weather.wind_ms,
        from_deg,
        variable,
        weather.pressure_hpa,
        cloud,
        snow,
        ice,
        written.import,
        written.by,
        written.at
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// What one source says of the days from `from` to `to`, both included, whichever venues use it.
/// Days of an undone import are left out.
pub async fn days_of_source(
    connection: &mut SqliteConnection,
    source: SourceId,
    from: Day,
    to: Day,
) -> Result<Vec<SourceDay>, StoreError> {
    let rows = sqlx::query_as!(
        DayRow,
        r#"SELECT source_id AS "source!: SourceId", on_date AS "day!: Day", ver AS "version!",
                  min_c, max_c, rain_mm, rain_trace AS "rain_trace!: bool", wind_ms,
                  wind_from_deg, wind_variable AS "wind_variable!: bool", pressure_hpa,
                  cloud, snow, ice
           FROM weather_days_standing
           WHERE source_id = ? AND on_date BETWEEN ? AND ?
           ORDER BY on_date"#,
        source,
        from,
        to
    )
    .fetch_all(connection)
    .await?;
    Ok(rows.into_iter().map(SourceDay::from).collect())
}

/// Does the record hold a day of this source? Days of an undone import are left out.
pub async fn has_days(
    connection: &mut SqliteConnection,
    source: SourceId,
) -> Result<bool, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT EXISTS (SELECT 1 FROM weather_days_standing WHERE source_id = ?) AS "has!: bool""#,
        source
    )
    .fetch_one(connection)
    .await?)
}

/// What every source of a venue says of the days from `from` to `to`, both included, ordered by
/// day and then by rank.
pub async fn days_by_source(
    connection: &mut SqliteConnection,
    venue: VenueId,
    from: Day,
    to: Day,
) -> Result<Vec<SourceDay>, StoreError> {
    let mut said = Vec::new();
    for source in sources_of(connection, venue).await? {
        said.extend(days_of_source(connection, source.id, from, to).await?);
    }
    // Stable: within a day the order of the ranks stays.
    said.sort_by_key(|of| of.day);
    Ok(said)
}

struct DayRow {
    source: SourceId,
    day: Day,
    version: i64,
    min_c: Option<f64>,
    max_c: Option<f64>,
    rain_mm: Option<f64>,
    rain_trace: bool,
    wind_ms: Option<f64>,
    wind_from_deg: Option<f64>,
    wind_variable: bool,
    pressure_hpa: Option<f64>,
    cloud: Option<String>,
    snow: Option<String>,
    ice: Option<String>,
}

impl From<DayRow> for SourceDay {
    fn from(row: DayRow) -> Self {
        let wind_from = match (row.wind_variable, row.wind_from_deg) {
            (true, _) => Some(WindFrom::Variable),
            (false, degrees) => degrees.map(WindFrom::degrees),
        };
        Self {
            source: row.source,
            day: row.day,
            version: row.version,
            weather: DailyWeather {
                min_c: row.min_c,
                max_c: row.max_c,
                rain_mm: row.rain_mm,
                rain_trace: row.rain_trace,
                wind_ms: row.wind_ms,
                wind_from,
                pressure_hpa: row.pressure_hpa,
                cloud: row.cloud.as_deref().and_then(Cloud::from_slug),
                snow: row.snow.as_deref().and_then(Snow::from_slug),
                ice: row.ice.as_deref().and_then(Ice::from_slug),
            },
        }
    }
}
