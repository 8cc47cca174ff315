//! The session behind an entry that fished: made, attached to the angler's own report, let go.

use sqlx::SqliteConnection;

use super::Match;
use crate::{
    domain::{dates::Instant, ids::*},
    store::StoreError,
};

pub struct EntrySession {
    pub id: SessionId,
    pub pid: Pid,
    pub has_report: bool,
}

pub async fn of_entry(
    connection: &mut SqliteConnection,
    entry: EntryId,
) -> Result<Option<EntrySession>, StoreError> {
    Ok(sqlx::query_as!(
        EntrySession,
        r#"SELECT id AS "id: SessionId", pid AS "pid: Pid", has_report AS "has_report: bool" FROM sessions WHERE entry_id = ?"#,
        entry
    )
    .fetch_optional(connection)
    .await?)
}

/// Entries of the match that have a session though nothing stands posted of them, or an absence.
pub async fn no_longer_posted(
    connection: &mut SqliteConnection,
    id: MatchId,
) -> Result<Vec<EntrySession>, StoreError> {
    Ok(sqlx::query_as!(
        EntrySession,
        r#"SELECT s.id AS "id: SessionId", s.pid AS "pid: Pid", s.has_report AS "has_report: bool"
           FROM entries AS e JOIN sessions AS s ON s.entry_id = e.id
           LEFT JOIN posted_entries AS p ON p.entry_id = e.id
           WHERE e.match_id = ? AND (p.outcome IS NULL OR p.outcome = 'absent')"#,
        id
    )
    .fetch_all(connection)
    .await?)
}

/// The angler's own reports of that day at that water whose hours overlap the match's, or are not
/// known. Which of them agrees with the entry is for the caller to see.
pub async fn reports_to_attach(
    connection: &mut SqliteConnection,
    the_match: &Match,
    angler: AnglerId,
) -> Result<Vec<Pid>, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT pid AS "pid: Pid" FROM sessions
           WHERE kind = 'report' AND angler_id = ?1 AND venue_id = ?2 AND fished_on = ?3 AND removed_utc IS NULL
             AND (start_utc IS NULL OR end_utc IS NULL OR ?4 IS NULL OR ?5 IS NULL OR (start_utc < ?5 AND end_utc > ?4))
             AND (import_id IS NULL OR EXISTS (SELECT 1 FROM imports AS i WHERE i.id = import_id AND i.state <> 'undone'))
           ORDER BY entered_utc, id"#,
        angler,
        the_match.venue,
        the_match.on,
        the_match.start,
        the_match.finish
    )
    .fetch_all(connection)
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
    fill_gaps(connection, session, entry).await
}

/// Where a report says no hours, the entry's stand: its one spell, or one made for it, takes them.
/// Several spells without times are left as they are. Where it names no peg, the drawn one stands.
pub async fn fill_gaps(
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
        "UPDATE spells SET hours_of_match = 1
         WHERE session_id = ?1 AND minutes IS NULL
           AND EXISTS (SELECT 1 FROM entry_hours AS h WHERE h.entry_id = ?2 AND h.minutes IS NOT NULL)
           AND (SELECT COUNT(*) FROM spells AS s WHERE s.session_id = ?1) = 1",
        session,
        entry
    )
    .execute(&mut *connection)
    .await?;
    take_hours(&mut *connection, session, entry).await?;
    follow_the_draw(connection, session, entry).await
}

/// The session of an entry that no report tells of has the match's day; hours that only the match
/// gave are the match's as they stand posted.
pub async fn follow_the_match(
    connection: &mut SqliteConnection,
    session: SessionId,
    entry: EntryId,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE sessions SET fished_on = m.on_date FROM entries AS e JOIN matches AS m ON m.id = e.match_id
         WHERE sessions.id = ? AND e.id = ? AND sessions.has_report = 0 AND sessions.fished_on <> m.on_date",
        session,
        entry
    )
    .execute(&mut *connection)
    .await?;
    take_hours(connection, session, entry).await
}

