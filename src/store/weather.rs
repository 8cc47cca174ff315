//! Weather of the days: what each source says, how a venue ranks its sources, and the choices
//! made where two disagree. [`effective_days`] is what everything else reads.

use sqlx::SqliteConnection;

use super::StoreError;
use crate::domain::{
    dates::{Day, Instant},
    ids::{AccountId, ImportId, SourceId, VenueId},
    weather::{Cloud, DailyWeather, Ice, Snow, WindFrom, sources::Element},
};

/// A source of weather, which belongs to the club.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    pub id: SourceId,
    pub name: String,
    /// `by hand`, `csv` or `ghcn-daily`.
    pub kind: String,
    /// Local time at which its day ends, `HH:MM`.
    pub day_ends_at: String,
    /// Days added to the printed date on import, −1 or 0.
    pub min_shift: i64,
    pub max_shift: i64,
    pub rain_shift: i64,
    /// How this venue ranks it; 1 is believed first. Absent where the venue does not use it.
    pub rank: Option<i64>,
}

/// What one source says of one day.
#[derive(Clone, Debug, PartialEq)]
pub struct SourceDay {
    pub source: SourceId,
    pub day: Day,
    pub version: i64,
    pub weather: DailyWeather,
}

/// An officer's choice of source for one element of one day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Choice {
    pub day: Day,
    pub element: Element,
    pub source: SourceId,
}

/// A venue as the weather pages need it.
#[derive(Clone, Debug)]
pub struct WeatherVenue {
    pub id: VenueId,
    pub pid: String,
    pub name: String,
    pub zone: String,
}

/// Who wrote a day, and from which import.
#[derive(Clone, Copy, Debug)]
pub struct Written {
    pub by: Option<AccountId>,
    pub import: Option<ImportId>,
    pub at: Instant,
}

pub async fn venues(connection: &mut SqliteConnection) -> Result<Vec<WeatherVenue>, StoreError> {
    Ok(sqlx::query_as!(
        WeatherVenue,
        r#"SELECT id AS "id: VenueId", pid, name, zone FROM venues ORDER BY name"#
    )
    .fetch_all(connection)
    .await?)
}

