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
    /// These and the two that follow are the match's where a report beside it is not shown.
    pub start: Option<Instant>,
    pub end: Option<Instant>,
    pub rod_hours: Option<f64>,
    pub effort_source: Option<String>,
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
/// up is left out, so that a column can be summed. Of a match, what was posted is always told. To whom
/// the report beside it is not shown, the row reads as if there were none.
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
        r#"WITH listed AS MATERIALIZED (
             SELECT x.id, COALESCE(x.angler_id = ?1 OR x.visibility = 'club', 0) AS shown
             FROM sessions AS x WHERE x.id > ?2 AND x.removed_utc IS NULL
               AND NOT EXISTS (SELECT 1 FROM sessions_undone AS u WHERE u.id = x.id)
               AND (x.angler_id = ?1
                    OR (?1 IS NULL AND (x.visibility = 'club' OR x.entry_id IS NOT NULL)))
             ORDER BY x.id LIMIT ?3)
           SELECT s.id AS "id!: SessionId", s.pid AS "pid!: Pid", s.fished_on AS "on!: Day", v.name AS "venue_name!: String", l.given AS "given?", l.surname AS "surname?",
                  s.was_junior AS "was_junior!: bool", COALESCE((SELECT h.name FROM posted_matches AS h WHERE h.match_id = m.id), m.name) AS "match_name?: String",
                  (SELECT GROUP_CONCAT(number, ', ') FROM (SELECT DISTINCT p.number FROM spells AS x JOIN pegs AS p ON p.id = x.peg_id
                     WHERE x.session_id = s.id AND (n.shown OR x.peg_as_drawn = 1
                       OR x.peg_id = (SELECT q.peg_id FROM posted_entries AS q WHERE q.entry_id = s.entry_id)) ORDER BY x.ord)) AS "pegs?: String",
                  s.zone AS "zone!: String",
                  CASE WHEN n.shown THEN s.start_utc ELSE (SELECT h.from_utc FROM entry_hours AS h WHERE h.entry_id = s.entry_id) END AS "start?: Instant",
                  CASE WHEN n.shown THEN s.end_utc ELSE (SELECT h.to_utc FROM entry_hours AS h WHERE h.entry_id = s.entry_id) END AS "end?: Instant",
                  CASE WHEN n.shown THEN (SELECT CASE WHEN COUNT(x.minutes) = COUNT(*) THEN SUM(x.rods * x.minutes) / 60.0 END
                                            FROM spells AS x WHERE x.session_id = s.id)
                       ELSE (SELECT h.minutes / 60.0 FROM entry_hours AS h WHERE h.entry_id = s.entry_id) END AS "rod_hours?: f64",
                  CASE WHEN n.shown THEN s.effort_source
                       ELSE (SELECT h.effort_source FROM entry_hours AS h WHERE h.entry_id = s.entry_id) END AS "effort_source?: String",
                  c.group_set AS "groups?: GroupSet", CASE WHEN n.shown THEN c.fish_count END AS "count?: i64", c.weight_g AS "weight_g?: f64", c.official AS "official?: i64",
                  (SELECT GROUP_CONCAT(name, ', ') FROM (SELECT DISTINCT k.name FROM spells AS x JOIN methods AS k ON k.id = x.method_id
                     WHERE x.session_id = s.id AND n.shown ORDER BY x.ord)) AS "methods?: String",
                  (SELECT GROUP_CONCAT(name, ', ') FROM (SELECT DISTINCT k.name FROM spells AS x JOIN baits AS k ON k.id = x.bait_id
                     WHERE x.session_id = s.id AND n.shown ORDER BY x.ord)) AS "baits?: String", CASE WHEN n.shown THEN s.visibility ELSE 'club' END AS "visibility!: String"
           FROM listed AS n CROSS JOIN sessions AS s ON s.id = n.id JOIN venues AS v ON v.id = s.venue_id
           JOIN anglers AS g ON g.id = s.angler_id LEFT JOIN labels AS l ON l.id = g.label_id
           LEFT JOIN entries AS e ON e.id = s.entry_id LEFT JOIN matches AS m ON m.id = e.match_id
           LEFT JOIN session_catches AS c ON c.session_id = s.id
             AND NOT EXISTS (SELECT 1 FROM session_catches AS o WHERE o.session_id = c.session_id
                               AND o.group_set < c.group_set AND (o.group_set & c.group_set) <> 0)
           ORDER BY s.id, c.group_set"#,
        angler,
        after,
        most
    )
    .fetch_all(connection)
    .await?)
}
