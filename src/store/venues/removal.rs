//! What is recorded at a water, and taking a water off the record.

use sqlx::SqliteConnection;

use crate::{domain::ids::VenueId, store::StoreError};

/// What the audit log says of a water that was removed.
pub const REMOVED: &str = "removed a venue";

/// What is recorded at a water, counted. Its banks, pegs and closures are the water itself.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Recorded {
    /// As the club sees them: one of a match counts, whatever report joined it.
    pub sessions: i64,
    pub matches: i64,
    /// Written by hand.
    pub weather_days: i64,
    /// Where an officer settled between sources of weather.
    pub weather_choices: i64,
    /// Saved, undone ones among them: of one that is only laid out nothing was ever recorded.
    pub weather_files: i64,
    pub readings: i64,
    pub diary: i64,
    /// Reports kept from the club or taken back, and what an undone file made: not counted, because
    /// what is not shared enters no figure that others see.
    pub unseen: bool,
}

pub async fn recorded(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<Recorded, StoreError> {
    Ok(sqlx::query_as!(
        Recorded,
        r#"SELECT (SELECT COUNT(*) FROM sessions AS s WHERE s.venue_id = ?1 AND (s.visibility = 'club' OR s.entry_id IS NOT NULL) AND s.removed_utc IS NULL
                     AND NOT EXISTS (SELECT 1 FROM sessions_undone AS u WHERE u.id = s.id)) AS "sessions!: i64",
                  (SELECT COUNT(*) FROM matches AS m WHERE m.venue_id = ?1
                     AND NOT EXISTS (SELECT 1 FROM imports AS i WHERE i.id = m.import_id AND i.state = 'undone')) AS "matches!: i64",
                  (SELECT COUNT(DISTINCT w.on_date) FROM venue_sources AS v JOIN weather_sources AS o ON o.id = v.source_id AND o.kind = 'by hand'
                     JOIN weather_days AS w ON w.source_id = o.id WHERE v.venue_id = ?1) AS "weather_days!: i64",
                  (SELECT COUNT(*) FROM weather_choice AS c WHERE c.venue_id = ?1) AS "weather_choices!: i64",
                  (SELECT COUNT(*) FROM imports AS i WHERE i.kind IN ('weather', 'ghcn-daily') AND i.state <> 'uploaded'
                     AND json_extract(i.mapping_json, '$.venue') = ?1) AS "weather_files!: i64",
                  (SELECT COUNT(*) FROM water_readings AS r WHERE r.venue_id = ?1) AS "readings!: i64",
                  (SELECT COUNT(*) FROM venue_diary AS d WHERE d.venue_id = ?1) AS "diary!: i64",
                  (EXISTS (SELECT 1 FROM sessions AS s WHERE s.venue_id = ?1
                      AND ((s.visibility <> 'club' AND s.entry_id IS NULL) OR s.removed_utc IS NOT NULL
                           OR EXISTS (SELECT 1 FROM sessions_undone AS u WHERE u.id = s.id)))
                   OR EXISTS (SELECT 1 FROM matches AS m JOIN imports AS i ON i.id = m.import_id
                      WHERE m.venue_id = ?1 AND i.state = 'undone')) AS "unseen!: bool""#,
        venue
    )
    .fetch_one(connection)
    .await?)
}

/// Takes version `version` of a water off the record, its banks, pegs and closures with it, and the
/// weather files laid out for it that nobody saved; `false` when somebody saved the water since.
pub async fn remove(
    connection: &mut SqliteConnection,
    venue: VenueId,
    version: i64,
) -> Result<bool, StoreError> {
    let removed = sqlx::query!(
        "DELETE FROM venues WHERE id = ? AND ver = ?",
        venue,
        version
    )
    .execute(&mut *connection)
    .await?;
    if removed.rows_affected() != 1 {
        return Ok(false);
    }
    sqlx::query!(
        "DELETE FROM imports WHERE kind IN ('weather', 'ghcn-daily') AND state = 'uploaded'
           AND json_extract(mapping_json, '$.venue') = ?",
        venue
    )
    .execute(connection)
    .await?;
    Ok(true)
}

/// Was there a water of this number once? Numbers of waters are never given again.
pub async fn was_removed(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<bool, StoreError> {
    let detail = format!("venue {venue}");
    Ok(sqlx::query_scalar!(
        r#"SELECT EXISTS (SELECT 1 FROM audit WHERE verb = ? AND detail = ?) AS "there!: bool""#,
        REMOVED,
        detail
    )
    .fetch_one(connection)
    .await?)
}
