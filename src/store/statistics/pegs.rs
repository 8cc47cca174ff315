//! What stands on record at one peg: its sessions one by one, and the spells and timed fish
//! behind its hours and methods. A peg is asked for by its number, so that one laid anew keeps
//! its history.

use std::collections::{BTreeMap, BTreeSet};

use sqlx::SqliteConnection;

use super::rates::series;
use crate::{
    domain::{
        dates::{Day, Instant},
        groups::GroupSet,
        ids::{AnglerId, MatchId, MethodId, PegId, Pid, SessionId, VenueId},
    },
    statistics::at_a_peg::{PegSpell, TimedFish},
    store::StoreError,
};

/// What a list of sessions is sorted by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SortBy {
    Day,
    Fish,
    Weight,
    Hours,
}

impl SortBy {
    pub const ALL: [Self; 4] = [Self::Day, Self::Fish, Self::Weight, Self::Hours];

    pub fn as_str(self) -> &'static str {
        match self {
            Self::Day => "day",
            Self::Fish => "fish",
            Self::Weight => "weight",
            Self::Hours => "hours",
        }
    }

    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|by| by.as_str() == text)
    }
}

/// Which sessions of a peg are wanted, and in which order.
#[derive(Clone, Copy, Debug)]
pub struct Wanted<'a> {
    pub venue: VenueId,
    pub number: &'a str,
    /// The reader, whose own reports are always his own to see.
    pub own: Option<AnglerId>,
    /// Reports shared with the club too.
    pub reports: bool,
    pub sort: SortBy,
    pub falling: bool,
    pub limit: i64,
    pub offset: i64,
}

/// One session at a peg, by its widest set of groups.
pub struct PegSession {
    pub session: Pid,
    pub day: Day,
    pub series: String,
    pub own: bool,
    pub match_id: Option<MatchId>,
    pub match_name: Option<String>,
    pub given: Option<String>,
    pub surname: Option<String>,
    pub was_junior: bool,
    pub rod_hours: Option<f64>,
    pub groups: GroupSet,
    pub fish: Option<i64>,
    pub weight_g: Option<f64>,
    pub did_not_weigh: bool,
    /// Sessions in the whole list.
    pub total: i64,
}

