//! Matches as lists show them, and the waters and pegs to choose from.

use sqlx::SqliteConnection;

use crate::{
    domain::{
        dates::Day,
        ids::*,
        matches::{MatchState, PegsAllotted},
    },
    store::StoreError,
};

pub struct MatchLine {
    pub id: MatchId,
    pub name: String,
    pub venue_name: String,
    pub on: Day,
    pub state: MatchState,
    pub entered: i64,
}

/// Matches without a result yet, the next first; one that is called off unless its day is before `since`.
pub async fn without_result(
    connection: &mut SqliteConnection,
    since: Day,
) -> Result<Vec<MatchLine>, StoreError> {
    Ok(sqlx::query_as!(
        MatchLine,
        r#"SELECT m.id AS "id: MatchId", m.name, v.name AS venue_name, m.on_date AS "on: Day", m.state AS "state: MatchState",
                  (SELECT COUNT(*) FROM entries AS e WHERE e.match_id = m.id AND e.status = 'booked') AS "entered!: i64"
           FROM matches AS m JOIN venues AS v ON v.id = m.venue_id
           WHERE (m.state IN ('planned', 'fished', 'postponed') OR (m.state = 'abandoned' AND m.on_date >= ?))
             AND (m.import_id IS NULL OR EXISTS (SELECT 1 FROM imports AS i WHERE i.id = m.import_id AND i.state <> 'undone'))
           ORDER BY m.on_date, m.id LIMIT 200"#,
        since
    )
    .fetch_all(connection)
    .await?)
}

/// Matches called off whose day is not before `since`, the latest first.
pub async fn called_off(
    connection: &mut SqliteConnection,
    since: Day,
) -> Result<Vec<MatchLine>, StoreError> {
    Ok(sqlx::query_as!(
        MatchLine,
        r#"SELECT m.id AS "id: MatchId", m.name, v.name AS venue_name, m.on_date AS "on: Day", m.state AS "state: MatchState",
                  (SELECT COUNT(*) FROM entries AS e WHERE e.match_id = m.id AND e.status = 'booked') AS "entered!: i64"
           FROM matches AS m JOIN venues AS v ON v.id = m.venue_id
           WHERE m.state = 'abandoned' AND m.on_date >= ?
             AND (m.import_id IS NULL OR EXISTS (SELECT 1 FROM imports AS i WHERE i.id = m.import_id AND i.state <> 'undone'))
           ORDER BY m.on_date DESC, m.id DESC LIMIT 200"#,
        since
    )
    .fetch_all(connection)
    .await?)
}

/// What a list of results is sorted by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SortBy {
    Date,
    Name,
    Venue,
}

impl SortBy {
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Date => "date",
            Self::Name => "name",
            Self::Venue => "venue",
        }
    }

    pub fn parse(text: &str) -> Option<Self> {
        [Self::Date, Self::Name, Self::Venue]
            .into_iter()
            .find(|by| by.as_str() == text)
    }
}

