//! What an imported record carries beyond any other of its kind.

use sqlx::SqliteConnection;

use crate::{
    domain::{dates::Day, groups::GroupSet, ids::*},
    store::StoreError,
};

/// A match that a file made.
pub struct MadeMatch {
    pub id: MatchId,
    pub name: String,
    pub on: Day,
    /// How many the file made in all.
    pub total: i64,
}

/// The matches a file made that are still of it, by date, at most `most`.
pub async fn matches_made(
    connection: &mut SqliteConnection,
    id: ImportId,
    most: i64,
) -> Result<Vec<MadeMatch>, StoreError> {
    Ok(sqlx::query_as!(
        MadeMatch,
        r#"SELECT id AS "id!: MatchId", name AS "name!", on_date AS "on!: Day", COUNT(*) OVER () AS "total!: i64"
           FROM matches WHERE import_id = ? ORDER BY on_date, id LIMIT ?"#,
        id,
        most
    )
    .fetch_all(connection)
    .await?)
}

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

/// What a sheet tells of the time and the method of an entry; each may be unknown.
#[derive(Clone, Copy, Default)]
pub struct Effort {
    pub minutes: Option<f64>,
    /// The file was asked for the hours; its rows do not say.
    pub asked: bool,
    pub method: Option<MethodId>,
}

/// Keeps what a sheet tells beside its entry.
pub async fn tell_effort(
    connection: &mut SqliteConnection,
    entry: EntryId,
    effort: Effort,
) -> Result<(), StoreError> {
    let asked = effort.asked && effort.minutes.is_some();
    sqlx::query!(
        "UPDATE entries SET told_minutes = ?, told_asked = ?, told_method_id = ? WHERE id = ?",
        effort.minutes,
        asked,
        effort.method,
        entry
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// Marks a session that the sheet's match made as made of the file.
pub async fn mark_session(
    connection: &mut SqliteConnection,
    session: SessionId,
    import: ImportId,
    remarks: Option<&str>,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE sessions SET import_id = ?, remarks = ? WHERE id = ?",
        import,
        remarks,
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
