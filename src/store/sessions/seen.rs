//! An angler's sessions as somebody else may see them.

use sqlx::SqliteConnection;

use crate::{
    domain::{
        dates::Day,
        groups::GroupSet,
        ids::{AnglerId, MatchId, Pid, VenueId},
        units::{Ranking, Scale},
    },
    store::StoreError,
};

/// A session by its widest set of groups.
pub struct Seen {
    pub pid: Pid,
    pub day: Day,
    pub venue: VenueId,
    pub venue_name: String,
    scale: String,
    step: Option<i64>,
    /// The numbers of its pegs.
    pub pegs: Option<String>,
    pub match_id: Option<MatchId>,
    pub match_name: Option<String>,
    pub groups: Option<GroupSet>,
    pub fish: Option<i64>,
    pub weight_g: Option<f64>,
    pub did_not_weigh: bool,
    pub disqualified: bool,
    /// Sessions in the whole list.
    pub total: i64,
}

impl Seen {
    /// What the match's or the water's scales show.
    pub fn scale(&self) -> Scale {
        Scale::parse(&self.scale).unwrap_or(Scale::Drams)
    }

    /// How the result of its match tells the weight; `None` of a report. Who was disqualified is
    /// not ranked, so that weight stands to the unit.
    pub fn ranking(&self) -> Option<Ranking> {
        let step = if self.disqualified { 1 } else { self.step? };
        self.match_id.map(|_| Ranking::of(self.scale(), step))
    }
}

/// The sessions of `angler` that `reader` may see, latest first: published matches, reports
/// shared with the club or with a team both were in that day, and one's own.
pub async fn of_angler(
    connection: &mut SqliteConnection,
    angler: AnglerId,
    reader: Option<AnglerId>,
    skip: i64,
    most: i64,
) -> Result<Vec<Seen>, StoreError> {
    Ok(sqlx::query_as!(
        Seen,
        r#"SELECT s.pid AS "pid!: Pid", s.fished_on AS "day!: Day", v.id AS "venue!: VenueId", v.name AS "venue_name!",
                  COALESCE(m.scale, v.weighs_in) AS "scale!: String", m.step AS "step?: i64",
                  (SELECT GROUP_CONCAT(number, ', ') FROM (SELECT DISTINCT p.number FROM spells AS l JOIN pegs AS p ON p.id = l.peg_id
                     WHERE l.session_id = s.id
                       AND (s.entry_id IS NULL OR s.visibility = 'club' OR s.angler_id = ?2 OR l.peg_as_drawn = 1
                            OR l.peg_id = (SELECT q.peg_id FROM posted_entries AS q WHERE q.entry_id = s.entry_id))
                     ORDER BY l.ord)) AS "pegs?: String",
                  e.match_id AS "match_id?: MatchId", COALESCE((SELECT h.name FROM posted_matches AS h WHERE h.match_id = m.id), m.name) AS "match_name?: String", c.group_set AS "groups?: GroupSet",
                  CASE WHEN s.visibility = 'club' OR s.entry_id IS NULL OR s.angler_id = ?2 THEN c.fish_count END AS "fish?: i64", c.weight_g AS "weight_g?: f64",
                  COALESCE((SELECT q.outcome = 'did not weigh' FROM posted_entries AS q WHERE q.entry_id = e.id), 0) AS "did_not_weigh!: bool",
                  COALESCE((SELECT q.outcome = 'disqualified' FROM posted_entries AS q WHERE q.entry_id = e.id), 0) AS "disqualified!: bool", COUNT(*) OVER () AS "total!: i64"
           FROM readable_sessions AS s JOIN venues AS v ON v.id = s.venue_id
           LEFT JOIN entries AS e ON e.id = s.entry_id LEFT JOIN matches AS m ON m.id = e.match_id
           LEFT JOIN session_catches AS c ON c.session_id = s.id
             AND c.group_set = (SELECT MAX(w.group_set) FROM session_catches AS w WHERE w.session_id = s.id)
           WHERE s.angler_id = ?1
             AND (s.entry_id IS NOT NULL OR s.angler_id = ?2 OR s.visibility = 'club'
                  OR (s.visibility = 'team' AND EXISTS (
                        SELECT 1 FROM team_members AS a JOIN team_members AS b ON b.team_id = a.team_id
                        WHERE a.angler_id = s.angler_id AND b.angler_id = ?2
                          AND a.from_on <= s.fished_on AND (a.to_on IS NULL OR a.to_on >= s.fished_on)
                          AND b.from_on <= s.fished_on AND (b.to_on IS NULL OR b.to_on >= s.fished_on))))
           ORDER BY s.fished_on DESC, s.id DESC LIMIT ?3 OFFSET ?4"#,
        angler,
        reader,
        most,
        skip
    )
    .fetch_all(connection)
    .await?)
}