pub async fn count_results(connection: &mut SqliteConnection) -> Result<i64, StoreError> {
    Ok(
        sqlx::query_scalar!(r#"SELECT COUNT(*) AS "n!: i64" FROM readable_matches"#)
            .fetch_one(connection)
            .await?,
    )
}

/// A page of posted matches, under the name and day they were posted with, and of as many entries.
pub async fn results(
    connection: &mut SqliteConnection,
    sort: SortBy,
    falling: bool,
    limit: i64,
    offset: i64,
) -> Result<Vec<MatchLine>, StoreError> {
    let (up, down) = match falling {
        true => ("", sort.as_str()),
        false => (sort.as_str(), ""),
    };
    Ok(sqlx::query_as!(
        MatchLine,
        r#"SELECT m.id AS "id!: MatchId", COALESCE(h.name, m.name) AS "name!: String", v.name AS "venue_name!", COALESCE(h.on_date, m.on_date) AS "on!: Day", m.state AS "state!: MatchState",
                  CASE WHEN h.match_id IS NULL THEN (SELECT COUNT(*) FROM entries AS e WHERE e.match_id = m.id AND e.status = 'booked')
                       ELSE (SELECT COUNT(*) FROM entries AS e JOIN posted_entries AS q ON q.entry_id = e.id WHERE e.match_id = m.id) END AS "entered!: i64"
           FROM readable_matches AS m JOIN venues AS v ON v.id = m.venue_id
           LEFT JOIN posted_matches AS h ON h.match_id = m.id
           ORDER BY CASE ?1 WHEN 'date' THEN COALESCE(h.on_date, m.on_date) WHEN 'name' THEN lower(COALESCE(h.name, m.name)) WHEN 'venue' THEN lower(v.name) END,
                    CASE ?2 WHEN 'date' THEN COALESCE(h.on_date, m.on_date) WHEN 'name' THEN lower(COALESCE(h.name, m.name)) WHEN 'venue' THEN lower(v.name) END DESC,
                    COALESCE(h.on_date, m.on_date) DESC, m.id DESC
           LIMIT ?3 OFFSET ?4"#,
        up,
        down,
        limit,
        offset
    )
    .fetch_all(connection)
    .await?)
}

/// A match as a list to keep has it.
pub struct MatchRow {
    pub id: MatchId,
    pub name: String,
    pub venue_name: String,
    pub on: Day,
    pub state: MatchState,
    pub pegs_allotted: PegsAllotted,
    pub entered: i64,
    /// All but the absent, as a result counts them. Absent until a result is posted, as are the rest.
    pub fished: Option<i64>,
    pub weighed: Option<i64>,
    pub blanked: Option<i64>,
    pub did_not_weigh: Option<i64>,
    pub disqualified: Option<i64>,
    pub absent: Option<i64>,
}

/// Matches, the latest first, at most `most` of those that come `after` a day and a match in that
/// order. What stands posted of one is told as it was posted.
pub async fn after(
    connection: &mut SqliteConnection,
    after: Option<(Day, MatchId)>,
    most: i64,
) -> Result<Vec<MatchRow>, StoreError> {
    let (day, id) = after.unzip();
    Ok(sqlx::query_as!(
        MatchRow,
        r#"WITH page AS (
             SELECT m.id, COALESCE(h.name, m.name) AS name, v.name AS venue_name, COALESCE(h.on_date, m.on_date) AS on_date, m.state,
                    COALESCE(h.pegs_allotted, m.pegs_allotted) AS pegs_allotted, h.match_id IS NOT NULL AS stands,
                    m.state IN ('published', 'final') AS posted
             FROM matches AS m JOIN venues AS v ON v.id = m.venue_id
             LEFT JOIN posted_matches AS h ON h.match_id = m.id
             WHERE (m.import_id IS NULL OR EXISTS (SELECT 1 FROM imports AS i WHERE i.id = m.import_id AND i.state <> 'undone'))
               AND (?1 IS NULL OR COALESCE(h.on_date, m.on_date) < ?1 OR (COALESCE(h.on_date, m.on_date) = ?1 AND m.id < ?2))
             ORDER BY COALESCE(h.on_date, m.on_date) DESC, m.id DESC LIMIT ?3)
           SELECT m.id AS "id!: MatchId", m.name AS "name!: String", m.venue_name AS "venue_name!: String", m.on_date AS "on!: Day",
                  m.state AS "state!: MatchState", m.pegs_allotted AS "pegs_allotted!: PegsAllotted",
                  CASE WHEN m.stands THEN COUNT(q.entry_id) ELSE COALESCE(SUM(e.status = 'booked'), 0) END AS "entered!: i64",
                  CASE WHEN m.posted THEN COALESCE(SUM(q.outcome <> 'absent'), 0) END AS "fished?: i64",
                  CASE WHEN m.posted THEN COALESCE(SUM(q.outcome = 'fished'), 0) END AS "weighed?: i64",
                  CASE WHEN m.posted THEN COALESCE(SUM(q.outcome = 'blank'), 0) END AS "blanked?: i64",
                  CASE WHEN m.posted THEN COALESCE(SUM(q.outcome = 'did not weigh'), 0) END AS "did_not_weigh?: i64",
                  CASE WHEN m.posted THEN COALESCE(SUM(q.outcome = 'disqualified'), 0) END AS "disqualified?: i64",
                  CASE WHEN m.posted THEN COALESCE(SUM(q.outcome = 'absent'), 0) END AS "absent?: i64"
           FROM page AS m LEFT JOIN entries AS e ON e.match_id = m.id
           LEFT JOIN posted_entries AS q ON q.entry_id = e.id
           GROUP BY m.id ORDER BY m.on_date DESC, m.id DESC"#,
        day,
        id,
        most
    )
    .fetch_all(connection)
    .await?)
}

#[derive(Clone, Debug)]
pub struct Water {
    pub id: VenueId,
    pub name: String,
    pub zone: String,
}

/// The venues a match can be held at.
pub async fn waters(connection: &mut SqliteConnection) -> Result<Vec<Water>, StoreError> {
    Ok(sqlx::query_as!(
        Water,
        r#"SELECT id AS "id: VenueId", name, zone FROM venues ORDER BY name COLLATE NOCASE"#
    )
    .fetch_all(connection)
    .await?)
}
