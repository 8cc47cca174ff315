//! Writing sessions.

use sqlx::SqliteConnection;

use crate::{
    domain::{
        dates::Instant,
        ids::*,
        sessions::{Caught, Report, Spell},
    },
    store::{StoreError, matches},
};

/// What a new report needs beside its own words.
pub struct NewSession<'a> {
    pub pid: &'a Pid,
    pub angler: AnglerId,
    pub zone: &'a str,
    pub entered_by: Option<AccountId>,
    pub entered: Instant,
    pub was_junior: bool,
    pub submission_key: Option<&'a str>,
}

/// Where the effort of a report comes from.
fn effort_source(report: &Report) -> &'static str {
    match report.rod_hours() {
        None => "unknown",
        Some(_) if report.spells.iter().all(|spell| spell.uncovered) => "session",
        Some(_) => "spells",
    }
}

/// Adds a report as a session of its own, without its parts (see [`replace_parts`]).
pub async fn insert(
    connection: &mut SqliteConnection,
    new: &NewSession<'_>,
    report: &Report,
) -> Result<SessionId, StoreError> {
    let (visibility, effort) = (report.visibility.as_str(), effort_source(report));
    let row = sqlx::query!(
        "INSERT INTO sessions (pid, kind, angler_id, venue_id, fished_on, zone, start_utc, end_utc, effort_source,
                               visibility, remarks, has_report, entered_by, entered_utc, was_junior, submission_key)
         VALUES (?, 'report', ?, ?, ?, ?, ?, ?, ?, ?, ?, 1, ?, ?, ?, ?)",
        new.pid, new.angler, report.venue, report.day, new.zone, report.start, report.end, effort,
        visibility, report.remarks, new.entered_by, new.entered, new.was_junior, new.submission_key
    )
    .execute(connection)
    .await?;
    Ok(SessionId(row.last_insert_rowid()))
}

