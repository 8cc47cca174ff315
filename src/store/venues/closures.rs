//! Pegs closed for a while.

use sqlx::SqliteConnection;

use crate::{
    domain::{dates::Day, ids::*, pegs::Closure},
    store::StoreError,
};

/// A closure with the peg it closes.
pub struct ClosureLine {
    pub id: ClosureId,
    pub peg: PegId,
    pub number: String,
    pub closure: Closure,
}

pub async fn closures(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<Vec<ClosureLine>, StoreError> {
    let rows = sqlx::query!(
        r#"SELECT c.id AS "id: ClosureId", c.peg_id AS "peg: PegId", p.number, c.from_on AS "from: Day", c.to_on AS "to: Day", c.reason
           FROM peg_closures AS c JOIN pegs AS p ON p.id = c.peg_id
           WHERE p.venue_id = ? ORDER BY c.from_on DESC, p.walk_order, c.id"#,
        venue
    )
    .fetch_all(connection)
    .await?;
    Ok(rows
        .into_iter()
        .map(|row| ClosureLine {
            id: row.id,
            peg: row.peg,
            number: row.number,
            closure: Closure {
                from: row.from,
                to: row.to,
                reason: row.reason,
            },
        })
        .collect())
}

pub async fn insert_closure(
    connection: &mut SqliteConnection,
    peg: PegId,
    closure: &Closure,
) -> Result<(), StoreError> {
    sqlx::query!(
        "INSERT INTO peg_closures (peg_id, from_on, to_on, reason) VALUES (?, ?, ?, ?)",
        peg,
        closure.from,
        closure.to,
        closure.reason
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// Ends a closure after the day `last`; one that had not yet begun by then goes altogether.
pub async fn end_closure(
    connection: &mut SqliteConnection,
    id: ClosureId,
    last: Day,
) -> Result<(), StoreError> {
    sqlx::query!(
        "DELETE FROM peg_closures WHERE id = ? AND from_on > ?",
        id,
        last
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!("UPDATE peg_closures SET to_on = ? WHERE id = ?", last, id)
        .execute(connection)
        .await?;
    Ok(())
}
