//! What is on record already, read in bulk, so that a file's rows can be compared with it.

use std::collections::HashMap;

use sqlx::SqliteConnection;

use crate::{
    domain::{
        dates::{Day, Instant, Zone},
        ids::*,
        matches::Outcome,
        sessions::{Caught, outing::Telling},
        units::{Minutes, Scale, Weight},
    },
    store::{StoreError, sessions::reading::caught_of},
};

/// A water with its pegs of all times.
pub struct Water {
    pub id: VenueId,
    pub name: String,
    pub zone: Zone,
    pub weighs_in: Scale,
    pub pegs: Vec<WaterPeg>,
}

pub struct WaterPeg {
    pub id: PegId,
    pub number: String,
    /// Days as `YYYY-MM-DD`, the first perhaps before any calendar of ours.
    from: String,
    to: Option<String>,
}

impl Water {
    /// The peg of that number on a day, the one still in use before an older.
    pub fn peg(&self, number: &str, on: Day) -> Option<PegId> {
        let day = on.to_string();
        self.pegs
            .iter()
            .filter(|peg| peg.number.eq_ignore_ascii_case(number))
            .filter(|peg| peg.from <= day && peg.to.as_ref().is_none_or(|to| *to >= day))
            .max_by_key(|peg| (peg.to.is_none(), peg.id))
            .map(|peg| peg.id)
    }
}

pub async fn waters(connection: &mut SqliteConnection) -> Result<Vec<Water>, StoreError> {
    let mut waters: Vec<Water> = sqlx::query!(
        r#"SELECT id AS "id: VenueId", name, zone, weighs_in FROM venues ORDER BY name COLLATE NOCASE"#
    )
    .fetch_all(&mut *connection)
    .await?
    .into_iter()
    .map(|row| Water {
        id: row.id,
        name: row.name,
        zone: Zone::named(&row.zone).unwrap_or_else(Zone::utc),
        weighs_in: Scale::parse(&row.weighs_in).unwrap_or(Scale::Drams),
        pegs: Vec::new(),
    })
    .collect();
    let pegs = sqlx::query!(
        r#"SELECT venue_id AS "venue: VenueId", id AS "id: PegId", number, valid_from, valid_to FROM pegs"#
    )
    .fetch_all(connection)
    .await?;
    for row in pegs {
        if let Some(water) = waters.iter_mut().find(|water| water.id == row.venue) {
            water.pegs.push(WaterPeg {
                id: row.id,
                number: row.number,
                from: row.valid_from,
                to: row.valid_to,
            });
        }
    }
    Ok(waters)
}

pub struct MatchOnRecord {
    pub id: MatchId,
    pub venue: VenueId,
    pub on: Day,
    pub name: String,
}

/// Matches of these days that are not of an undone import.
pub async fn matches_between(
    connection: &mut SqliteConnection,
    from: Day,
    to: Day,
) -> Result<Vec<MatchOnRecord>, StoreError> {
    Ok(sqlx::query_as!(
        MatchOnRecord,
        r#"SELECT m.id AS "id: MatchId", m.venue_id AS "venue: VenueId", m.on_date AS "on: Day", m.name FROM matches AS m
           WHERE m.on_date BETWEEN ? AND ?
             AND (m.import_id IS NULL OR EXISTS (SELECT 1 FROM imports AS i WHERE i.id = m.import_id AND i.state <> 'undone'))"#,
        from,
        to
    )
    .fetch_all(connection)
    .await?)
}

/// An entry of a match on record, as far as a row of a sheet can be compared with it.
pub struct EntryOnRecord {
    pub venue: VenueId,
    pub on: Day,
    pub match_name: String,
    pub angler: AnglerId,
    pub peg: Option<PegId>,
    pub outcome: Outcome,
    /// Of all nets together; `None` where they come to nothing.
    pub weight: Option<Weight>,
}

/// Entries with an outcome in matches of these days that are not of an undone import.
pub async fn entries_between(
    connection: &mut SqliteConnection,
    from: Day,
    to: Day,
) -> Result<Vec<EntryOnRecord>, StoreError> {
    let rows = sqlx::query!(
        r#"SELECT m.venue_id AS "venue!: VenueId", m.on_date AS "on!: Day", m.name AS "name!: String",
                  e.angler_id AS "angler!: AnglerId", e.peg_id AS "peg?: PegId", e.outcome AS "outcome!: String",
                  (SELECT SUM(w.raw_weight - COALESCE(w.tare, 0)) FROM nets AS n
                     JOIN net_choices AS c ON c.net_id = n.id AND c.current = 1
                     JOIN net_choice_weighings AS x ON x.choice_id = c.id
                     JOIN weighings AS w ON w.id = x.weighing_id AND w.kind = 'net'
                    WHERE n.entry_id = e.id) AS "amount?: i64",
                  (SELECT MAX(w.scale) FROM nets AS n
                     JOIN net_choices AS c ON c.net_id = n.id AND c.current = 1
                     JOIN net_choice_weighings AS x ON x.choice_id = c.id
                     JOIN weighings AS w ON w.id = x.weighing_id AND w.kind = 'net'
                    WHERE n.entry_id = e.id) AS "scale?: String"
           FROM matches AS m JOIN entries AS e ON e.match_id = m.id
           WHERE m.on_date BETWEEN ? AND ? AND e.outcome IS NOT NULL AND e.status <> 'withdrawn'
             AND (m.import_id IS NULL OR EXISTS (SELECT 1 FROM imports AS i WHERE i.id = m.import_id AND i.state <> 'undone'))"#,
        from,
        to
    )
    .fetch_all(connection)
    .await?;
    Ok(rows
        .into_iter()
        .filter_map(|row| {
            let scale = row.scale.as_deref().and_then(Scale::parse);
            let weight = row.amount.zip(scale);
            Some(EntryOnRecord {
                venue: row.venue,
                on: row.on,
                match_name: row.name,
                angler: row.angler,
                peg: row.peg,
                outcome: Outcome::parse(&row.outcome)?,
                weight: weight
                    .and_then(|(amount, scale)| Weight::new(amount, scale))
                    .filter(|weight| !weight.is_nothing()),
            })
        })
        .collect())
}

