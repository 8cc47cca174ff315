//! What an imported record carries beyond any other of its kind.

use sqlx::SqliteConnection;

use crate::{
    domain::{
        dates::{Day, Instant},
        groups::GroupSet,
        ids::*,
        names::{FORMER_MEMBER, Name},
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

/// A session that a file made.
pub struct MadeSession {
    pub pid: Pid,
    pub water: String,
    pub on: Day,
    /// The angler's first name; `None` of one whose name was taken out.
    pub given: Option<String>,
    pub surname: Option<String>,
    /// How many of the file's sessions an officer may read in all.
    pub total: i64,
}

impl MadeSession {
    pub fn who(&self) -> String {
        match &self.given {
            Some(given) => Name::from_label(given, self.surname.clone()).full(),
            None => FORMER_MEMBER.to_owned(),
        }
    }
}

/// The sessions a file made that are open to every officer, by date, at most `most`.
pub async fn sessions_made(
    connection: &mut SqliteConnection,
    id: ImportId,
    most: i64,
) -> Result<Vec<MadeSession>, StoreError> {
    Ok(sqlx::query_as!(
        MadeSession,
        r#"SELECT s.pid AS "pid!: Pid", v.name AS "water!", s.fished_on AS "on!: Day", l.given AS "given?", l.surname AS "surname?",
                  COUNT(*) OVER () AS "total!: i64"
           FROM sessions AS s JOIN venues AS v ON v.id = s.venue_id JOIN anglers AS a ON a.id = s.angler_id
           LEFT JOIN labels AS l ON l.id = a.label_id
           WHERE s.import_id = ? AND s.removed_utc IS NULL AND (s.visibility = 'club' OR s.entry_id IS NOT NULL)
           ORDER BY s.fished_on, s.id LIMIT ?"#,
        id,
        most
    )
    .fetch_all(connection)
    .await?)
}

/// How many sessions of a file only the angler, or the angler's team, may read.
pub async fn sessions_closed(
    connection: &mut SqliteConnection,
    id: ImportId,
) -> Result<usize, StoreError> {
    let closed = sqlx::query_scalar!(
        r#"SELECT COUNT(*) AS "n!: i64" FROM sessions
           WHERE import_id = ? AND removed_utc IS NULL AND visibility <> 'club' AND entry_id IS NULL"#,
        id
    )
    .fetch_one(connection)
    .await?;
    Ok(closed as usize)
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

/// Notes rows of a file that were left out, of the whole file or of one of its matches.
pub async fn leave_out(
    connection: &mut SqliteConnection,
    import: ImportId,
    the_match: Option<MatchId>,
    lines: &[u64],
    was_read: bool,
) -> Result<(), StoreError> {
    for line in lines {
        let line = *line as i64;
        sqlx::query!(
            "INSERT INTO import_left_out (import_id, line, match_id, was_read) VALUES (?, ?, ?, ?)",
            import,
            line,
            the_match,
            was_read
        )
        .execute(&mut *connection)
        .await?;
    }
    Ok(())
}

/// The lines of a file that were left out when it was saved.
pub async fn left_out(
    connection: &mut SqliteConnection,
    import: ImportId,
) -> Result<Vec<u64>, StoreError> {
    let lines = sqlx::query_scalar!(
        r#"SELECT DISTINCT line AS "line!: i64" FROM import_left_out WHERE import_id = ? AND match_id IS NULL ORDER BY line"#,
        import
    )
    .fetch_all(connection)
    .await?;
    Ok(lines.into_iter().map(|line| line as u64).collect())
}

/// How many rows of its sheet a result lacks.
#[derive(Clone, Copy, Debug)]
pub struct Lacking {
    /// Rows that are of this match and no other.
    pub rows: usize,
    /// Those of them that could not be read.
    pub not_read: usize,
    /// Rows beside them of which so little could be read that they may be of another match.
    pub perhaps: usize,
}

pub async fn lacking(
    connection: &mut SqliteConnection,
    the_match: MatchId,
) -> Result<Lacking, StoreError> {
    let row = sqlx::query!(
        r#"SELECT COALESCE(SUM(perhaps = 0), 0) AS "rows!: i64",
                  COALESCE(SUM(perhaps = 0 AND was_read = 0), 0) AS "not_read!: i64",
                  COALESCE(SUM(perhaps), 0) AS "perhaps!: i64"
           FROM (SELECT l.was_read,
                        EXISTS (SELECT 1 FROM import_left_out AS o WHERE o.import_id = l.import_id
                                AND o.line = l.line AND o.match_id <> l.match_id) AS perhaps
                 FROM import_left_out AS l WHERE l.match_id = ?)"#,
        the_match
    )
    .fetch_one(connection)
    .await?;
    Ok(Lacking {
        rows: row.rows as usize,
        not_read: row.not_read as usize,
        perhaps: row.perhaps as usize,
    })
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
