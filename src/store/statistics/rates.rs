//! Rows for the rates of the record (S1): a session's catch of each observed set.

use sqlx::SqliteConnection;

use crate::{
    domain::{
        dates::Day,
        groups::GroupSet,
        ids::{AnglerId, MatchId, SessionId, VenueId},
    },
    statistics::{
        fished_days::Series,
        rates::CatchRow,
        record::{AtWater, RecordRow},
    },
    store::StoreError,
};

struct Row {
    session: SessionId,
    series: String,
    groups: GroupSet,
    angler: AnglerId,
    day: Day,
    rod_hours: Option<f64>,
    fish: Option<i64>,
    weight_g: Option<f64>,
    did_not_weigh: bool,
    match_id: Option<MatchId>,
    lowest_beside_g: Option<f64>,
}

impl Row {
    fn read(self) -> AtWater {
        let caught = CatchRow {
            day: self.day,
            rod_hours: self.rod_hours,
            fish: self.fish,
            weight_g: self.weight_g,
            did_not_weigh: self.did_not_weigh,
            match_id: self.match_id,
            lowest_beside_g: self.lowest_beside_g,
        };
        let row = RecordRow {
            series: series(&self.series),
            groups: self.groups,
            angler: self.angler,
            caught,
        };
        AtWater {
            session: self.session,
            row,
        }
    }
}

/// The series a view names.
pub(super) fn series(word: &str) -> Series {
    Series::from_slug(word).unwrap_or(Series::Report)
}

