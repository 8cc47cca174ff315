//! Reading sessions back.

use sqlx::SqliteConnection;

use crate::{
    domain::{
        dates::{Day, Instant},
        groups::{Group, GroupSet},
        ids::*,
        sessions::{Caught, NamedFish, Report, Spell, Tally, Visibility, match_part::Part},
        units::{Length, Scale, Weight},
    },
    store::StoreError,
};

/// A session without its parts.
#[derive(Clone, Debug)]
pub struct Head {
    pub id: SessionId,
    pub pid: Pid,
    pub ver: i64,
    pub angler: AnglerId,
    pub venue: VenueId,
    pub venue_name: String,
    pub zone: String,
    pub day: Day,
    pub start: Option<Instant>,
    pub end: Option<Instant>,
    pub entry: Option<EntryId>,
    pub match_id: Option<MatchId>,
    pub match_name: Option<String>,
    pub visibility: String,
    pub remarks: Option<String>,
    pub has_report: bool,
    pub was_junior: bool,
}

/// A session that is not taken back, nor of an undone import.
pub async fn by_pid(
    connection: &mut SqliteConnection,
    pid: &Pid,
) -> Result<Option<Head>, StoreError> {
    Ok(sqlx::query_as!(
        Head,
        r#"SELECT s.id AS "id: SessionId", s.pid AS "pid: Pid", s.ver, s.angler_id AS "angler: AnglerId",
                  s.venue_id AS "venue: VenueId", v.name AS venue_name, s.zone, s.fished_on AS "day: Day",
                  s.start_utc AS "start: Instant", s.end_utc AS "end: Instant", s.entry_id AS "entry: EntryId",
                  e.match_id AS "match_id?: MatchId", COALESCE((SELECT h.name FROM posted_matches AS h WHERE h.match_id = m.id), m.name) AS "match_name?: String", s.visibility, s.remarks, s.has_report AS "has_report: bool",
                  s.was_junior AS "was_junior: bool"
           FROM sessions AS s JOIN venues AS v ON v.id = s.venue_id
           LEFT JOIN entries AS e ON e.id = s.entry_id LEFT JOIN matches AS m ON m.id = e.match_id
           WHERE s.pid = ? AND s.removed_utc IS NULL
             AND NOT EXISTS (SELECT 1 FROM sessions_undone AS u WHERE u.id = s.id)"#,
        pid
    )
    .fetch_optional(connection)
    .await?)
}

/// The angler's sessions of a day at a water that come from matches.
pub struct MatchSession {
    pub id: SessionId,
    pub pid: Pid,
    pub entry: EntryId,
    pub start: Option<Instant>,
    pub end: Option<Instant>,
    pub has_report: bool,
    pub match_name: String,
    pub match_zone: String,
    pub match_start: Option<Instant>,
    pub match_finish: Option<Instant>,
    /// The peg it drew, as posted; before a posting, as drawn.
    pub drawn: Option<PegId>,
    pub drawn_number: Option<String>,
}

impl MatchSession {
    /// What its match says of it.
    pub fn part(&self) -> Part {
        Part {
            start: self.match_start,
            finish: self.match_finish,
            peg: self.drawn,
        }
    }
}

pub async fn match_sessions(
    connection: &mut SqliteConnection,
    angler: AnglerId,
    venue: VenueId,
    day: Day,
) -> Result<Vec<MatchSession>, StoreError> {
    Ok(sqlx::query_as!(
        MatchSession,
        r#"SELECT s.id AS "id: SessionId", s.pid AS "pid: Pid", s.entry_id AS "entry!: EntryId", s.start_utc AS "start: Instant", s.end_utc AS "end: Instant",
                  s.has_report AS "has_report: bool", COALESCE(h.name, m.name) AS "match_name!: String", m.zone AS "match_zone!",
                  CASE WHEN h.match_id IS NULL THEN m.start_utc ELSE h.start_utc END AS "match_start?: Instant",
                  CASE WHEN h.match_id IS NULL THEN m.finish_utc ELSE h.finish_utc END AS "match_finish?: Instant",
                  p.id AS "drawn?: PegId", p.number AS "drawn_number?"
           FROM sessions AS s JOIN entries AS e ON e.id = s.entry_id JOIN matches AS m ON m.id = e.match_id
           LEFT JOIN posted_matches AS h ON h.match_id = m.id
           LEFT JOIN posted_entries AS q ON q.entry_id = e.id
           LEFT JOIN pegs AS p ON p.id = CASE WHEN q.entry_id IS NULL THEN e.peg_id ELSE q.peg_id END
           WHERE s.angler_id = ? AND s.venue_id = ? AND s.fished_on = ? AND s.removed_utc IS NULL
             AND NOT EXISTS (SELECT 1 FROM sessions_undone AS u WHERE u.id = s.id)
           ORDER BY s.start_utc"#,
        angler, venue, day
    )
    .fetch_all(connection)
    .await?)
}

