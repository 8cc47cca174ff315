//! Sources of weather: they belong to the club, and each venue ranks the ones it uses.

use sqlx::SqliteConnection;

use crate::{
    domain::ids::{SourceId, VenueId},
    store::StoreError,
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

impl Source {
    /// No two sources differ in capitals alone.
    pub fn is_called(&self, name: &str) -> bool {
        self.name.eq_ignore_ascii_case(name)
    }

    /// Would its days be counted otherwise under these settings?
    pub fn counts_otherwise(&self, other: &Self) -> bool {
        let counted = |of: &Self| (of.min_shift, of.max_shift, of.rain_shift);
        self.day_ends_at != other.day_ends_at || counted(self) != counted(other)
    }

    /// All that an officer can change of it. A form carries it back, so that whoever saves over
    /// another's change is told.
    pub fn token(&self) -> String {
        let rank = self.rank.map(|rank| rank.to_string()).unwrap_or_default();
        let shifts = (self.min_shift, self.max_shift, self.rain_shift);
        format!(
            "{} · {rank} · {} · {}, {}, {}",
            self.name, self.day_ends_at, shifts.0, shifts.1, shifts.2
        )
    }
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

/// The sources that a file brought in for a venue may continue. The venue's days written by hand are
/// among them for a file in our `own_layout` alone, as our own export of them is.
pub async fn file_sources(
    connection: &mut SqliteConnection,
    venue: VenueId,
    own_layout: bool,
) -> Result<Vec<Source>, StoreError> {
    Ok(sqlx::query_as!(
        Source,
        r#"SELECT id AS "id!: SourceId", name AS "name!", kind AS "kind!",
                  day_ends_at AS "day_ends_at!", min_shift_days AS "min_shift!",
                  max_shift_days AS "max_shift!", rain_shift_days AS "rain_shift!",
                  NULL AS "rank?: i64"
           FROM weather_sources WHERE kind <> 'by hand'
             OR (? AND id IN (SELECT v.source_id FROM venue_sources AS v WHERE v.venue_id = ?))
           ORDER BY name"#,
        own_layout,
        venue
    )
    .fetch_all(connection)
    .await?)
}

/// Has any source of the club this name, whatever its capitals?
pub async fn is_source_named(
    connection: &mut SqliteConnection,
    name: &str,
) -> Result<bool, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT EXISTS (SELECT 1 FROM weather_sources WHERE name = ?) AS "there!: bool""#,
        name
    )
    .fetch_one(connection)
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
