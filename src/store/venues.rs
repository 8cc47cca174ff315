//! Venues, their banks and pegs, closures and the diary; and what a peg's page lists.

use sqlx::SqliteConnection;

use super::StoreError;
use crate::domain::{
    dates::{Day, Instant, Zone},
    groups::GroupSet,
    ids::*,
    pegs::{Closure, Peg},
    units::Scale,
    venues::{Bank, CloseSeason, MonthDay, Venue, WaterKind},
};

/// A venue as the list shows it.
pub struct VenueLine {
    pub id: VenueId,
    pub name: String,
    pub kind: String,
    pub pegs: i64,
    pub banks: i64,
}

pub async fn all(connection: &mut SqliteConnection) -> Result<Vec<VenueLine>, StoreError> {
    Ok(sqlx::query_as!(
        VenueLine,
        r#"SELECT v.id AS "id: VenueId", v.name, v.kind,
                  (SELECT COUNT(*) FROM pegs AS p WHERE p.venue_id = v.id AND p.valid_to IS NULL) AS "pegs!: i64",
                  (SELECT COUNT(DISTINCT p.bank_id) FROM pegs AS p WHERE p.venue_id = v.id AND p.valid_to IS NULL) AS "banks!: i64"
           FROM venues AS v ORDER BY v.name COLLATE NOCASE"#
    )
    .fetch_all(connection)
    .await?)
}

fn unreadable(what: &str) -> StoreError {
    StoreError::Sql(sqlx::Error::Decode(
        format!("a stored value that is no {what}").into(),
    ))
}

pub async fn by_id(
    connection: &mut SqliteConnection,
    id: VenueId,
) -> Result<Option<Venue>, StoreError> {
    let row = sqlx::query!(
        r#"SELECT pid AS "pid: Pid", ver, name, kind, zone, lat, lon, weighs_in, rules_text, emergency_text, close_from, close_to
           FROM venues WHERE id = ?"#,
        id
    )
    .fetch_optional(connection)
    .await?;
    let Some(row) = row else { return Ok(None) };
    let month_day = |text: &str| MonthDay::parse(text).ok_or_else(|| unreadable("day of a year"));
    let close_season = match (&row.close_from, &row.close_to) {
        (Some(from), Some(to)) => Some(CloseSeason {
            from: month_day(from)?,
            to: month_day(to)?,
        }),
        _ => None,
    };
    Ok(Some(Venue {
        id,
        pid: row.pid,
        version: row.ver,
        name: row.name,
        kind: WaterKind::parse(&row.kind).ok_or_else(|| unreadable("kind of water"))?,
        zone: Zone::named(&row.zone).ok_or_else(|| unreadable("time zone"))?,
        position: row.lat.zip(row.lon),
        weighs_in: Scale::parse(&row.weighs_in).ok_or_else(|| unreadable("unit of scales"))?,
        rules: row.rules_text,
        emergency: row.emergency_text,
        close_season,
    }))
}

/// What is kept of a venue itself, as it is saved.
pub struct VenueRow<'a> {
    pub name: &'a str,
    pub kind: WaterKind,
    pub zone: &'a str,
    pub position: Option<(f64, f64)>,
    pub weighs_in: Scale,
    pub rules: Option<&'a str>,
    pub emergency: Option<&'a str>,
    pub close_season: Option<CloseSeason>,
}

pub async fn insert(
    connection: &mut SqliteConnection,
    pid: &Pid,
    row: &VenueRow<'_>,
) -> Result<VenueId, StoreError> {
    let (kind, scale) = (row.kind.as_str(), row.weighs_in.as_str());
    let (lat, lon) = row.position.unzip();
    let (from, to) = row
        .close_season
        .map(|s| (s.from.to_string(), s.to.to_string()))
        .unzip();
    let made = sqlx::query!(
        "INSERT INTO venues (pid, name, kind, zone, lat, lon, weighs_in, rules_text, emergency_text, close_from, close_to)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        pid, row.name, kind, row.zone, lat, lon, scale, row.rules, row.emergency, from, to
    )
    .execute(connection)
    .await?;
    Ok(VenueId(made.last_insert_rowid()))
}