/// The water of the angler's own report that was taken back since.
pub async fn taken_back(
    connection: &mut SqliteConnection,
    pid: &Pid,
    angler: AnglerId,
) -> Result<Option<VenueId>, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT venue_id AS "venue: VenueId" FROM sessions
           WHERE pid = ? AND angler_id = ? AND (removed_utc IS NOT NULL OR has_report = 0)"#,
        pid,
        angler
    )
    .fetch_optional(connection)
    .await?)
}

/// Is there a team that held both anglers that day?
pub async fn same_team(
    connection: &mut SqliteConnection,
    one: AnglerId,
    other: AnglerId,
    day: Day,
) -> Result<bool, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT EXISTS (SELECT 1 FROM team_members AS a JOIN team_members AS b ON b.team_id = a.team_id
             WHERE a.angler_id = ? AND b.angler_id = ? AND a.from_on <= ? AND (a.to_on IS NULL OR a.to_on >= ?)
               AND b.from_on <= ? AND (b.to_on IS NULL OR b.to_on >= ?)) AS "there!: bool""#,
        one, other, day, day, day, day
    )
    .fetch_one(connection)
    .await?)
}

/// The session the angler fished last, whether reported or only known from its match.
pub async fn latest(
    connection: &mut SqliteConnection,
    angler: AnglerId,
) -> Result<Option<Pid>, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT pid AS "pid!: Pid" FROM sessions AS s WHERE angler_id = ? AND removed_utc IS NULL
             AND NOT EXISTS (SELECT 1 FROM sessions_undone AS u WHERE u.id = s.id)
           ORDER BY fished_on DESC, start_utc DESC, id DESC LIMIT 1"#,
        angler
    )
    .fetch_optional(connection)
    .await?)
}

/// A row of somebody's own list.
pub struct Listed {
    pub pid: Pid,
    pub day: Day,
    pub venue_name: String,
    pub pegs: Option<String>,
    pub rod_hours: Option<f64>,
    pub match_name: Option<String>,
    pub has_report: bool,
    pub visibility: String,
    /// Of its widest set of groups: fish by the angler's own count, grams as weighed in or as reported.
    pub caught: Option<i64>,
    pub weight_g: Option<f64>,
    /// The weight was weighed in at a match.
    pub official: bool,
    pub did_not_weigh: bool,
    pub disqualified: bool,
    weighs_in: String,
    /// What was reported of each group, as [`caught_of`] reads it.
    by_group: Option<String>,
}

impl Listed {
    /// What the match's or the water's scales show.
    pub fn scale(&self) -> Scale {
        Scale::parse(&self.weighs_in).unwrap_or(Scale::Drams)
    }

    /// What the angler reported, group by group.
    pub fn reported(&self) -> Vec<Caught> {
        self.by_group.as_deref().map(caught_of).unwrap_or_default()
    }
}

/// What was caught, from the JSON of a query: of each set of groups its bits, the fish, the weight
/// and its scale.
pub(in crate::store) fn caught_of(json: &str) -> Vec<Caught> {
    type Row = (i64, Option<i64>, Option<i64>, Option<String>);
    let rows: Vec<Row> = serde_json::from_str(json).unwrap_or_default();
    let caught = |(groups, count, amount, scale): Row| {
        Some(Caught {
            groups: GroupSet::from_bits(groups)?,
            count,
            weight: weight(amount, scale.as_deref()),
        })
    };
    rows.into_iter().filter_map(caught).collect()
}

