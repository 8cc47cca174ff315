//! Sessions: what was reported and what is shown of it.

use sqlx::SqliteConnection;

use super::StoreError;
use crate::domain::ids::*;

pub mod booked;
pub mod choices;
pub mod keeping;
pub mod listing;
pub mod overlapping;
pub mod reading;
pub mod seen;

/// Works the kept catches of a session out again. The only writer of `session_catches`: call it
/// after every change to a session's fish or spells and at every posting of its match, inside the
/// same transaction.
///
/// The view `session_catches_worked` defines what is kept, but asked for one session it reads
/// them all to find the sum of its sets; so that sum is worked out here, from the sets just kept.
pub async fn refresh_catches(
    connection: &mut SqliteConnection,
    session: SessionId,
) -> Result<(), StoreError> {
    sqlx::query!("DELETE FROM session_catches WHERE session_id = ?", session)
        .execute(&mut *connection)
        .await?;
    work_out_catches(connection, session).await
}

/// The same of a session that has none kept yet.
pub async fn work_out_catches(
    connection: &mut SqliteConnection,
    session: SessionId,
) -> Result<(), StoreError> {
    // Each of the sets, then their sum.
    sqlx::query!(
        "INSERT INTO session_catches (session_id, group_set, weight_g, fish_count, official, peg_id, rod_hours)
         SELECT session_id, group_set, weight_g, fish_count, official,
                (SELECT CASE WHEN MIN(peg_id) = MAX(peg_id) AND COUNT(peg_id) = COUNT(*) THEN MIN(peg_id) END
                   FROM spells WHERE session_id = s.session_id),
                (SELECT CASE WHEN COUNT(minutes) = COUNT(*) THEN SUM(rods * minutes) / 60.0 END
                   FROM spells WHERE session_id = s.session_id)
         FROM session_sets AS s WHERE session_id = ?;
         INSERT INTO session_catches (session_id, group_set, weight_g, fish_count, official, peg_id, rod_hours)
         SELECT session_id, SUM(group_set),
                CASE WHEN COUNT(weight_g) = COUNT(*) THEN SUM(weight_g) END,
                CASE WHEN COUNT(fish_count) = COUNT(*) THEN SUM(fish_count) END,
                MIN(official), MIN(peg_id), MIN(rod_hours)
         FROM session_catches WHERE session_id = ? GROUP BY session_id HAVING COUNT(*) > 1",
        session,
        session
    )
    .execute(connection)
    .await?;
    Ok(())
}
