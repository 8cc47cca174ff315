//! How much has been fished at a water, and at one of its pegs.

use sqlx::SqliteConnection;

use crate::{
    domain::{dates::Day, groups::GroupSet, ids::*},
    store::StoreError,
};

/// How much is on record at a venue. Private reports are counted in `sessions`, which tells nothing of them.
pub struct OnRecord {
    pub match_days: i64,
    pub sessions: i64,
    pub first: Option<Day>,
    pub latest: Option<Day>,
}

pub async fn on_record(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<OnRecord, StoreError> {
    Ok(sqlx::query_as!(
        OnRecord,
        r#"SELECT COUNT(DISTINCT CASE WHEN series = 'match' THEN day END) AS "match_days!: i64",
                  COUNT(DISTINCT session_id) AS "sessions!: i64", MIN(day) AS "first?: Day", MAX(day) AS "latest?: Day"
           FROM fishing WHERE venue_id = ? AND visibility <> 'private'"#,
        venue
    )
    .fetch_one(connection)
    .await?)
}

/// One session at a peg: of a published match, or the reader's own.
pub struct PegSession {
    pub session: Pid,
    pub day: Day,
    pub series: String,
    pub match_name: Option<String>,
    pub given: Option<String>,
    pub surname: Option<String>,
    pub was_junior: bool,
    pub rod_hours: Option<f64>,
    pub groups: GroupSet,
    pub fish: Option<i64>,
    pub weight_g: Option<f64>,
    pub did_not_weigh: bool,
}

/// Sessions of published matches at the pegs that ever bore this number, and `own` reports; latest first.
pub async fn peg_sessions(
    connection: &mut SqliteConnection,
    venue: VenueId,
    number: &str,
    own: Option<AnglerId>,
) -> Result<Vec<PegSession>, StoreError> {
    Ok(sqlx::query_as!(
        PegSession,
        r#"SELECT f.session_pid AS "session!: Pid", f.day AS "day!: Day", f.series AS "series!", m.name AS "match_name?",
                  l.given AS "given?", l.surname AS "surname?", s.was_junior AS "was_junior!: bool",
                  f.rod_hours AS "rod_hours?: f64", f.group_set AS "groups!: GroupSet", f.fish_count AS "fish?: i64",
                  f.weight_g AS "weight_g?: f64", f.did_not_weigh AS "did_not_weigh!: bool"
           FROM fishing AS f
           JOIN sessions AS s ON s.id = f.session_id
           JOIN pegs AS p ON p.id = f.peg_id
           LEFT JOIN matches AS m ON m.id = f.match_id
           LEFT JOIN anglers AS g ON g.id = f.angler_id
           LEFT JOIN labels AS l ON l.id = g.label_id
           WHERE f.venue_id = ? AND p.venue_id = f.venue_id AND p.number = ? AND (f.series = 'match' OR f.angler_id = ?)
             AND f.group_set = (SELECT MAX(c.group_set) FROM session_catches AS c WHERE c.session_id = f.session_id)
           ORDER BY f.day DESC, f.session_id DESC LIMIT 400"#,
        venue, number, own
    )
    .fetch_all(connection)
    .await?)
}

/// What the club's reports add up to at a peg. Private and team reports are left out.
pub struct PegReports {
    pub anglers: i64,
    pub sessions: i64,
    pub rod_hours: Option<f64>,
}

pub async fn peg_reports(
    connection: &mut SqliteConnection,
    venue: VenueId,
    number: &str,
) -> Result<PegReports, StoreError> {
    Ok(sqlx::query_as!(
        PegReports,
        r#"SELECT COUNT(DISTINCT f.angler_id) AS "anglers!: i64", COUNT(*) AS "sessions!: i64", SUM(f.rod_hours) AS "rod_hours?: f64"
           FROM fishing AS f JOIN pegs AS p ON p.id = f.peg_id
           WHERE f.venue_id = ? AND p.venue_id = f.venue_id AND p.number = ? AND f.series = 'report' AND f.visibility = 'club'
             AND f.group_set = (SELECT MAX(c.group_set) FROM session_catches AS c WHERE c.session_id = f.session_id)"#,
        venue, number
    )
    .fetch_one(connection)
    .await?)
}