/// Saves over version `version`; `false` when somebody saved first.
pub async fn update(
    connection: &mut SqliteConnection,
    id: VenueId,
    version: i64,
    row: &VenueRow<'_>,
) -> Result<bool, StoreError> {
    let (kind, scale) = (row.kind.as_str(), row.weighs_in.as_str());
    let (lat, lon) = row.position.unzip();
    let (from, to) = row
        .close_season
        .map(|s| (s.from.to_string(), s.to.to_string()))
        .unzip();
    let saved = sqlx::query!(
        "UPDATE venues SET ver = ver + 1, name = ?, kind = ?, zone = ?, lat = ?, lon = ?, weighs_in = ?, rules_text = ?,
                emergency_text = ?, close_from = ?, close_to = ? WHERE id = ? AND ver = ?",
        row.name, kind, row.zone, lat, lon, scale, row.rules, row.emergency, from, to, id, version
    )
    .execute(connection)
    .await?;
    Ok(saved.rows_affected() == 1)
}

/// The banks of a venue in walking order, those without pegs too.
pub async fn banks(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<Vec<Bank>, StoreError> {
    Ok(sqlx::query_as!(
        Bank,
        r#"SELECT id AS "id: BankId", venue_id AS "venue: VenueId", ord, name, facing_deg
           FROM banks WHERE venue_id = ? ORDER BY ord, id"#,
        venue
    )
    .fetch_all(connection)
    .await?)
}

pub async fn insert_bank(
    connection: &mut SqliteConnection,
    venue: VenueId,
    ord: i64,
    name: &str,
    facing_deg: Option<f64>,
) -> Result<BankId, StoreError> {
    let made = sqlx::query!(
        "INSERT INTO banks (venue_id, ord, name, facing_deg) VALUES (?, ?, ?, ?)",
        venue,
        ord,
        name,
        facing_deg
    )
    .execute(connection)
    .await?;
    Ok(BankId(made.last_insert_rowid()))
}

pub async fn update_bank(
    connection: &mut SqliteConnection,
    id: BankId,
    ord: i64,
    name: &str,
    facing_deg: Option<f64>,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE banks SET ord = ?, name = ?, facing_deg = ? WHERE id = ?",
        ord,
        name,
        facing_deg,
        id
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// Every peg a venue ever had, with its closures, in walking order.
pub async fn pegs(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<Vec<Peg>, StoreError> {
    let rows = sqlx::query!(
        r#"SELECT p.id AS "id: PegId", p.bank_id AS "bank: BankId", p.number, p.walk_order, p.end_peg AS "end_peg: bool",
                  p.accessible AS "accessible: bool", p.x_m, p.y_m, p.valid_from AS "valid_from: Day", p.valid_to AS "valid_to: Day"
           FROM pegs AS p JOIN banks AS b ON b.id = p.bank_id
           WHERE p.venue_id = ? ORDER BY b.ord, b.id, p.walk_order, p.id"#,
        venue
    )
    .fetch_all(&mut *connection)
    .await?;
    let closures = closures(connection, venue).await?;
    Ok(rows
        .into_iter()
        .map(|row| Peg {
            closures: closures
                .iter()
                .filter(|c| c.peg == row.id)
                .map(|c| c.closure.clone())
                .collect(),
            id: row.id,
            bank: row.bank,
            number: row.number,
            walk_order: row.walk_order,
            end_peg: row.end_peg,
            accessible: row.accessible,
            at: row.x_m.zip(row.y_m),
            valid_from: row.valid_from,
            valid_to: row.valid_to,
        })
        .collect())
}

/// Where a peg stands and what it is.
pub struct PegPlace<'a> {
    pub bank: BankId,
    pub number: &'a str,
    pub walk_order: i64,
    pub end_peg: bool,
    pub accessible: bool,
}

pub async fn insert_peg(
    connection: &mut SqliteConnection,
    venue: VenueId,
    place: &PegPlace<'_>,
    from: Day,
) -> Result<PegId, StoreError> {
    let made = sqlx::query!(
        "INSERT INTO pegs (venue_id, bank_id, number, walk_order, end_peg, accessible, valid_from) VALUES (?, ?, ?, ?, ?, ?, ?)",
        venue, place.bank, place.number, place.walk_order, place.end_peg, place.accessible, from
    )
    .execute(connection)
    .await?;
    Ok(PegId(made.last_insert_rowid()))
}

/// Places a peg anew and has it in use.
pub async fn place_peg(
    connection: &mut SqliteConnection,
    id: PegId,
    place: &PegPlace<'_>,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE pegs SET bank_id = ?, walk_order = ?, end_peg = ?, accessible = ?, valid_to = NULL WHERE id = ?",
        place.bank, place.walk_order, place.end_peg, place.accessible, id
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// The peg is no more after the day `last`; its history stays.
pub async fn retire_peg(
    connection: &mut SqliteConnection,
    id: PegId,
    last: Day,
) -> Result<(), StoreError> {
    sqlx::query!("UPDATE pegs SET valid_to = ? WHERE id = ?", last, id)
        .execute(connection)
        .await?;
    Ok(())
}

/// A closure with the peg it closes.
pub struct ClosureLine {
    pub id: ClosureId,
    pub peg: PegId,
    pub number: String,
    pub closure: Closure,
}

pub async fn closures(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<Vec<ClosureLine>, StoreError> {
    let rows = sqlx::query!(
        r#"SELECT c.id AS "id: ClosureId", c.peg_id AS "peg: PegId", p.number, c.from_on AS "from: Day", c.to_on AS "to: Day", c.reason
           FROM peg_closures AS c JOIN pegs AS p ON p.id = c.peg_id
           WHERE p.venue_id = ? ORDER BY c.from_on DESC, p.walk_order, c.id"#,
        venue
    )
    .fetch_all(connection)
    .await?;
    Ok(rows
        .into_iter()
        .map(|row| ClosureLine {
            id: row.id,
            peg: row.peg,
            number: row.number,
            closure: Closure {
                from: row.from,
                to: row.to,
                reason: row.reason,
            },
        })
        .collect())
}

pub async fn insert_closure(
    connection: &mut SqliteConnection,
    peg: PegId,
    closure: &Closure,
) -> Result<(), StoreError> {
    sqlx::query!(
        "INSERT INTO peg_closures (peg_id, from_on, to_on, reason) VALUES (?, ?, ?, ?)",
        peg,
        closure.from,
        closure.to,
        closure.reason
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// Ends a closure after the day `last`; one that had not yet begun by then goes altogether.
pub async fn end_closure(
    connection: &mut SqliteConnection,
    id: ClosureId,
    last: Day,
) -> Result<(), StoreError> {
    sqlx::query!(
        "DELETE FROM peg_closures WHERE id = ? AND from_on > ?",
        id,
        last
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!("UPDATE peg_closures SET to_on = ? WHERE id = ?", last, id)
        .execute(connection)
        .await?;
    Ok(())
}

/// What is written into the diary.
pub struct DiaryEntry {
    pub on: Day,
    pub kind: String,
    pub words: String,
    pub kg: Option<f64>,
    pub group: Option<i64>,
}

pub async fn insert_diary(
    connection: &mut SqliteConnection,
    venue: VenueId,
    entry: &DiaryEntry,
    by: Option<AccountId>,
    at: Instant,
) -> Result<(), StoreError> {
    sqlx::query!(
        "INSERT INTO venue_diary (venue_id, on_date, kind, words, kg, group_id, by_account, at_utc) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        venue, entry.on, entry.kind, entry.words, entry.kg, entry.group, by, at
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// The diary, latest day first.
pub async fn diary(
    connection: &mut SqliteConnection,
    venue: VenueId,
    limit: i64,
) -> Result<Vec<DiaryEntry>, StoreError> {
    Ok(sqlx::query_as!(
        DiaryEntry,
        r#"SELECT on_date AS "on: Day", kind, words, kg, group_id AS "group"
           FROM venue_diary WHERE venue_id = ? ORDER BY on_date DESC, id DESC LIMIT ?"#,
        venue,
        limit
    )
    .fetch_all(connection)
    .await?)
}

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