/// Who fished where on which day, and what tells that outing from another.
#[derive(Clone, Debug)]
pub struct Outing {
    pub angler: AnglerId,
    pub venue: VenueId,
    pub on: Day,
    /// Of the match it was fished in.
    pub match_name: Option<String>,
    /// Every peg that was fished; empty where they are not all known. Of a session that is not open
    /// to the club: the peg posted with its match, if any.
    pub pegs: Vec<PegId>,
    /// How long was fished, where that is open to the club, and was said of this outing and not of
    /// a whole file.
    pub minutes: Option<Minutes>,
    /// When it began and ended, where that is open to the club.
    pub hours: Option<(Instant, Instant)>,
    /// What was caught outside a match, where that is open to the club.
    pub caught: Vec<Caught>,
    /// The whole club may read it: its peg and hours may be said beside a row.
    pub is_open: bool,
}

impl Outing {
    pub fn in_match(&self) -> bool {
        self.match_name.is_some()
    }

    pub fn telling(&self) -> Telling<'_> {
        Telling {
            pegs: &self.pegs,
            minutes: self.minutes,
        }
    }
}

/// Sessions of these days that are neither taken back nor of an undone import. Of a report that is
/// not open to the club neither peg nor hours are read: a row that is compared with them, and told
/// how it differs, would tell them.
pub async fn outings_between(
    connection: &mut SqliteConnection,
    from: Day,
    to: Day,
) -> Result<Vec<Outing>, StoreError> {
    let rows = sqlx::query!(
        r#"SELECT s.angler_id AS "angler!: AnglerId", s.venue_id AS "venue!: VenueId", s.fished_on AS "on!: Day",
                  COALESCE(h.name, m.name) AS "match_name?: String", s.visibility = 'club' AS "is_open!: bool",
                  CASE WHEN s.visibility = 'club'
                    THEN (SELECT CASE WHEN COUNT(p.peg_id) = COUNT(*) THEN GROUP_CONCAT(DISTINCT p.peg_id) END
                            FROM spells AS p WHERE p.session_id = s.id)
                    ELSE (SELECT CAST(q.peg_id AS TEXT) FROM posted_entries AS q WHERE q.entry_id = s.entry_id) END AS "pegs?: String",
                  CASE WHEN s.visibility = 'club' AND s.effort_source <> 'asked at import' THEN COALESCE((s.end_utc - s.start_utc) / 60,
                    (SELECT CASE WHEN COUNT(p.minutes) = COUNT(*) THEN CAST(ROUND(SUM(p.minutes)) AS INTEGER) END
                       FROM spells AS p WHERE p.session_id = s.id)) END AS "minutes?: i64",
                  CASE WHEN s.visibility = 'club' THEN s.start_utc END AS "start?: Instant",
                  CASE WHEN s.visibility = 'club' THEN s.end_utc END AS "end?: Instant",
                  CASE WHEN s.visibility = 'club' AND s.entry_id IS NULL
                    THEN (SELECT JSON_GROUP_ARRAY(JSON_ARRAY(f.group_set, f.count, f.weight, f.scale))
                            FROM fish AS f WHERE f.session_id = s.id AND f.row_kind = 'total') END AS "caught?: String"
           FROM sessions AS s LEFT JOIN entries AS e ON e.id = s.entry_id LEFT JOIN matches AS m ON m.id = e.match_id
           LEFT JOIN posted_matches AS h ON h.match_id = m.id
           WHERE s.fished_on BETWEEN ? AND ? AND s.removed_utc IS NULL
             AND NOT EXISTS (SELECT 1 FROM imports AS i WHERE i.id IN (s.import_id, m.import_id) AND i.state = 'undone')
           ORDER BY s.id"#,
        from,
        to
    )
    .fetch_all(connection)
    .await?;
    Ok(rows
        .into_iter()
        .map(|row| Outing {
            angler: row.angler,
            venue: row.venue,
            on: row.on,
            match_name: row.match_name,
            pegs: row.pegs.as_deref().map(pegs).unwrap_or_default(),
            minutes: row.minutes.map(Minutes),
            hours: row.start.zip(row.end),
            caught: row.caught.as_deref().map(caught_of).unwrap_or_default(),
            is_open: row.is_open,
        })
        .collect())
}

fn pegs(ids: &str) -> Vec<PegId> {
    let ids = ids.split(',').filter_map(|id| id.parse().ok());
    ids.map(PegId).collect()
}

/// Rows of files in the record that became entries, and the match each is in.
pub async fn entry_rows(
    connection: &mut SqliteConnection,
) -> Result<HashMap<Vec<u8>, MatchId>, StoreError> {
    let rows = sqlx::query!(
        r#"SELECT r.row_sha256, e.match_id AS "the_match: MatchId" FROM import_rows AS r
           JOIN imports AS i ON i.id = r.import_id JOIN entries AS e ON e.id = r.record_id
           WHERE i.state = 'done' AND r.record_kind = 'entry'"#
    )
    .fetch_all(connection)
    .await?;
    Ok(rows
        .into_iter()
        .map(|row| (row.row_sha256, row.the_match))
        .collect())
}