/// Puts the entry's hours where only the match gives them.
async fn take_hours(
    connection: &mut SqliteConnection,
    session: SessionId,
    entry: EntryId,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE spells SET from_utc = h.from_utc, to_utc = h.to_utc, minutes = h.minutes
         FROM entry_hours AS h
         WHERE spells.session_id = ? AND h.entry_id = ? AND spells.hours_of_match = 1
           AND (spells.from_utc, spells.to_utc, spells.minutes) IS NOT (h.from_utc, h.to_utc, h.minutes)",
        session,
        entry
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!(
        "UPDATE sessions SET effort_source = h.effort_source, start_utc = h.from_utc, end_utc = h.to_utc
         FROM entry_hours AS h
         WHERE sessions.id = ?1 AND h.entry_id = ?2
           AND (sessions.effort_source, sessions.start_utc, sessions.end_utc) IS NOT (h.effort_source, h.from_utc, h.to_utc)
           AND EXISTS (SELECT 1 FROM spells AS p WHERE p.session_id = ?1 AND p.hours_of_match = 1)",
        session,
        entry
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// A spell whose peg no report names was fished on the peg of the draw, as it stands posted.
pub async fn follow_the_draw(
    connection: &mut SqliteConnection,
    session: SessionId,
    entry: EntryId,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE spells SET peg_id = h.peg_id, peg_as_drawn = 1 FROM entry_hours AS h
         WHERE spells.session_id = ? AND h.entry_id = ? AND (spells.peg_as_drawn = 1 OR spells.peg_id IS NULL)
           AND (spells.peg_id IS NOT h.peg_id OR spells.peg_as_drawn = 0)",
        session,
        entry
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// What only its match gave a session.
#[derive(Clone, Copy, Debug)]
pub struct GivenByMatch {
    /// The drawn peg, where every spell has it from the draw.
    pub peg: Option<PegId>,
    pub hours: bool,
    /// Minutes of the one spell, where there is one.
    pub minutes: Option<f64>,
}

pub async fn given_by_match(
    connection: &mut SqliteConnection,
    session: SessionId,
) -> Result<GivenByMatch, StoreError> {
    Ok(sqlx::query_as!(
        GivenByMatch,
        r#"SELECT CASE WHEN MIN(peg_as_drawn) = 1 AND MIN(peg_id) = MAX(peg_id) THEN MIN(peg_id) END AS "peg?: PegId",
                  COALESCE(MAX(hours_of_match), 0) AS "hours!: bool",
                  CASE WHEN COUNT(*) = 1 THEN MIN(minutes) END AS "minutes?: f64"
           FROM spells WHERE session_id = ?"#,
        session
    )
    .fetch_one(connection)
    .await?)
}

/// Marks on a report put in its place what is still the match's, so that a draw put right moves it.
pub async fn mark_given(
    connection: &mut SqliteConnection,
    session: SessionId,
    given: GivenByMatch,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE spells SET peg_as_drawn = 1 WHERE session_id = ? AND peg_id = ?",
        session,
        given.peg
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!(
        "UPDATE spells SET hours_of_match = 1 WHERE session_id = ? AND ?",
        session,
        given.hours
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// The angler's own report stands by itself again, without the hours and the peg that only the
/// match gave it, and is of the match's file no longer, though perhaps of another.
pub async fn detach(
    connection: &mut SqliteConnection,
    session: SessionId,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE sessions SET kind = 'report', entry_id = NULL, ver = ver + 1,
                import_id = NULLIF(import_id, (SELECT m.import_id FROM entries AS e JOIN matches AS m ON m.id = e.match_id
                                               WHERE e.id = sessions.entry_id))
         WHERE id = ?",
        session
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!(
        "UPDATE sessions SET start_utc = NULL, end_utc = NULL, effort_source = 'unknown'
         WHERE id = ?1 AND EXISTS (SELECT 1 FROM spells WHERE session_id = ?1 AND hours_of_match = 1)",
        session
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!(
        "UPDATE spells SET from_utc = NULL, to_utc = NULL, minutes = NULL, hours_of_match = 0
         WHERE session_id = ? AND hours_of_match = 1",
        session
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!(
        "UPDATE spells SET peg_id = NULL, peg_as_drawn = 0 WHERE session_id = ? AND peg_as_drawn = 1",
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

/// It was fished as a junior, whoever made it.
pub async fn mark_was_junior(
    connection: &mut SqliteConnection,
    session: SessionId,
) -> Result<(), StoreError> {
    sqlx::query!("UPDATE sessions SET was_junior = 1 WHERE id = ?", session)
        .execute(connection)
        .await?;
    Ok(())
}

/// Who fished.
pub struct Fished {
    pub pid: Pid,
    pub entry: EntryId,
    pub angler: AnglerId,
    pub was_junior: bool,
}

/// A session of its own for an entry that no report tells of.
pub async fn insert(
    connection: &mut SqliteConnection,
    the_match: &Match,
    fished: &Fished,
    by: Option<AccountId>,
    now: Instant,
) -> Result<SessionId, StoreError> {
    let id = sqlx::query!(
        "INSERT INTO sessions (pid, kind, angler_id, venue_id, fished_on, zone, effort_source,
                               entry_id, visibility, entered_by, entered_utc, was_junior)
         VALUES (?, 'match', ?, ?, ?, ?, 'unknown', ?, 'club', ?, ?, ?)",
        fished.pid,
        fished.angler,
        the_match.venue,
        the_match.on,
        the_match.zone,
        fished.entry,
        by,
        now,
        fished.was_junior
    )
    .execute(&mut *connection)
    .await?
    .last_insert_rowid();
    as_the_match_tells(connection, SessionId(id)).await?;
    Ok(SessionId(id))
}

/// Makes a session that has no catch what its match tells of it: one rod on the drawn peg for the
/// entry's hours, of the match's file; with the method, the numbers of fish and the remarks where
/// an old sheet told them.
pub async fn as_the_match_tells(
    connection: &mut SqliteConnection,
    session: SessionId,
) -> Result<(), StoreError> {
    sqlx::query!("DELETE FROM spells WHERE session_id = ?", session)
        .execute(&mut *connection)
        .await?;
    sqlx::query!(
        "INSERT INTO spells (session_id, ord, peg_id, peg_as_drawn, method_id, from_utc, to_utc, minutes, hours_of_match, rods, is_opening, uncovered)
         SELECT s.id, 1, h.peg_id, 1, e.told_method_id, h.from_utc, h.to_utc, h.minutes, 1, 1,
                e.told_method_id IS NOT NULL, e.told_method_id IS NULL
         FROM sessions AS s JOIN entries AS e ON e.id = s.entry_id JOIN entry_hours AS h ON h.entry_id = e.id
         WHERE s.id = ?",
        session
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!(
        "INSERT INTO catch_coverage (session_id, group_set, count_known, weight_known)
         SELECT s.id, t.group_set, 1, 0 FROM sessions AS s JOIN told_counts AS t ON t.entry_id = s.entry_id WHERE s.id = ?",
        session
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!(
        "INSERT INTO fish (session_id, ord, row_kind, group_set, count)
         SELECT s.id, ROW_NUMBER() OVER (ORDER BY t.group_set), 'total', t.group_set, t.count
         FROM sessions AS s JOIN told_counts AS t ON t.entry_id = s.entry_id WHERE s.id = ?",
        session
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!(
        "UPDATE sessions SET effort_source = h.effort_source, start_utc = h.from_utc, end_utc = h.to_utc,
                remarks = e.told_remarks, import_id = m.import_id
         FROM entry_hours AS h JOIN entries AS e ON e.id = h.entry_id JOIN matches AS m ON m.id = e.match_id
         WHERE sessions.id = ? AND h.entry_id = sessions.entry_id",
        session
    )
    .execute(connection)
    .await?;
    Ok(())
}