pub async fn venue(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<Option<WeatherVenue>, StoreError> {
    Ok(sqlx::query_as!(
        WeatherVenue,
        r#"SELECT id AS "id: VenueId", pid, name, zone FROM venues WHERE id = ?"#,
        venue
    )
    .fetch_optional(connection)
    .await?)
}

/// The sources a venue uses, the one believed first at the head.
pub async fn sources_of(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<Vec<Source>, StoreError> {
    Ok(all_sources(connection, venue)
        .await?
        .into_iter()
        .filter(|source| source.rank.is_some())
        .collect())
}

/// Every source of the club: those the venue uses by rank, then the others by name. Another
/// venue's notes by hand are left out.
pub async fn all_sources(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<Vec<Source>, StoreError> {
    Ok(sqlx::query_as!(
        Source,
        r#"SELECT s.id AS "id: SourceId", s.name, s.kind, s.day_ends_at,
                  s.min_shift_days AS min_shift, s.max_shift_days AS max_shift,
                  s.rain_shift_days AS rain_shift, v.rank AS "rank?"
           FROM weather_sources AS s
           LEFT JOIN venue_sources AS v ON v.source_id = s.id AND v.venue_id = ?
           WHERE s.kind <> 'by hand' OR v.rank IS NOT NULL
           ORDER BY v.rank IS NULL, v.rank, s.id"#,
        venue
    )
    .fetch_all(connection)
    .await?)
}

/// The sources that are read from files.
pub async fn file_sources(connection: &mut SqliteConnection) -> Result<Vec<Source>, StoreError> {
    Ok(sqlx::query_as!(
        Source,
        r#"SELECT id AS "id: SourceId", name, kind, day_ends_at, min_shift_days AS min_shift,
                  max_shift_days AS max_shift, rain_shift_days AS rain_shift,
                  NULL AS "rank?: i64"
           FROM weather_sources WHERE kind <> 'by hand' ORDER BY name"#
    )
    .fetch_all(connection)
    .await?)
}

/// The source a venue's people write into; `None` until somebody wrote.
pub async fn by_hand(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<Option<SourceId>, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT s.id AS "id: SourceId" FROM weather_sources AS s
           JOIN venue_sources AS v ON v.source_id = s.id
           WHERE v.venue_id = ? AND s.kind = 'by hand' ORDER BY v.rank LIMIT 1"#,
        venue
    )
    .fetch_optional(connection)
    .await?)
}

/// Adds a source of `kind` (`by hand`, `csv` or `ghcn-daily`).
pub async fn insert_source(
    connection: &mut SqliteConnection,
    name: &str,
    kind: &str,
    day_ends_at: &str,
) -> Result<SourceId, StoreError> {
    let id = sqlx::query!(
        "INSERT INTO weather_sources (name, kind, day_ends_at) VALUES (?, ?, ?)",
        name,
        kind,
        day_ends_at
    )
    .execute(connection)
    .await?
    .last_insert_rowid();
    Ok(SourceId(id))
}

pub async fn update_source(
    connection: &mut SqliteConnection,
    source: &Source,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE weather_sources SET name = ?, day_ends_at = ?, min_shift_days = ?,
                max_shift_days = ?, rain_shift_days = ? WHERE id = ?",
        source.name,
        source.day_ends_at,
        source.min_shift,
        source.max_shift,
        source.rain_shift,
        source.id
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// Says how a venue ranks a source; `None` stops using it there.
pub async fn set_rank(
    connection: &mut SqliteConnection,
    venue: VenueId,
    source: SourceId,
    rank: Option<i64>,
) -> Result<(), StoreError> {
    match rank {
        Some(rank) => {
            sqlx::query!(
                "INSERT INTO venue_sources (venue_id, source_id, rank) VALUES (?, ?, ?)
             ON CONFLICT DO UPDATE SET rank = excluded.rank WHERE rank <> excluded.rank",
                venue,
                source,
                rank
            )
            .execute(connection)
            .await?
        }
        None => {
            sqlx::query!(
                "DELETE FROM venue_sources WHERE venue_id = ? AND source_id = ?",
                venue,
                source
            )
            .execute(connection)
            .await?
        }
    };
    Ok(())
}

/// Writes what a source says of a day, over what it said before; its version rises by one.
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
        "INSERT INTO weather_days (source_id, on_date, min_c, max_c, rain_mm, rain_trace, wind_ms,
                wind_from_deg, wind_variable, pressure_hpa, cloud, snow, ice, import_id,
                entered_by, entered_utc)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
         ON CONFLICT DO UPDATE SET ver = ver + 1, min_c = excluded.min_c, max_c = excluded.max_c,
                rain_mm = excluded.rain_mm, rain_trace = excluded.rain_trace,
                wind_ms = excluded.wind_ms, wind_from_deg = excluded.wind_from_deg,
                wind_variable = excluded.wind_variable, pressure_hpa = excluded.pressure_hpa,
                cloud = excluded.cloud, snow = excluded.snow, ice = excluded.ice,
                import_id = excluded.import_id, entered_by = excluded.entered_by,
                entered_utc = excluded.entered_utc",
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

/// What every source of a venue says of the days from `from` to `to`, both included, ordered by
/// day and then by rank. Days of an undone import are left out.
pub async fn days_by_source(
    connection: &mut SqliteConnection,
    venue: VenueId,
    from: Day,
    to: Day,
) -> Result<Vec<SourceDay>, StoreError> {
    let rows = sqlx::query_as!(
        DayRow,
        r#"SELECT w.source_id AS "source!: SourceId", w.on_date AS "day: Day", w.ver AS version,
                  w.min_c, w.max_c, w.rain_mm, w.rain_trace AS "rain_trace: bool", w.wind_ms,
                  w.wind_from_deg, w.wind_variable AS "wind_variable: bool", w.pressure_hpa,
                  w.cloud, w.snow, w.ice
           FROM weather_days AS w
           JOIN venue_sources AS v ON v.source_id = w.source_id AND v.venue_id = ?
           LEFT JOIN imports AS i ON i.id = w.import_id
           WHERE w.on_date BETWEEN ? AND ? AND (i.id IS NULL OR i.state <> 'undone')
           ORDER BY w.on_date, v.rank, w.source_id"#,
        venue,
        from,
        to
    )
    .fetch_all(connection)
    .await?;
    Ok(rows.into_iter().map(SourceDay::from).collect())
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
        r#"SELECT w.source_id AS "source!: SourceId", w.on_date AS "day: Day", w.ver AS version,
                  w.min_c, w.max_c, w.rain_mm, w.rain_trace AS "rain_trace: bool", w.wind_ms,
                  w.wind_from_deg, w.wind_variable AS "wind_variable: bool", w.pressure_hpa,
                  w.cloud, w.snow, w.ice
           FROM weather_days AS w LEFT JOIN imports AS i ON i.id = w.import_id
           WHERE w.source_id = ? AND w.on_date BETWEEN ? AND ?
             AND (i.id IS NULL OR i.state <> 'undone')
           ORDER BY w.on_date"#,
        source,
        from,
        to
    )
    .fetch_all(connection)
    .await?;
    Ok(rows.into_iter().map(SourceDay::from).collect())
}