/// Puts a report's own words on a session that is there already and raises its version. At another
/// water it is told in that water's zone.
pub async fn update(
    connection: &mut SqliteConnection,
    session: SessionId,
    report: &Report,
) -> Result<(), StoreError> {
    let (visibility, effort) = (report.visibility.as_str(), effort_source(report));
    sqlx::query!(
        "UPDATE sessions SET ver = ver + 1, has_report = 1, venue_id = ?1,
                zone = CASE WHEN venue_id = ?1 THEN zone ELSE (SELECT v.zone FROM venues AS v WHERE v.id = ?1) END,
                fished_on = ?2, visibility = ?3, remarks = ?4, start_utc = ?5, end_utc = ?6, effort_source = ?7
         WHERE id = ?8",
        report.venue, report.day, visibility, report.remarks, report.start, report.end, effort, session
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// Replaces spells, fish and tallies by those of the report; its kept catches are not worked out.
pub async fn replace_parts(
    connection: &mut SqliteConnection,
    session: SessionId,
    report: &Report,
) -> Result<(), StoreError> {
    clear_catch(connection, session).await?;
    sqlx::query!("DELETE FROM spells WHERE session_id = ?", session)
        .execute(&mut *connection)
        .await?;
    add_parts(connection, session, report).await
}

/// Adds spells, fish and tallies to a session that has none; its kept catches are not worked out.
pub async fn add_parts(
    connection: &mut SqliteConnection,
    session: SessionId,
    report: &Report,
) -> Result<(), StoreError> {
    add_spells(connection, session, &report.spells).await?;
    add_totals(connection, session, &report.caught).await?;
    let mut ord = report.caught.len() as i64;
    for fish in &report.named {
        ord += 1;
        let group = fish.group.bit();
        let weight = fish.weight.map(|w| w.amount());
        let scale = fish.weight.map(|w| w.scale().as_str());
        sqlx::query!(
            "INSERT INTO fish (session_id, ord, row_kind, species_id, group_set, count, weight, scale, at_utc)
             VALUES (?, ?, 'named', ?, ?, 1, ?, ?, ?)",
            session, ord, fish.species, group, weight, scale, fish.at
        )
        .execute(&mut *connection)
        .await?;
    }
    for tally in &report.tallies {
        let group = tally.group.bit();
        sqlx::query!(
            "INSERT INTO tallies (session_id, from_utc, to_utc, group_id, count) VALUES (?, ?, ?, ?, ?)",
            session, tally.from, tally.to, group, tally.count
        )
        .execute(&mut *connection)
        .await?;
    }
    Ok(())
}

async fn add_spells(
    connection: &mut SqliteConnection,
    session: SessionId,
    spells: &[Spell],
) -> Result<(), StoreError> {
    for (place, spell) in spells.iter().enumerate() {
        let (ord, opening) = (place as i64 + 1, place == 0 && !spell.uncovered);
        let depth = spell.depth.map(|length| length.metres());
        let line = spell.line.map(|length| length.metres());
        let aim = spell.aim.map(|length| length.metres());
        sqlx::query!(
            "INSERT INTO spells (session_id, ord, peg_id, method_id, bait_id, depth_m, line_m, aim_m,
                                 from_utc, to_utc, minutes, rods, is_opening, uncovered)
             VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            session, ord, spell.peg, spell.method, spell.bait, depth, line, aim,
            spell.from, spell.to, spell.minutes, spell.rods, opening, spell.uncovered
        )
        .execute(&mut *connection)
        .await?;
    }
    Ok(())
}

/// The totals of all sets in one question: every question costs a turn of SQLite's thread.
async fn add_totals(
    connection: &mut SqliteConnection,
    session: SessionId,
    caught: &[Caught],
) -> Result<(), StoreError> {
    let row = |one: &Caught| {
        let (amount, scale) = one.weight.map(|w| (w.amount(), w.scale().as_str())).unzip();
        serde_json::json!([one.groups.bits(), one.count, amount, scale])
    };
    let rows = serde_json::Value::from_iter(caught.iter().map(row)).to_string();
    sqlx::query!(
        "INSERT INTO catch_coverage (session_id, group_set, count_known, weight_known)
         SELECT ?, value ->> 0, value ->> 1 IS NOT NULL, value ->> 2 IS NOT NULL FROM json_each(?);
         INSERT INTO fish (session_id, ord, row_kind, group_set, count, weight, scale)
         SELECT ?, key + 1, 'total', value ->> 0, value ->> 1, value ->> 2, value ->> 3 FROM json_each(?)",
        session,
        rows,
        session,
        rows
    )
    .execute(connection)
    .await?;
    Ok(())
}

async fn clear_catch(
    connection: &mut SqliteConnection,
    session: SessionId,
) -> Result<(), StoreError> {
    sqlx::query!(
        "DELETE FROM fish WHERE session_id = ?;
         DELETE FROM tallies WHERE session_id = ?;
         DELETE FROM catch_coverage WHERE session_id = ?",
        session,
        session,
        session
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// Hides a report that stands by itself.
pub async fn remove(
    connection: &mut SqliteConnection,
    session: SessionId,
    now: Instant,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE sessions SET removed_utc = ?, ver = ver + 1 WHERE id = ?",
        now,
        session
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// Takes the angler's own part off a match session: it is as the match, and the sheet it came
/// from, tell it again.
pub async fn detach_report(
    connection: &mut SqliteConnection,
    session: SessionId,
) -> Result<(), StoreError> {
    clear_catch(connection, session).await?;
    matches::sessions::as_the_match_tells(&mut *connection, session).await?;
    sqlx::query!(
        "UPDATE sessions SET ver = ver + 1, has_report = 0, visibility = 'club' WHERE id = ?",
        session
    )
    .execute(&mut *connection)
    .await?;
    super::refresh_catches(connection, session).await
}
