//! Fits: what was worked out in the background, with the marks of what it read. The last good
//! result outlives a failed attempt.

use sqlx::SqliteConnection;

use super::{StoreError, marks::Marks};
use crate::domain::{
    dates::{Day, Instant},
    ids::{FitId, VenueId},
};

/// What of a venue's record a fit can read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Topic {
    Weather,
    Sessions,
    Matches,
    Pegs,
    Diary,
}

impl Topic {
    fn slug(self) -> &'static str {
        match self {
            Self::Weather => "weather",
            Self::Sessions => "sessions",
            Self::Matches => "matches",
            Self::Pegs => "pegs",
            Self::Diary => "diary",
        }
    }

    fn mark(self, marks: &Marks) -> i64 {
        match self {
            Self::Weather => marks.weather,
            Self::Sessions => marks.sessions,
            Self::Matches => marks.matches,
            Self::Pegs => marks.pegs,
            Self::Diary => marks.diary,
        }
    }
}

/// Which fit: the answer to a question, asked with these parameters, by this version of the method.
#[derive(Clone, Copy, Debug)]
pub struct Key<'a> {
    pub venue: VenueId,
    pub question: &'a str,
    /// JSON.
    pub params: &'a str,
    pub version: i64,
}

/// How a fit stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    pub id: FitId,
    pub params: String,
    /// Raised by every good result; 0 before the first.
    pub revision: i64,
    /// When the last good result was made.
    pub fitted: Option<Instant>,
    /// It read sessions dated before this day.
    pub read_before: Option<Day>,
    /// `wanted`, `running`, `good` or `failed`.
    pub state: String,
    /// When the last attempt was made.
    pub attempted: Instant,
    /// Something it read has changed since.
    pub stale: bool,
}

/// A good result and what it read.
#[derive(Clone, Debug)]
pub struct Good<'a> {
    /// JSON.
    pub result: &'a str,
    pub read_before: Day,
    pub topics: &'a [Topic],
    /// As they stood before anything was read.
    pub marks: Marks,
    pub at: Instant,
}

/// Every fit of a venue for a question by this version of its method.
pub async fn of_venue(
    connection: &mut SqliteConnection,
    venue: VenueId,
    question: &str,
    version: i64,
) -> Result<Vec<Standing>, StoreError> {
    Ok(sqlx::query_as!(
        Standing,
        r#"SELECT f.id AS "id: FitId", f.params_json AS params, f.revision, f.fitted_utc AS "fitted: Instant",
                  f.read_before AS "read_before: Day", f.attempt_state AS state, f.attempt_utc AS "attempted: Instant",
                  EXISTS (SELECT 1 FROM fit_inputs AS i
                          LEFT JOIN data_marks AS m ON m.venue_id = i.venue_id AND m.topic = i.topic
                          WHERE i.fit_id = f.id AND COALESCE(m.mark, 0) <> i.mark) AS "stale!: bool"
           FROM fits AS f WHERE f.venue_id = ? AND f.question = ? AND f.method_version = ? ORDER BY f.id"#,
        venue,
        question,
        version
    )
    .fetch_all(connection)
    .await?)
}

/// The last good result of a fit, JSON.
pub async fn result(
    connection: &mut SqliteConnection,
    fit: FitId,
) -> Result<Option<String>, StoreError> {
    let found = sqlx::query_scalar!("SELECT result_json FROM fits WHERE id = ?", fit)
        .fetch_optional(connection)
        .await?;
    Ok(found.flatten())
}

/// Notes that a fit is wanted, making its row when there is none.
pub async fn want(
    connection: &mut SqliteConnection,
    key: Key<'_>,
    at: Instant,
) -> Result<FitId, StoreError> {
    sqlx::query!(
        "INSERT INTO fits (venue_id, question, params_json, method_version, attempt_state, attempt_utc)
         VALUES (?, ?, ?, ?, 'wanted', ?)
         ON CONFLICT DO UPDATE SET attempt_state = 'wanted', attempt_utc = excluded.attempt_utc",
        key.venue,
        key.question,
        key.params,
        key.version,
        at
    )
    .execute(&mut *connection)
    .await?;
    Ok(sqlx::query_scalar!(
        r#"SELECT id AS "id: FitId" FROM fits
           WHERE venue_id = ? AND question = ? AND params_json = ? AND method_version = ?"#,
        key.venue,
        key.question,
        key.params,
        key.version
    )
    .fetch_one(connection)
    .await?)
}

/// Notes that somebody is at it.
pub async fn begin(
    connection: &mut SqliteConnection,
    fit: FitId,
    at: Instant,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE fits SET attempt_state = 'running', attempt_utc = ? WHERE id = ?",
        at,
        fit
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// Keeps a good result with the marks it was made under; results of other versions of the
/// method go.
pub async fn keep(
    connection: &mut SqliteConnection,
    venue: VenueId,
    fit: FitId,
    good: &Good<'_>,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE fits SET result_json = ?, fitted_utc = ?, read_before = ?, revision = revision + 1,
                attempt_state = 'good', attempt_reason = NULL, attempt_utc = ? WHERE id = ?",
        good.result,
        good.at,
        good.read_before,
        good.at,
        fit
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!("DELETE FROM fit_inputs WHERE fit_id = ?", fit)
        .execute(&mut *connection)
        .await?;
    for topic in good.topics {
        let (slug, mark) = (topic.slug(), topic.mark(&good.marks));
        sqlx::query!(
            "INSERT INTO fit_inputs (fit_id, venue_id, topic, mark) VALUES (?, ?, ?, ?)",
            fit,
            venue,
            slug,
            mark
        )
        .execute(&mut *connection)
        .await?;
    }
    sqlx::query!(
        "DELETE FROM fits WHERE id <> ? AND EXISTS (SELECT 1 FROM fits AS f WHERE f.id = ? AND f.venue_id = fits.venue_id
           AND f.question = fits.question AND f.params_json = fits.params_json AND f.method_version <> fits.method_version)",
        fit,
        fit
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// Keeps why an attempt failed; the last good result stays as it was.
pub async fn fail(
    connection: &mut SqliteConnection,
    fit: FitId,
    reason: &str,
    at: Instant,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE fits SET attempt_state = 'failed', attempt_reason = ?, attempt_utc = ? WHERE id = ?",
        reason,
        at,
        fit
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// The sum of every mark: it moves whenever anything that a fit could read has changed.
pub async fn all_marks(connection: &mut SqliteConnection) -> Result<i64, StoreError> {
    Ok(
        sqlx::query_scalar!(r#"SELECT COALESCE(SUM(mark), 0) AS "sum!: i64" FROM data_marks"#)
            .fetch_one(connection)
            .await?,
    )
}
