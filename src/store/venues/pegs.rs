//! Banks and pegs.

use sqlx::SqliteConnection;

use crate::{
    domain::{dates::Day, ids::*, pegs::Peg, venues::Bank},
    store::StoreError,
};

/// The banks of a venue in walking order, those without pegs too.
pub async fn banks(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<Vec<Bank>, StoreError> {
    Ok(sqlx::query_as!(
        Bank,
        r#"SELECT id AS "id: BankId", venue_id AS "venue: VenueId", ord, name, facing_deg
           FROM banks WHERE venue_id = ? ORDER BY ord, id"#,
        venue
    )
    .fetch_all(connection)
    .await?)
}

pub async fn insert_bank(
    connection: &mut SqliteConnection,
    venue: VenueId,
    ord: i64,
    name: &str,
    facing_deg: Option<f64>,
) -> Result<BankId, StoreError> {
    let made = sqlx::query!(
        "INSERT INTO banks (venue_id, ord, name, facing_deg) VALUES (?, ?, ?, ?)",
        venue,
        ord,
        name,
        facing_deg
    )
    .execute(connection)
    .await?;
    Ok(BankId(made.last_insert_rowid()))
}

pub async fn update_bank(
    connection: &mut SqliteConnection,
    id: BankId,
    ord: i64,
    name: &str,
    facing_deg: Option<f64>,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE banks SET ord = ?, name = ?, facing_deg = ? WHERE id = ?",
        ord,
        name,
        facing_deg,
        id
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// Every peg a venue ever had, with its closures, in walking order.
pub async fn pegs(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<Vec<Peg>, StoreError> {
    let rows = sqlx::query!(
        r#"SELECT p.id AS "id: PegId", p.bank_id AS "bank: BankId", p.number, p.walk_order, p.end_peg AS "end_peg: bool",
                  p.accessible AS "accessible: bool", p.x_m, p.y_m, p.valid_from AS "valid_from: Day", p.valid_to AS "valid_to: Day"
           FROM pegs AS p JOIN banks AS b ON b.id = p.bank_id
           WHERE p.venue_id = ? ORDER BY b.ord, b.id, p.walk_order, p.id"#,
        venue
    )
    .fetch_all(&mut *connection)
    .await?;
    let closures = super::closures(connection, venue).await?;
    Ok(rows
        .into_iter()
        .map(|row| Peg {
            closures: closures
                .iter()
                .filter(|c| c.peg == row.id)
                .map(|c| c.closure.clone())
                .collect(),
            id: row.id,
            bank: row.bank,
            number: row.number,
            walk_order: row.walk_order,
            end_peg: row.end_peg,
            accessible: row.accessible,
            at: row.x_m.zip(row.y_m),
            valid_from: row.valid_from,
            valid_to: row.valid_to,
        })
        .collect())
}

/// Where a peg stands and what it is.
pub struct PegPlace<'a> {
    pub bank: BankId,
    pub number: &'a str,
    pub walk_order: i64,
    pub end_peg: bool,
    pub accessible: bool,
}

pub async fn insert_peg(
    connection: &mut SqliteConnection,
    venue: VenueId,
    place: &PegPlace<'_>,
    from: Day,
) -> Result<PegId, StoreError> {
    let made = sqlx::query!(
        "INSERT INTO pegs (venue_id, bank_id, number, walk_order, end_peg, accessible, valid_from) VALUES (?, ?, ?, ?, ?, ?, ?)",
        venue, place.bank, place.number, place.walk_order, place.end_peg, place.accessible, from
    )
    .execute(connection)
    .await?;
    Ok(PegId(made.last_insert_rowid()))
}

/// Places a peg anew and has it in use.
pub async fn place_peg(
    connection: &mut SqliteConnection,
    id: PegId,
    place: &PegPlace<'_>,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE pegs SET bank_id = ?, walk_order = ?, end_peg = ?, accessible = ?, valid_to = NULL WHERE id = ?",
        place.bank, place.walk_order, place.end_peg, place.accessible, id
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// The peg is no more after the day `last`; its history stays.
pub async fn retire_peg(
    connection: &mut SqliteConnection,
    id: PegId,
    last: Day,
) -> Result<(), StoreError> {
    sqlx::query!("UPDATE pegs SET valid_to = ? WHERE id = ?", last, id)
        .execute(connection)
        .await?;
    Ok(())
}
