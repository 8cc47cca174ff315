//! What an imported record carries beyond any other of its kind.

use sqlx::SqliteConnection;

use crate::{
    domain::{dates::Instant, groups::GroupSet, ids::*},
    store::StoreError,
};

/// Marks a match as made of a file.
pub async fn mark_match(
    connection: &mut SqliteConnection,
    the_match: MatchId,
    import: ImportId,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE matches SET import_id = ? WHERE id = ?",
        import,
        the_match
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// What a sheet tells of the time and the method of a session; each may be unknown.
#[derive(Clone, Copy, Default)]
pub struct Effort<'a> {
    pub minutes: Option<f64>,
    /// The file was asked for the hours; its rows do not say.
    pub asked: bool,
    pub method: Option<MethodId>,
    pub end: Option<Instant>,
    pub remarks: Option<&'a str>,
}

/// Marks a session as made of a file, with the effort its row tells on its single spell.
pub async fn mark_session(
    connection: &mut SqliteConnection,
    session: SessionId,
    import: ImportId,
    effort: Effort<'_>,
) -> Result<(), StoreError> {
    let source = match (effort.minutes, effort.asked) {
        (None, _) => "unknown",
        (Some(_), true) => "asked at import",
        (Some(_), false) => "session",
    };
    sqlx::query!(
        "UPDATE sessions SET import_id = ?, effort_source = ?, end_utc = ?, remarks = ? WHERE id = ?",
        import,
        source,
        effort.end,
        effort.remarks,
        session
    )
    .execute(&mut *connection)
    .await?;
    let method_known = effort.method.is_some();
    sqlx::query!(
        "UPDATE spells SET minutes = ?1, to_utc = ?2, method_id = ?3, uncovered = CASE WHEN ?4 THEN 0 ELSE 1 END,
                is_opening = CASE WHEN ?4 THEN 1 ELSE 0 END
         WHERE session_id = ?5 AND ord = 1",
        effort.minutes,
        effort.end,
        effort.method,
        method_known,
        session
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// How many fish the sheet counts of a set of groups that was weighed in a match.
pub async fn count_fish(
    connection: &mut SqliteConnection,
    session: SessionId,
    ord: i64,
    groups: GroupSet,
    count: i64,
) -> Result<(), StoreError> {
    sqlx::query!(
        "INSERT INTO catch_coverage (session_id, group_set, count_known, weight_known) VALUES (?, ?, 1, 0)",
        session,
        groups
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!(
        "INSERT INTO fish (session_id, ord, row_kind, group_set, count) VALUES (?, ?, 'total', ?, ?)",
        session,
        ord,
        groups,
        count
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// The session of a report that stands by itself is of this file.
pub async fn mark_report(
    connection: &mut SqliteConnection,
    session: SessionId,
    import: ImportId,
    asked: bool,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE sessions SET import_id = ?1, effort_source = CASE WHEN ?2 THEN 'asked at import' ELSE effort_source END WHERE id = ?3",
        import,
        asked,
        session
    )
    .execute(connection)
    .await?;
    Ok(())
}
