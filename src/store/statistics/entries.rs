//! Entries of posted matches: what a match took.

use std::collections::BTreeMap;

use sqlx::SqliteConnection;

use crate::{
    domain::{
        dates::{Day, Instant},
        groups::GroupSet,
        ids::{MatchId, SectionId, VenueId},
        units::{Ranking, Scale, Weight},
    },
    statistics::what_it_took::{Fished, Showing},
    store::StoreError,
};

/// A posted match without its anglers.
#[derive(Clone, Debug)]
pub struct MatchHead {
    pub id: MatchId,
    pub name: String,
    pub day: Day,
    pub groups: GroupSet,
    pub start: Option<Instant>,
    pub finish: Option<Instant>,
    /// How long most of its entries fished by the sheet that brought them, or by whoever brought it.
    pub told_minutes: Option<f64>,
    /// Anglers who fished.
    pub anglers: i64,
}

impl MatchHead {
    /// Length in hours: from its start to its finish, else as its sheet told it.
    pub fn hours(&self) -> Option<f64> {
        let clock = self.start.zip(self.finish);
        let minutes = clock.map(|(start, finish)| finish.minutes_since(start));
        Some(minutes.or(self.told_minutes)? / 60.0)
    }
}

/// The posted matches of a water, the latest first.
pub async fn heads(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<Vec<MatchHead>, StoreError> {
    Ok(sqlx::query_as!(
        MatchHead,
        r#"SELECT h.match_id AS "id!: MatchId", h.match_name AS "name!: String", h.day AS "day!: Day",
                  h.group_set AS "groups!: GroupSet", h.start_utc AS "start?: Instant", h.finish_utc AS "finish?: Instant",
                  CASE WHEN h.start_utc IS NULL OR h.finish_utc IS NULL THEN
                    (SELECT t.told_minutes FROM fishing_entries AS t
                     WHERE t.match_id = h.match_id AND t.outcome <> 'absent' AND t.told_minutes IS NOT NULL
                     GROUP BY t.told_minutes ORDER BY COUNT(*) DESC, t.told_minutes DESC LIMIT 1) END AS "told_minutes?: f64",
                  COUNT(*) AS "anglers!: i64"
           FROM fishing_entries AS h WHERE h.venue_id = ? AND h.outcome <> 'absent' AND h.group_set IS NOT NULL
           GROUP BY h.match_id ORDER BY h.day DESC, h.match_id DESC"#,
        venue
    )
    .fetch_all(connection)
    .await?)
}

/// What came of each angler of these matches.
pub async fn fished(
    connection: &mut SqliteConnection,
    matches: &[MatchId],
) -> Result<BTreeMap<MatchId, Vec<Fished>>, StoreError> {
    let ids: Vec<String> = matches.iter().map(MatchId::to_string).collect();
    let ids = format!("[{}]", ids.join(","));
    let rows = sqlx::query!(
        r#"SELECT e.match_id AS "match_id!: MatchId", e.section_id AS "section?: SectionId", e.outcome AS "outcome!: String",
                  e.weight_g AS "weight_g?: f64",
                  (SELECT c.weight_g FROM fishing AS c WHERE c.entry_id = e.entry_id AND c.group_set = 1) AS "carp_g?: f64",
                  (SELECT c.weight_g FROM fishing AS c WHERE c.entry_id = e.entry_id AND c.group_set = 2) AS "silvers_g?: f64"
           FROM fishing_entries AS e
           WHERE e.match_id IN (SELECT value FROM json_each(?)) AND e.outcome <> 'absent'
           ORDER BY e.entry_id"#,
        ids
    )
    .fetch_all(connection)
    .await?;
    let mut found = BTreeMap::<MatchId, Vec<Fished>>::new();
    for row in rows {
        let showing = match row.outcome.as_str() {
            "did not weigh" => Showing::DidNotWeigh,
            "disqualified" => Showing::Disqualified(row.weight_g),
            _ => Showing::Weighed(row.weight_g.unwrap_or(0.0)),
        };
        found.entry(row.match_id).or_default().push(Fished {
            section: row.section,
            showing,
            carp_g: row.carp_g,
            silvers_g: row.silvers_g,
        });
    }
    Ok(found)
}

/// A posted match in a line.
#[derive(Clone, Debug)]
pub struct Posted {
    pub id: MatchId,
    pub name: String,
    pub venue: VenueId,
    pub venue_name: String,
    pub day: Day,
    pub fished: i64,
    winning_g: Option<f64>,
    /// The match's own, which need not be the water's.
    scale: String,
    step: i64,
}

impl Posted {
    /// The weight that won, as its result has it; `None` where nothing was weighed.
    pub fn won(&self) -> Option<Weight> {
        let grams = self.winning_g.filter(|grams| *grams > 0.0)?;
        let scale = Scale::parse(&self.scale).unwrap_or(Scale::Drams);
        Some(Ranking::of(scale, self.step).of_grams(grams))
    }
}

/// The latest results of one water, or of all.
pub async fn latest_results(
    connection: &mut SqliteConnection,
    venue: Option<VenueId>,
    limit: i64,
) -> Result<Vec<Posted>, StoreError> {
    Ok(sqlx::query_as!(
        Posted,
        r#"WITH latest AS MATERIALIZED (
             SELECT m.id, m.venue_id, m.scale, m.step, COALESCE(h.name, m.name) AS name, COALESCE(h.on_date, m.on_date) AS day
             FROM readable_matches AS m LEFT JOIN posted_matches AS h ON h.match_id = m.id
             WHERE ?1 IS NULL OR m.venue_id = ?1 ORDER BY day DESC, m.id DESC LIMIT ?2)
           SELECT l.id AS "id!: MatchId", l.name AS "name!: String", l.venue_id AS "venue!: VenueId", v.name AS "venue_name!: String",
                  l.day AS "day!: Day", l.scale AS "scale!: String", l.step AS "step!: i64",
                  (SELECT COUNT(*) FROM fishing_entries AS e WHERE e.match_id = l.id AND e.outcome <> 'absent') AS "fished!: i64",
                  (SELECT MAX(e.weight_g) FROM fishing_entries AS e
                   WHERE e.match_id = l.id AND e.outcome IN ('fished', 'blank')) AS "winning_g?: f64"
           FROM latest AS l JOIN venues AS v ON v.id = l.venue_id ORDER BY l.day DESC, l.id DESC"#,
        venue,
        limit
    )
    .fetch_all(connection)
    .await?)
}