pub async fn choices(
    connection: &mut SqliteConnection,
    venue: VenueId,
    from: Day,
    to: Day,
) -> Result<Vec<Choice>, StoreError> {
    let rows = sqlx::query!(
        r#"SELECT on_date AS "day: Day", element, source_id AS "source: SourceId"
           FROM weather_choice WHERE venue_id = ? AND on_date BETWEEN ? AND ?"#,
        venue,
        from,
        to
    )
    .fetch_all(connection)
    .await?;
    Ok(rows
        .into_iter()
        .filter_map(|row| {
            Some(Choice {
                day: row.day,
                element: Element::from_slug(&row.element)?,
                source: row.source,
            })
        })
        .collect())
}

/// Records a choice; `None` leaves the element to the ranks again.
pub async fn put_choice(
    connection: &mut SqliteConnection,
    venue: VenueId,
    (day, element): (Day, Element),
    source: Option<SourceId>,
    written: Written,
) -> Result<(), StoreError> {
    let element = element.slug();
    match source {
        Some(source) => sqlx::query!(
            "INSERT INTO weather_choice (venue_id, on_date, element, source_id, chosen_by, chosen_utc)
             VALUES (?, ?, ?, ?, ?, ?)
             ON CONFLICT DO UPDATE SET source_id = excluded.source_id,
                    chosen_by = excluded.chosen_by, chosen_utc = excluded.chosen_utc",
            venue,
            day,
            element,
            source,
            written.by,
            written.at
        )
        .execute(connection)
        .await?,
        None => sqlx::query!(
            "DELETE FROM weather_choice WHERE venue_id = ? AND on_date = ? AND element = ?",
            venue,
            day,
            element
        )
        .execute(connection)
        .await?,
    };
    Ok(())
}

/// The weather of a venue from `from` to `to`, both included, ordered by day: for each element
/// the chosen source, else the first in rank that knows it. A day of which nothing is known is
/// absent, never filled in.
pub async fn effective_days(
    connection: &mut SqliteConnection,
    venue: VenueId,
    from: Day,
    to: Day,
) -> Result<Vec<(Day, DailyWeather)>, StoreError> {
    let said = days_by_source(connection, venue, from, to).await?;
    let chosen = choices(connection, venue, from, to).await?;
    Ok(said
        .chunk_by(|a, b| a.day == b.day)
        .map(|of_day| (of_day[0].day, effective(of_day, &chosen)))
        .filter(|(_, weather)| !weather.is_empty())
        .collect())
}

/// One day out of what its sources say, ordered by rank, and the choices made.
pub fn effective(said: &[SourceDay], chosen: &[Choice]) -> DailyWeather {
    let mut out = DailyWeather::default();
    for element in Element::ALL {
        if let Some(of) = believed(said, chosen, *element) {
            element.copy(&of.weather, &mut out);
        }
    }
    out
}

/// Whose figure stands for an element of a day, if anybody has one.
pub fn believed<'a>(
    said: &'a [SourceDay],
    chosen: &[Choice],
    element: Element,
) -> Option<&'a SourceDay> {
    let choice = said.iter().find(|of| {
        let this = |c: &Choice| c.day == of.day && c.element == element && c.source == of.source;
        element.known(&of.weather) && chosen.iter().any(this)
    });
    choice.or_else(|| said.iter().find(|of| element.known(&of.weather)))
}
