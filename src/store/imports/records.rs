//! What an imported record carries beyond any other of its kind.

use sqlx::SqliteConnection;

use crate::{
    domain::{
        dates::{Day, Instant},
        groups::GroupSet,
        ids::*,
    },
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

/// When the sheet was brought in that a match is of; `None` of a match made here.
pub async fn brought_in(
    connection: &mut SqliteConnection,
    the_match: MatchId,
) -> Result<Option<Instant>, StoreError> {
    let done = sqlx::query_scalar!(
        r#"SELECT i.done_utc AS "done?: Instant" FROM imports AS i JOIN matches AS m ON m.import_id = i.id WHERE m.id = ?"#,
        the_match
    )
    .fetch_optional(connection)
    .await?;
    Ok(done.flatten())
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

/// What a sheet tells of an entry beyond its weights; each may be unknown.
#[derive(Clone, Copy, Default)]
pub struct ToldOfEntry<'a> {
    pub minutes: Option<f64>,
    /// The file was asked for the hours; its rows do not say.
    pub asked: bool,
    pub method: Option<MethodId>,
    pub remarks: Option<&'a str>,
    /// Fish, by the set of groups counted together.
    pub counts: &'a [(GroupSet, i64)],
}

/// Keeps what a sheet tells with its entry. The entry's session says it while no report of the
/// angler's own stands there, and it outlasts every such report.
pub async fn tell_entry(
    connection: &mut SqliteConnection,
    entry: EntryId,
    told: ToldOfEntry<'_>,
) -> Result<(), StoreError> {
    let asked = told.asked && told.minutes.is_some();
    sqlx::query!(
        "UPDATE entries SET told_minutes = ?, told_asked = ?, told_method_id = ?, told_remarks = ? WHERE id = ?",
        told.minutes,
        asked,
        told.method,
        told.remarks,
        entry
    )
    .execute(&mut *connection)
    .await?;
    for &(groups, count) in told.counts {
        sqlx::query!(
            "INSERT INTO told_counts (entry_id, group_set, count) VALUES (?, ?, ?)",
            entry,
            groups,
            count
        )
        .execute(&mut *connection)
        .await?;
    }
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
