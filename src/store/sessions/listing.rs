//! Sessions as a list to keep has them: one row a session and group of fish.

use sqlx::SqliteConnection;

use crate::{
    domain::{
        dates::{Day, Instant},
        groups::GroupSet,
        ids::*,
    },
    store::StoreError,
};

/// Whose sessions are listed.
#[derive(Clone, Copy, Debug)]
pub enum Whose {
    /// All of one angler's own, whoever may see them.
    Angler(AnglerId),
    /// Everybody's that the club may see, and what was posted of matches.
    Club,
}

pub struct SessionRow {
    pub id: SessionId,
    pub pid: Pid,
    pub on: Day,
    pub venue_name: String,
    pub given: Option<String>,
    pub surname: Option<String>,
    pub was_junior: bool,
    pub match_name: Option<String>,
    pub pegs: Option<String>,
    pub zone: String,
    pub start: Option<Instant>,
    pub end: Option<Instant>,
    pub rod_hours: Option<f64>,
    pub effort_source: String,
    pub groups: Option<GroupSet>,
    pub count: Option<i64>,
    pub weight_g: Option<f64>,
    /// 1 where the weight was weighed in at a match.
    pub official: Option<i64>,
    pub methods: Option<String>,
    pub baits: Option<String>,
    pub visibility: String,
}

/// The rows of the first `most` sessions numbered above `after`. A set of groups that only adds others
/// up is left out, so that a column can be summed. Of a match, what was posted is always told; what
/// its angler reported beside it, only to whom the report is shown.
pub async fn after(
    connection: &mut SqliteConnection,
    whose: Whose,
    after: SessionId,
    most: i64,
) -> Result<Vec<SessionRow>, StoreError> {
    let angler = match whose {
        Whose::Angler(angler) => Some(angler),
        Whose::Club => None,
    };
    Ok(sqlx::query_as!(
        SessionRow,
        r#"SELECT s.id AS "id!: SessionId", s.pid AS "pid!: Pid", s.fished_on AS "on!: Day", v.name AS "venue_name!: String", l.given AS "given?", l.surname AS "surname?",
                  s.was_junior AS "was_junior!: bool", COALESCE((SELECT h.name FROM posted_matches AS h WHERE h.match_id = m.id), m.name) AS "match_name?: String",
                  (SELECT GROUP_CONCAT(number, ', ') FROM (SELECT DISTINCT p.number FROM spells AS x JOIN pegs AS p ON p.id = x.peg_id
                     WHERE x.session_id = s.id AND ((s.angler_id = ?1 OR s.visibility = 'club') OR x.peg_as_drawn = 1
                       OR x.peg_id = (SELECT q.peg_id FROM posted_entries AS q WHERE q.entry_id = s.entry_id)) ORDER BY x.ord)) AS "pegs?: String",
                  s.zone AS "zone!: String", s.start_utc AS "start?: Instant", s.end_utc AS "end?: Instant",
                  (SELECT CASE WHEN COUNT(x.minutes) = COUNT(*) THEN SUM(x.rods * x.minutes) / 60.0 END
                     FROM spells AS x WHERE x.session_id = s.id) AS "rod_hours?: f64", s.effort_source AS "effort_source!: String",
                  c.group_set AS "groups?: GroupSet", CASE WHEN (s.angler_id = ?1 OR s.visibility = 'club') THEN c.fish_count END AS "count?: i64", c.weight_g AS "weight_g?: f64", c.official AS "official?: i64",
                  (SELECT GROUP_CONCAT(name, ', ') FROM (SELECT DISTINCT k.name FROM spells AS x JOIN methods AS k ON k.id = x.method_id
                     WHERE x.session_id = s.id AND (s.angler_id = ?1 OR s.visibility = 'club') ORDER BY x.ord)) AS "methods?: String",
                  (SELECT GROUP_CONCAT(name, ', ') FROM (SELECT DISTINCT k.name FROM spells AS x JOIN baits AS k ON k.id = x.bait_id
                     WHERE x.session_id = s.id AND (s.angler_id = ?1 OR s.visibility = 'club') ORDER BY x.ord)) AS "baits?: String", s.visibility AS "visibility!: String"
           FROM sessions AS s JOIN venues AS v ON v.id = s.venue_id
           JOIN anglers AS g ON g.id = s.angler_id LEFT JOIN labels AS l ON l.id = g.label_id
           LEFT JOIN entries AS e ON e.id = s.entry_id LEFT JOIN matches AS m ON m.id = e.match_id
           LEFT JOIN session_catches AS c ON c.session_id = s.id
             AND NOT EXISTS (SELECT 1 FROM session_catches AS o WHERE o.session_id = c.session_id
                               AND o.group_set < c.group_set AND (o.group_set & c.group_set) <> 0)
           WHERE s.id IN (
             SELECT x.id FROM sessions AS x WHERE x.id > ?2 AND x.removed_utc IS NULL
               AND NOT EXISTS (SELECT 1 FROM sessions_undone AS u WHERE u.id = x.id)
               AND (x.angler_id = ?1
                    OR (?1 IS NULL AND (x.visibility = 'club' OR x.entry_id IS NOT NULL)))
             ORDER BY x.id LIMIT ?3)
           ORDER BY s.id, c.group_set"#,
        angler,
        after,
        most
    )
    .fetch_all(connection)
    .await?)
}
