//! What else an angler fished in the hours of a report, at whatever water.

use sqlx::SqliteConnection;

use crate::{
    domain::{
        dates::{Day, Instant},
        ids::*,
    },
    store::StoreError,
};

/// A session of the angler's own whose hours overlap those of a report.
#[derive(Clone, Debug, PartialEq)]
pub struct Overlapping {
    pub pid: Pid,
    pub venue: VenueId,
    pub venue_name: String,
    /// The match it was fished in; none for a report that stands by itself.
    pub match_name: Option<String>,
}

/// The first such session of about that day, those at the same water before others. A match of
/// the same water is left out: a report of its hours is of that match. `but`: the report that is
/// being changed.
pub async fn first(
    connection: &mut SqliteConnection,
    angler: AnglerId,
    but: Option<SessionId>,
    (venue, day, (start, end)): (VenueId, Day, (Instant, Instant)),
) -> Result<Option<Overlapping>, StoreError> {
    // A night may have begun the day before, or run on into the next.
    let (earliest, latest) = (day.plus(-1), day.plus(1));
    Ok(sqlx::query_as!(
        Overlapping,
        r#"SELECT s.pid AS "pid!: Pid", s.venue_id AS "venue!: VenueId", v.name AS "venue_name!: String",
                  COALESCE((SELECT h.name FROM posted_matches AS h WHERE h.match_id = m.id), m.name) AS "match_name?: String"
           FROM sessions AS s JOIN venues AS v ON v.id = s.venue_id
           LEFT JOIN entries AS e ON e.id = s.entry_id LEFT JOIN matches AS m ON m.id = e.match_id
           WHERE s.angler_id = ?1 AND s.id IS NOT ?2 AND s.fished_on BETWEEN ?3 AND ?4 AND s.start_utc < ?5 AND s.end_utc > ?6
             AND ((s.kind = 'report' AND s.has_report = 1) OR s.venue_id <> ?7) AND s.removed_utc IS NULL
             AND NOT EXISTS (SELECT 1 FROM sessions_undone AS u WHERE u.id = s.id)
           ORDER BY s.venue_id <> ?7, s.start_utc, s.id LIMIT 1"#,
        angler, but, earliest, latest, end, start, venue
    )
    .fetch_optional(connection)
    .await?)
}