/// The angler's sessions, latest first, from `skip`, at most `most`.
pub async fn of_angler(
    connection: &mut SqliteConnection,
    angler: AnglerId,
    skip: i64,
    most: i64,
) -> Result<Vec<Listed>, StoreError> {
    Ok(sqlx::query_as!(
        Listed,
        r#"SELECT s.pid AS "pid: Pid", s.fished_on AS "day: Day", v.name AS venue_name,
                  (SELECT GROUP_CONCAT(number, ', ') FROM (SELECT DISTINCT p.number FROM spells AS l JOIN pegs AS p ON p.id = l.peg_id
                     WHERE l.session_id = s.id ORDER BY l.ord)) AS "pegs?: String",
                  (SELECT CASE WHEN COUNT(l.minutes) = COUNT(*) THEN SUM(l.rods * l.minutes) / 60.0 END
                     FROM spells AS l WHERE l.session_id = s.id) AS "rod_hours?: f64",
                  COALESCE((SELECT h.name FROM posted_matches AS h WHERE h.match_id = m.id), m.name) AS "match_name?: String", s.has_report AS "has_report: bool", s.visibility AS "visibility!: String",
                  c.fish_count AS "caught?: i64", c.weight_g AS "weight_g?: f64", COALESCE(c.official, 0) AS "official!: bool",
                  COALESCE((SELECT q.outcome = 'did not weigh' FROM posted_entries AS q WHERE q.entry_id = s.entry_id), 0) AS "did_not_weigh!: bool",
                  COALESCE((SELECT q.outcome = 'disqualified' FROM posted_entries AS q WHERE q.entry_id = s.entry_id), 0) AS "disqualified!: bool",
                  COALESCE(m.scale, v.weighs_in) AS "weighs_in!: String",
                  (SELECT JSON_GROUP_ARRAY(JSON_ARRAY(f.group_set, f.count, f.weight, f.scale))
                     FROM (SELECT * FROM fish AS g WHERE g.session_id = s.id AND g.row_kind <> 'named' ORDER BY g.ord) AS f) AS "by_group?: String"
           FROM sessions AS s JOIN venues AS v ON v.id = s.venue_id
           LEFT JOIN entries AS e ON e.id = s.entry_id LEFT JOIN matches AS m ON m.id = e.match_id
           LEFT JOIN session_catches AS c ON c.session_id = s.id
             AND c.group_set = (SELECT MAX(w.group_set) FROM session_catches AS w WHERE w.session_id = s.id)
           WHERE s.angler_id = ? AND s.removed_utc IS NULL
             AND NOT EXISTS (SELECT 1 FROM sessions_undone AS u WHERE u.id = s.id)
           ORDER BY s.fished_on DESC, s.id DESC LIMIT ? OFFSET ?"#,
        angler, most, skip
    )
    .fetch_all(connection)
    .await?)
}

/// What was weighed in of a session, as posted.
pub struct WeighedIn {
    pub groups: GroupSet,
    /// Grams; not known where it did not weigh.
    pub weight_g: Option<f64>,
    pub disqualified: bool,
    scale: String,
}

impl WeighedIn {
    /// What the match's scales show.
    pub fn scale(&self) -> Scale {
        Scale::parse(&self.scale).unwrap_or(Scale::Drams)
    }
}

/// What stands posted of an entry, a row for each kind of net.
pub async fn weighed_in(
    connection: &mut SqliteConnection,
    entry: EntryId,
) -> Result<Vec<WeighedIn>, StoreError> {
    Ok(sqlx::query_as!(
        WeighedIn,
        r#"SELECT o.group_set AS "groups!: GroupSet", o.weight_g AS "weight_g?: f64", m.scale AS "scale!: String",
                  COALESCE((SELECT q.outcome = 'disqualified' FROM posted_entries AS q WHERE q.entry_id = o.entry_id), 0) AS "disqualified!: bool"
           FROM posted_nets AS o JOIN entries AS e ON e.id = o.entry_id JOIN readable_matches AS m ON m.id = e.match_id
           WHERE o.entry_id = ? ORDER BY o.group_set"#,
        entry
    )
    .fetch_all(connection)
    .await?)
}

