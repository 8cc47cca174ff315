//! What an angler is booked for: entries of matches whose result is not posted yet.

use sqlx::SqliteConnection;

use super::reading::MatchSession;
use crate::{
    domain::{
        dates::{Day, Instant},
        ids::*,
        sessions::match_part::Part,
    },
    store::StoreError,
};

/// What a match says of one of its entries, for a report of that day to agree with.
pub struct MatchEntry {
    pub match_name: String,
    pub zone: String,
    pub start: Option<Instant>,
    pub finish: Option<Instant>,
    /// The peg it drew, and that peg's number.
    pub drawn: Option<PegId>,
    pub drawn_number: Option<String>,
}

impl MatchEntry {
    pub fn part(&self) -> Part {
        Part {
            start: self.start,
            finish: self.finish,
            peg: self.drawn,
        }
    }
}

impl From<&MatchSession> for MatchEntry {
    fn from(session: &MatchSession) -> Self {
        Self {
            match_name: session.match_name.clone(),
            zone: session.match_zone.clone(),
            start: session.match_start,
            finish: session.match_finish,
            drawn: session.drawn,
            drawn_number: session.drawn_number.clone(),
        }
    }
}

/// The angler's entries in matches of a day at a water that stand, with no posting of the match yet.
pub async fn entries_not_posted(
    connection: &mut SqliteConnection,
    angler: AnglerId,
    venue: VenueId,
    day: Day,
) -> Result<Vec<MatchEntry>, StoreError> {
    Ok(sqlx::query_as!(
        MatchEntry,
        r#"SELECT m.name AS "match_name!: String", m.zone AS "zone!: String", m.start_utc AS "start?: Instant", m.finish_utc AS "finish?: Instant",
                  e.peg_id AS "drawn?: PegId", p.number AS "drawn_number?: String"
           FROM entries AS e JOIN matches AS m ON m.id = e.match_id LEFT JOIN pegs AS p ON p.id = e.peg_id
           WHERE e.angler_id = ? AND m.venue_id = ? AND m.on_date = ? AND e.status = 'booked'
             AND e.outcome IS NOT 'absent' AND m.state IN ('planned', 'fished')
             AND NOT EXISTS (SELECT 1 FROM posted_matches AS h WHERE h.match_id = m.id)
           ORDER BY m.start_utc, m.id"#,
        angler, venue, day
    )
    .fetch_all(connection)
    .await?)
}
