//! Data marks: counters that every change to a water's record raises, by topic. An answer that
//! was worked out under the marks of now still holds.

use std::collections::HashMap;

use sqlx::SqliteConnection;

use super::StoreError;
use crate::domain::ids::VenueId;

/// The marks of one water. Marks only rise, so of two readings the later is the greater.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd)]
pub struct Marks {
    pub weather: i64,
    pub sessions: i64,
    pub matches: i64,
    pub pegs: i64,
    pub diary: i64,
}

/// The marks as they stand now. Read them before what they stand for: a change in between then
/// leaves an older mark on the answer, and the next asking works it out again.
pub async fn of_venue(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<Marks, StoreError> {
    let rows = sqlx::query!(
        "SELECT topic, mark FROM data_marks WHERE venue_id = ?",
        venue
    )
    .fetch_all(connection)
    .await?;
    let mut marks = Marks::default();
    for row in rows {
        match row.topic.as_str() {
            "weather" => marks.weather = row.mark,
            "sessions" => marks.sessions = row.mark,
            "matches" => marks.matches = row.mark,
            "pegs" => marks.pegs = row.mark,
            "diary" => marks.diary = row.mark,
            _ => {}
        }
    }
    Ok(marks)
}

/// The mark of what the club has set: the head of every page stands under it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct SettingsMark(pub i64);

/// The marks of what every water shares.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ClubMarks {
    /// How people are called.
    pub names: i64,
    pub settings: SettingsMark,
    /// What the waters themselves are: their names, zones, scales, rules.
    pub venues: i64,
    /// The methods, baits and fish that a report chooses from.
    pub methods: i64,
    /// How the fits stand.
    pub fits: i64,
}

pub async fn of_club(connection: &mut SqliteConnection) -> Result<ClubMarks, StoreError> {
    Ok(sqlx::query_as!(
        ClubMarks,
        r#"SELECT names, settings AS "settings: SettingsMark", venues, methods, fits FROM club_marks"#
    )
    .fetch_one(connection)
    .await?)
}

/// Every mark that a peg's page rests on, as they stood at one moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AtPeg {
    pub water: Marks,
    /// Of the pegs that ever bore the number: it moves with every session there.
    pub own: i64,
    pub club: ClubMarks,
}

/// Every mark that the pages of a water rest on, as they stood at one moment.
#[derive(Clone, Debug)]
pub struct AtWater {
    pub water: Marks,
    pub club: ClubMarks,
    /// By the number that pegs bear or bore.
    pegs: HashMap<String, i64>,
}

impl AtWater {
    /// Those of a peg by its number, whether there is one or not.
    pub fn at_peg(&self, number: &str) -> AtPeg {
        AtPeg {
            water: self.water,
            own: self.pegs.get(number).copied().unwrap_or(0),
            club: self.club,
        }
    }
}

/// The marks of a water, in one question; `None` where there is no such water.
pub async fn at_water(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<Option<AtWater>, StoreError> {
    let row = sqlx::query!(
        r#"SELECT COALESCE((SELECT mark FROM data_marks WHERE venue_id = v.id AND topic = 'weather'), 0) AS "weather!: i64",
                  COALESCE((SELECT mark FROM data_marks WHERE venue_id = v.id AND topic = 'sessions'), 0) AS "sessions!: i64",
                  COALESCE((SELECT mark FROM data_marks WHERE venue_id = v.id AND topic = 'matches'), 0) AS "matches!: i64",
                  COALESCE((SELECT mark FROM data_marks WHERE venue_id = v.id AND topic = 'pegs'), 0) AS "pegs!: i64",
                  COALESCE((SELECT mark FROM data_marks WHERE venue_id = v.id AND topic = 'diary'), 0) AS "diary!: i64",
                  (SELECT json_group_object(number, mark)
                   FROM (SELECT p.number, SUM(m.mark) AS mark FROM pegs AS p JOIN peg_marks AS m ON m.peg_id = p.id
                         WHERE p.venue_id = v.id GROUP BY p.number)) AS "by_number!: String",
                  c.names AS "names!: i64", c.settings AS "settings!: SettingsMark", c.venues AS "venues!: i64",
                  c.methods AS "methods!: i64", c.fits AS "fits!: i64"
           FROM venues AS v CROSS JOIN club_marks AS c WHERE v.id = ?"#,
        venue
    )
    .fetch_optional(connection)
    .await?;
    let Some(row) = row else {
        return Ok(None);
    };
    let pegs = serde_json::from_str(&row.by_number);
    Ok(Some(AtWater {
        water: Marks {
            weather: row.weather,
            sessions: row.sessions,
            matches: row.matches,
            pegs: row.pegs,
            diary: row.diary,
        },
        club: ClubMarks {
            names: row.names,
            settings: row.settings,
            venues: row.venues,
            methods: row.methods,
            fits: row.fits,
        },
        pegs: pegs.map_err(|e| sqlx::Error::Decode(e.into()))?,
    }))
}