/// A match to come.
#[derive(Clone, Debug)]
pub struct Coming {
    pub id: MatchId,
    pub name: String,
    pub venue: VenueId,
    pub venue_name: String,
    pub day: Day,
    pub entered: i64,
    pub groups: Option<GroupSet>,
    pub start: Option<Instant>,
    pub finish: Option<Instant>,
}

impl Coming {
    /// Length in hours.
    pub fn hours(&self) -> Option<f64> {
        Some(self.finish?.minutes_since(self.start?) / 60.0)
    }
}

/// Matches planned for `today` or later at one water, or at all, the next first. They have not
/// been fished, so no view holds them.
pub async fn coming(
    connection: &mut SqliteConnection,
    venue: Option<VenueId>,
    today: Day,
    limit: i64,
) -> Result<Vec<Coming>, StoreError> {
    Ok(sqlx::query_as!(
        Coming,
        r#"SELECT m.id AS "id: MatchId", m.name, m.venue_id AS "venue: VenueId", v.name AS venue_name, m.on_date AS "day: Day",
                  (SELECT COUNT(*) FROM entries AS e WHERE e.match_id = m.id AND e.status = 'booked') AS "entered!: i64",
                  (SELECT SUM(k.group_set) FROM match_net_kinds AS k WHERE k.match_id = m.id) AS "groups?: GroupSet",
                  m.start_utc AS "start: Instant", m.finish_utc AS "finish: Instant"
           FROM matches AS m JOIN venues AS v ON v.id = m.venue_id
           WHERE m.state = 'planned' AND m.on_date >= ?2 AND (?1 IS NULL OR m.venue_id = ?1)
             AND (m.import_id IS NULL OR EXISTS (SELECT 1 FROM imports AS i WHERE i.id = m.import_id AND i.state <> 'undone'))
           ORDER BY m.on_date, m.id LIMIT ?3"#,
        venue,
        today,
        limit
    )
    .fetch_all(connection)
    .await?)
}