/// Sessions that stayed at the pegs that ever bore the number: of published matches, shared with
/// the club, and the reader's own. The list is made first, from the sessions with a spell there;
/// names are looked up only for the rows that are shown.
pub async fn history(
    connection: &mut SqliteConnection,
    wanted: &Wanted<'_>,
) -> Result<Vec<PegSession>, StoreError> {
    let (up, down) = match wanted.falling {
        true => ("", wanted.sort.as_str()),
        false => (wanted.sort.as_str(), ""),
    };
    Ok(sqlx::query_as!(
        PegSession,
        r#"WITH listed AS MATERIALIZED (
             SELECT f.session_id, f.session_pid, f.day, f.series, f.angler_id, f.match_id, f.rod_hours, f.group_set,
                    CASE WHEN f.visibility = 'club' OR f.angler_id = ?3 THEN f.fish_count END AS fish_count, f.weight_g, f.did_not_weigh,
                    CASE ?5 WHEN 'day' THEN f.day WHEN 'fish' THEN CASE WHEN f.visibility = 'club' OR f.angler_id = ?3 THEN f.fish_count END WHEN 'weight' THEN f.weight_g WHEN 'hours' THEN f.rod_hours END AS rising,
                    CASE ?6 WHEN 'day' THEN f.day WHEN 'fish' THEN CASE WHEN f.visibility = 'club' OR f.angler_id = ?3 THEN f.fish_count END WHEN 'weight' THEN f.weight_g WHEN 'hours' THEN f.rod_hours END AS falling
             FROM fishing AS f
             WHERE f.session_id IN (SELECT x.session_id FROM spells AS x
                                    WHERE x.peg_id IN (SELECT p.id FROM pegs AS p WHERE p.venue_id = ?1 AND p.number = ?2))
               AND f.peg_id IN (SELECT p.id FROM pegs AS p WHERE p.venue_id = ?1 AND p.number = ?2)
               AND (f.series = 'match' OR f.angler_id = ?3 OR (?4 AND f.visibility = 'club'))
               AND f.group_set = (SELECT MAX(c.group_set) FROM session_catches AS c WHERE c.session_id = f.session_id)),
           shown AS MATERIALIZED (
             SELECT * FROM listed ORDER BY rising, falling DESC, day DESC, session_id DESC LIMIT ?7 OFFSET ?8)
           SELECT f.session_pid AS "session!: Pid", f.day AS "day!: Day", f.series AS "series!", f.angler_id IS ?3 AS "own!: bool",
                  f.match_id AS "match_id?: MatchId",
                  (SELECT h.name FROM posted_matches AS h WHERE h.match_id = f.match_id) AS "match_name?: String",
                  l.given AS "given?", l.surname AS "surname?", s.was_junior AS "was_junior!: bool",
                  f.rod_hours AS "rod_hours?: f64", f.group_set AS "groups!: GroupSet",
                  f.fish_count AS "fish?: i64",
                  f.weight_g AS "weight_g?: f64", f.did_not_weigh AS "did_not_weigh!: bool",
                  (SELECT COUNT(*) FROM listed) AS "total!: i64"
           FROM shown AS f
           CROSS JOIN sessions AS s ON s.id = f.session_id
           LEFT JOIN anglers AS g ON g.id = f.angler_id
           LEFT JOIN labels AS l ON l.id = g.label_id
           ORDER BY f.rising, f.falling DESC, f.day DESC, f.session_id DESC"#,
        wanted.venue,
        wanted.number,
        wanted.own,
        wanted.reports,
        up,
        down,
        wanted.limit,
        wanted.offset
    )
    .fetch_all(connection)
    .await?)
}

/// Everybody with a session at the pegs that ever bore the number, private ones too: nobody else
/// has reports there that only he may see.
pub async fn anglers(
    connection: &mut SqliteConnection,
    venue: VenueId,
    number: &str,
) -> Result<BTreeSet<AnglerId>, StoreError> {
    let found = sqlx::query_scalar!(
        r#"SELECT DISTINCT s.angler_id AS "angler!: AnglerId" FROM sessions AS s
           WHERE s.id IN (SELECT x.session_id FROM spells AS x
                          WHERE x.peg_id IN (SELECT p.id FROM pegs AS p WHERE p.venue_id = ?1 AND p.number = ?2))"#,
        venue,
        number
    )
    .fetch_all(connection)
    .await?;
    Ok(found.into_iter().collect())
}

/// The spells of a peg, session by session.
pub async fn spells(
    connection: &mut SqliteConnection,
    venue: VenueId,
    number: &str,
) -> Result<Vec<PegSpell>, StoreError> {
    let rows = sqlx::query!(
        r#"SELECT x.session_id AS "session!: SessionId", x.series AS "series!: String", x.angler_id AS "angler!: AnglerId",
                  x.day AS "day!: Day", x.method_id AS "method?: MethodId", x.rod_hours AS "rod_hours?: f64",
                  x.from_utc AS "from?: Instant", x.to_utc AS "to?: Instant", x.rods AS "rods!: i64"
           FROM fishing_spells AS x
           WHERE x.session_id IN (SELECT y.session_id FROM spells AS y
                                  WHERE y.peg_id IN (SELECT p.id FROM pegs AS p WHERE p.venue_id = ?1 AND p.number = ?2))
             AND x.peg_id IN (SELECT p.id FROM pegs AS p WHERE p.venue_id = ?1 AND p.number = ?2) AND x.visibility = 'club'
           ORDER BY x.session_id, x.ord"#,
        venue,
        number
    )
    .fetch_all(connection)
    .await?;
    Ok(rows
        .into_iter()
        .map(|row| PegSpell {
            session: row.session,
            series: series(&row.series),
            angler: row.angler,
            day: row.day,
            method: row.method,
            rod_hours: row.rod_hours,
            from: row.from,
            to: row.to,
            rods: row.rods,
        })
        .collect())
}

