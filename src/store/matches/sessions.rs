//! The session behind an entry that fished: made, attached to the angler's own report, let go.

use sqlx::SqliteConnection;

use super::Match;
use crate::{
    domain::{dates::Instant, ids::*},
    store::StoreError,
};

pub struct EntrySession {
    pub id: SessionId,
    pub has_report: bool,
}

pub async fn of_entry(
    connection: &mut SqliteConnection,
    entry: EntryId,
) -> Result<Option<EntrySession>, StoreError> {
    Ok(sqlx::query_as!(
        EntrySession,
        r#"SELECT id AS "id: SessionId", has_report AS "has_report: bool" FROM sessions WHERE entry_id = ?"#,
        entry
    )
    .fetch_optional(connection)
    .await?)
}

/// The angler's own report of that day at that water whose hours overlap the match's, or are not known.
pub async fn report_to_attach(
    connection: &mut SqliteConnection,
    the_match: &Match,
    angler: AnglerId,
) -> Result<Option<SessionId>, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT id AS "id: SessionId" FROM sessions
           WHERE kind = 'report' AND angler_id = ?1 AND venue_id = ?2 AND fished_on = ?3 AND removed_utc IS NULL
             AND (start_utc IS NULL OR end_utc IS NULL OR ?4 IS NULL OR ?5 IS NULL OR (start_utc < ?5 AND end_utc > ?4))
             AND (import_id IS NULL OR EXISTS (SELECT 1 FROM imports AS i WHERE i.id = import_id AND i.state <> 'undone'))
           ORDER BY entered_utc, id LIMIT 1"#,
        angler,
        the_match.venue,
        the_match.on,
        the_match.start,
        the_match.finish
    )
    .fetch_optional(connection)
    .await?)
}

/// Joins a report to an entry.
pub async fn attach(
    connection: &mut SqliteConnection,
    session: SessionId,
    entry: EntryId,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE sessions SET kind = 'match', entry_id = ?, has_report = 1, ver = ver + 1 WHERE id = ?",
        entry,
        session
    )
    .execute(&mut *connection)
    .await?;
    fill_hours(connection, session, entry).await
}

/// Where a report says no hours, the match's stand: its one spell, or one made for it, takes them,
/// and the drawn peg where it names none. Several spells without times are left as they are.
pub async fn fill_hours(
    connection: &mut SqliteConnection,
    session: SessionId,
    entry: EntryId,
) -> Result<(), StoreError> {
    sqlx::query!(
        "INSERT INTO spells (session_id, ord, rods, uncovered)
         SELECT ?1, 1, 1, 1 WHERE NOT EXISTS (SELECT 1 FROM spells WHERE session_id = ?1)",
        session
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!(
        "UPDATE spells SET from_utc = m.start_utc, to_utc = COALESCE(e.stopped_utc, m.finish_utc),
                minutes = (COALESCE(e.stopped_utc, m.finish_utc) - m.start_utc) / 60.0, peg_id = COALESCE(spells.peg_id, e.peg_id)
         FROM entries AS e JOIN matches AS m ON m.id = e.match_id
         WHERE spells.session_id = ?1 AND e.id = ?2 AND spells.minutes IS NULL
           AND m.start_utc IS NOT NULL AND m.finish_utc IS NOT NULL
           AND (SELECT COUNT(*) FROM spells AS s WHERE s.session_id = ?1) = 1",
        session,
        entry
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!(
        "UPDATE sessions SET effort_source = 'match hours', start_utc = p.from_utc, end_utc = p.to_utc
         FROM spells AS p
         WHERE sessions.id = ?1 AND p.session_id = ?1 AND sessions.effort_source = 'unknown' AND p.minutes IS NOT NULL",
        session
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// The angler's own report stands by itself again, without the hours that only the match gave it.
/// A drawn peg stays: whether the report named it is not kept.
pub async fn detach(
    connection: &mut SqliteConnection,
    session: SessionId,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE spells SET from_utc = NULL, to_utc = NULL, minutes = NULL
         WHERE session_id = ?1 AND (SELECT effort_source FROM sessions WHERE id = ?1) = 'match hours'",
        session
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!(
        "UPDATE sessions SET kind = 'report', entry_id = NULL, ver = ver + 1,
                start_utc = CASE effort_source WHEN 'match hours' THEN NULL ELSE start_utc END,
                end_utc = CASE effort_source WHEN 'match hours' THEN NULL ELSE end_utc END,
                effort_source = CASE effort_source WHEN 'match hours' THEN 'unknown' ELSE effort_source END
         WHERE id = ?",
        session
    )
    .execute(connection)
    .await?;
    Ok(())
}

pub async fn delete(
    connection: &mut SqliteConnection,
    session: SessionId,
) -> Result<(), StoreError> {
    sqlx::query!("DELETE FROM sessions WHERE id = ?", session)
        .execute(connection)
        .await?;
    Ok(())
}

/// Who fished, on which peg.
pub struct Fished {
    pub pid: Pid,
    pub entry: EntryId,
    pub angler: AnglerId,
    pub peg: Option<PegId>,
    pub was_junior: bool,
}

/// One rod for the match's hours, method not known.
pub async fn insert(
    connection: &mut SqliteConnection,
    the_match: &Match,
    fished: &Fished,
    by: Option<AccountId>,
    now: Instant,
) -> Result<SessionId, StoreError> {
    let hours = the_match.start.zip(the_match.finish);
    let source = if hours.is_some() {
        "match hours"
    } else {
        "unknown"
    };
    let minutes = hours.map(|(start, finish)| finish.minutes_since(start));
    let id = sqlx::query!(
        "INSERT INTO sessions (pid, kind, angler_id, venue_id, fished_on, zone, start_utc, end_utc, effort_source,
                               entry_id, visibility, entered_by, entered_utc, was_junior)
         VALUES (?, 'match', ?, ?, ?, ?, ?, ?, ?, ?, 'club', ?, ?, ?)",
        fished.pid, fished.angler, the_match.venue, the_match.on, the_match.zone, the_match.start, the_match.finish,
        source, fished.entry, by, now, fished.was_junior
    )
    .execute(&mut *connection)
    .await?
    .last_insert_rowid();
    sqlx::query!(
        "INSERT INTO spells (session_id, ord, peg_id, from_utc, to_utc, minutes, rods, is_opening, uncovered)
         VALUES (?, 1, ?, ?, ?, ?, 1, 0, 1)",
        id,
        fished.peg,
        the_match.start,
        the_match.finish,
        minutes
    )
    .execute(connection)
    .await?;
    Ok(SessionId(id))
}

/// The peg of an entry was put right: so is its session's, where no report says otherwise.
pub async fn set_peg(
    connection: &mut SqliteConnection,
    entry: EntryId,
    peg: Option<PegId>,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE spells SET peg_id = ?2
         WHERE session_id IN (SELECT id FROM sessions WHERE entry_id = ?1 AND has_report = 0)",
        entry,
        peg
    )
    .execute(connection)
    .await?;
    Ok(())
}
