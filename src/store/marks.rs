//! Data marks: counters that every change to a water's record raises, by topic. An answer that
//! was worked out under the marks of now still holds.

use sqlx::SqliteConnection;

use super::StoreError;
use crate::domain::ids::VenueId;

/// The marks of one water.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Marks {
    pub weather: i64,
    pub sessions: i64,
    pub matches: i64,
    pub pegs: i64,
    pub diary: i64,
}

/// The marks as they stand now. Read them before what they stand for: a change in between then
/// leaves an older mark on the answer, and the next asking works it out again.
pub async fn of_venue(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<Marks, StoreError> {
    let rows = sqlx::query!(
        "SELECT topic, mark FROM data_marks WHERE venue_id = ?",
        venue
    )
    .fetch_all(connection)
    .await?;
    let mut marks = Marks::default();
    for row in rows {
        match row.topic.as_str() {
            "weather" => marks.weather = row.mark,
            "sessions" => marks.sessions = row.mark,
            "matches" => marks.matches = row.mark,
            "pegs" => marks.pegs = row.mark,
            "diary" => marks.diary = row.mark,
            _ => {}
        }
    }
    Ok(marks)
}

/// The mark of the pegs that ever bore the number: it moves with every session there.
pub async fn of_peg(
    connection: &mut SqliteConnection,
    venue: VenueId,
    number: &str,
) -> Result<i64, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT COALESCE(SUM(mark), 0) AS "mark!: i64" FROM peg_marks
           WHERE peg_id IN (SELECT id FROM pegs WHERE venue_id = ? AND number = ?)"#,
        venue,
        number
    )
    .fetch_one(connection)
    .await?)
}