/// The timed fish of sessions at a peg; a session's tallies stand before its single fish.
pub async fn timed_fish(
    connection: &mut SqliteConnection,
    venue: VenueId,
    number: &str,
) -> Result<Vec<TimedFish>, StoreError> {
    let rows = sqlx::query!(
        r#"SELECT v.session_id AS "session!: SessionId", v.kind AS "kind!: String", v.at_utc AS "from?: Instant",
                  v.to_utc AS "to?: Instant", v.count AS "count!: i64"
           FROM fishing_events AS v
           WHERE v.session_id IN (SELECT x.session_id FROM spells AS x
                                  WHERE x.peg_id IN (SELECT p.id FROM pegs AS p WHERE p.venue_id = ?1 AND p.number = ?2))
             AND v.visibility = 'club' AND v.kind IN ('fish', 'tally')
           ORDER BY v.session_id, v.kind DESC, v.at_utc"#,
        venue,
        number
    )
    .fetch_all(connection)
    .await?;
    let mut found: Vec<(bool, TimedFish)> = Vec::new();
    for row in rows {
        let tally = row.kind == "tally";
        // Rows come session by session.
        let last = found.last().filter(|(_, one)| one.session == row.session);
        // A fish named singly is in its session's tallies already.
        if !tally && last.is_some_and(|(tallied, _)| *tallied) {
            continue;
        }
        if let Some(from) = row.from {
            let to = row.to.unwrap_or(from);
            let one = TimedFish {
                session: row.session,
                from,
                to,
                count: row.count,
            };
            found.push((tally, one));
        }
    }
    Ok(found.into_iter().map(|(_, one)| one).collect())
}

/// What came of a posted match for whoever drew a peg.
#[derive(Clone, Debug, PartialEq)]
pub struct Given {
    /// The peg was fished throughout.
    pub stayed: bool,
    pub weight_g: Option<f64>,
    pub did_not_weigh: bool,
}

/// What a peg gave in the matches of `days`, of one set of groups; days on which nobody drew it
/// are absent.
pub async fn given_on(
    connection: &mut SqliteConnection,
    venue: VenueId,
    peg: PegId,
    groups: GroupSet,
    days: &[Day],
) -> Result<BTreeMap<Day, Vec<Given>>, StoreError> {
    let asked: Vec<_> = days.iter().map(Day::to_string).collect();
    let asked = format!("[\"{}\"]", asked.join("\",\""));
    let rows = sqlx::query!(
        r#"SELECT e.day AS "day!: Day", e.did_not_weigh AS "did_not_weigh!: bool",
                  COALESCE((SELECT f.peg_id IS e.drawn_peg_id FROM fishing AS f
                            WHERE f.entry_id = e.entry_id AND f.group_set = ?1), 1) AS "stayed!: bool",
                  (SELECT f.weight_g FROM fishing AS f
                   WHERE f.entry_id = e.entry_id AND f.group_set = ?1) AS "weight_g?: f64"
           FROM fishing_entries AS e
           WHERE e.venue_id = ?2 AND e.drawn_peg_id = ?3 AND e.day IN (SELECT value FROM json_each(?4))
           ORDER BY e.day, e.match_id, e.entry_id"#,
        groups,
        venue,
        peg,
        asked
    )
    .fetch_all(connection)
    .await?;
    let mut by_day = BTreeMap::<Day, Vec<Given>>::new();
    for row in rows {
        by_day.entry(row.day).or_default().push(Given {
            stayed: row.stayed,
            weight_g: row.weight_g,
            did_not_weigh: row.did_not_weigh,
        });
    }
    Ok(by_day)
}