/// Every session of a water that enters its figures: matches, and the reports shared with the club.
pub async fn of_venue(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<Vec<AtWater>, StoreError> {
    let rows = sqlx::query_as!(
        Row,
        r#"SELECT f.session_id AS "session!: SessionId", f.series AS "series!: String", f.group_set AS "groups!: GroupSet",
                  f.angler_id AS "angler!: AnglerId", f.day AS "day!: Day", f.rod_hours AS "rod_hours?: f64",
                  f.fish_count AS "fish?: i64", f.weight_g AS "weight_g?: f64",
                  f.did_not_weigh AS "did_not_weigh!: bool", f.match_id AS "match_id?: MatchId",
                  CAST(NULL AS REAL) AS "lowest_beside_g?: f64"
           FROM fishing AS f WHERE f.venue_id = ? AND (f.series = 'match' OR f.visibility = 'club')"#,
        venue
    )
    .fetch_all(connection)
    .await?;
    Ok(rows.into_iter().map(Row::read).collect())
}

/// Sessions that stayed at the pegs that ever bore this number: matches, and the reports shared
/// with the club. The rest of a match is not among them, so what was weighed beside one who did
/// not weigh comes with him.
pub async fn of_peg(
    connection: &mut SqliteConnection,
    venue: VenueId,
    number: &str,
) -> Result<Vec<(SessionId, RecordRow)>, StoreError> {
    let rows = sqlx::query_as!(
        Row,
        r#"SELECT f.session_id AS "session!: SessionId", f.series AS "series!: String", f.group_set AS "groups!: GroupSet",
                  f.angler_id AS "angler!: AnglerId", f.day AS "day!: Day", f.rod_hours AS "rod_hours?: f64",
                  f.fish_count AS "fish?: i64", f.weight_g AS "weight_g?: f64",
                  f.did_not_weigh AS "did_not_weigh!: bool", f.match_id AS "match_id?: MatchId",
                  CASE WHEN f.did_not_weigh = 1 THEN
                    (SELECT MIN(o.weight_g) FROM fishing AS o
                     WHERE o.venue_id = f.venue_id AND o.day = f.day AND o.match_id = f.match_id
                       AND o.group_set = f.group_set AND o.weight_g > 0) END AS "lowest_beside_g?: f64"
           FROM fishing AS f
           WHERE f.session_id IN (SELECT x.session_id FROM spells AS x
                                  WHERE x.peg_id IN (SELECT p.id FROM pegs AS p WHERE p.venue_id = ?1 AND p.number = ?2))
             AND f.peg_id IN (SELECT p.id FROM pegs AS p WHERE p.venue_id = ?1 AND p.number = ?2)
             AND (f.series = 'match' OR f.visibility = 'club')"#,
        venue,
        number
    )
    .fetch_all(connection)
    .await?;
    let read = rows.into_iter().map(Row::read);
    Ok(read.map(|at| (at.session, at.row)).collect())
}

/// A row as the file of figures has it. Nobody is named.
pub struct FileRow {
    pub session_id: SessionId,
    pub day: Day,
    pub series: String,
    pub match_name: Option<String>,
    pub session: String,
    pub peg: Option<String>,
    pub groups: GroupSet,
    pub rod_hours: Option<f64>,
    pub effort_source: String,
    pub fish: Option<i64>,
    pub weight_g: Option<f64>,
    pub did_not_weigh: bool,
    pub official: bool,
}

/// Which rows a file of figures holds: a water's, or one peg's.
#[derive(Clone)]
pub struct Wanted {
    pub venue: VenueId,
    pub number: Option<String>,
    /// Those of reports shared with the club, beside those of matches.
    pub reports: bool,
}

/// Where a row stands in the file: its day, its session, the bits of its groups.
pub type Stand = (Day, SessionId, i64);

impl FileRow {
    /// Before every row.
    pub const FIRST: Stand = (Day::ALL.0, SessionId(0), 0);

    pub fn stands(&self) -> Stand {
        (self.day, self.session_id, self.groups.bits())
    }
}

/// The rows behind the figures, oldest first, at most `most` of those that stand after another.
pub async fn file_rows(
    connection: &mut SqliteConnection,
    wanted: &Wanted,
    (day, session, groups): Stand,
    most: i64,
) -> Result<Vec<FileRow>, StoreError> {
    Ok(sqlx::query_as!(
        FileRow,
        r#"SELECT f.session_id AS "session_id!: SessionId", f.day AS "day!: Day", f.series AS "series!: String",
                  (SELECT e.match_name FROM fishing_entries AS e WHERE e.entry_id = f.entry_id) AS "match_name?: String",
                  f.session_pid AS "session!: String", p.number AS "peg?: String", f.group_set AS "groups!: GroupSet",
                  f.rod_hours AS "rod_hours?: f64", f.effort_source AS "effort_source!: String", f.fish_count AS "fish?: i64",
                  f.weight_g AS "weight_g?: f64", f.did_not_weigh AS "did_not_weigh!: bool", f.official AS "official!: bool"
           FROM fishing AS f LEFT JOIN pegs AS p ON p.id = f.peg_id
           WHERE f.venue_id = ?1 AND (?2 IS NULL OR p.number = ?2)
             AND (f.series = 'match' OR (?3 AND f.visibility = 'club'))
             AND f.day >= ?4 AND (f.day > ?4 OR f.session_id > ?5 OR (f.session_id = ?5 AND f.group_set > ?6))
           ORDER BY f.day, f.session_id, f.group_set LIMIT ?7"#,
        wanted.venue,
        wanted.number,
        wanted.reports,
        day,
        session,
        groups,
        most
    )
    .fetch_all(connection)
    .await?)
}

/// How many anglers shared reports of a water, or of one peg, with the club.
pub async fn anglers_sharing(
    connection: &mut SqliteConnection,
    venue: VenueId,
    number: Option<&str>,
) -> Result<i64, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT COUNT(DISTINCT f.angler_id) AS "n!: i64" FROM fishing AS f LEFT JOIN pegs AS p ON p.id = f.peg_id
           WHERE f.venue_id = ?1 AND (?2 IS NULL OR p.number = ?2) AND f.series = 'report' AND f.visibility = 'club'"#,
        venue,
        number
    )
    .fetch_one(connection)
    .await?)
}