/// How many sessions the angler has on record.
pub async fn count_of_angler(
    connection: &mut SqliteConnection,
    angler: AnglerId,
) -> Result<i64, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT COUNT(*) AS "n!: i64" FROM sessions AS s WHERE s.angler_id = ? AND s.removed_utc IS NULL
             AND NOT EXISTS (SELECT 1 FROM sessions_undone AS u WHERE u.id = s.id)"#,
        angler
    )
    .fetch_one(connection)
    .await?)
}

fn weight(amount: Option<i64>, scale: Option<&str>) -> Option<Weight> {
    Weight::new(amount?, Scale::parse(scale?)?)
}

fn group_of(bit: i64) -> Option<Group> {
    Group::ALL.into_iter().find(|group| group.bit() == bit)
}

/// A session's own part, as it was reported.
pub async fn report(connection: &mut SqliteConnection, head: &Head) -> Result<Report, StoreError> {
    let spells = spells(connection, head.id).await?;
    let fish = sqlx::query!(
        r#"SELECT row_kind, species_id AS "species: SpeciesId", group_set AS "groups: GroupSet", count, weight, scale,
                  at_utc AS "at: Instant"
           FROM fish WHERE session_id = ? ORDER BY ord"#,
        head.id
    )
    .fetch_all(&mut *connection)
    .await?;
    let (mut caught, mut named) = (Vec::new(), Vec::new());
    for row in fish {
        let weight = weight(row.weight, row.scale.as_deref());
        match (
            row.row_kind.as_str(),
            row.species,
            group_of(row.groups.bits()),
        ) {
            ("named", Some(species), Some(group)) => {
                named.push(NamedFish {
                    species,
                    group,
                    weight,
                    at: row.at,
                });
            }
            ("named", _, _) => {}
            _ => caught.push(Caught {
                groups: row.groups,
                count: row.count,
                weight,
            }),
        }
    }
    let rows = sqlx::query!(
        r#"SELECT from_utc AS "from: Instant", to_utc AS "to: Instant", group_id, count FROM tallies WHERE session_id = ? ORDER BY group_id, from_utc"#,
        head.id
    )
    .fetch_all(connection)
    .await?;
    let tallies = rows
        .into_iter()
        .filter_map(|row| {
            let group = group_of(row.group_id)?;
            Some(Tally {
                group,
                from: row.from,
                to: row.to,
                count: row.count,
            })
        })
        .collect();
    Ok(Report {
        venue: head.venue,
        day: head.day,
        start: head.start,
        end: head.end,
        spells,
        caught,
        named,
        tallies,
        remarks: head.remarks.clone(),
        visibility: Visibility::parse(&head.visibility).unwrap_or(Visibility::Private),
    })
}

async fn spells(
    connection: &mut SqliteConnection,
    session: SessionId,
) -> Result<Vec<Spell>, StoreError> {
    let rows = sqlx::query!(
        r#"SELECT peg_id AS "peg: PegId", method_id AS "method: MethodId", bait_id AS "bait: BaitId", depth_m, line_m, aim_m,
                  from_utc AS "from: Instant", to_utc AS "to: Instant", minutes, rods, uncovered AS "uncovered: bool"
           FROM spells WHERE session_id = ? ORDER BY ord"#,
        session
    )
    .fetch_all(connection)
    .await?;
    Ok(rows
        .into_iter()
        .map(|row| Spell {
            peg: row.peg,
            method: row.method,
            bait: row.bait,
            depth: row.depth_m.map(Length::from_metres),
            line: row.line_m.map(Length::from_metres),
            aim: row.aim_m.map(Length::from_metres),
            from: row.from,
            to: row.to,
            minutes: row.minutes,
            rods: row.rods,
            uncovered: row.uncovered,
        })
        .collect())
}
