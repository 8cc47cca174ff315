//! What a report chooses from: waters, pegs, methods, baits and fish.

use sqlx::SqliteConnection;

use crate::{
    domain::{dates::Day, ids::*},
    store::StoreError,
};

/// A water as a report needs it.
#[derive(Clone, Debug)]
pub struct Water {
    pub id: VenueId,
    pub name: String,
    pub zone: String,
    /// `g` or `dr`.
    pub weighs_in: String,
}

pub async fn waters(connection: &mut SqliteConnection) -> Result<Vec<Water>, StoreError> {
    Ok(sqlx::query_as!(
        Water,
        r#"SELECT id AS "id: VenueId", name, zone, weighs_in FROM venues ORDER BY name COLLATE NOCASE"#
    )
    .fetch_all(connection)
    .await?)
}

pub async fn water(
    connection: &mut SqliteConnection,
    id: VenueId,
) -> Result<Option<Water>, StoreError> {
    Ok(sqlx::query_as!(
        Water,
        r#"SELECT id AS "id: VenueId", name, zone, weighs_in FROM venues WHERE id = ?"#,
        id
    )
    .fetch_optional(connection)
    .await?)
}

/// A peg of a water, and the days on which it was there.
#[derive(Clone, Debug)]
pub struct PegChoice {
    pub id: PegId,
    pub number: String,
    pub from: Day,
    pub to: Option<Day>,
}

/// Every peg of a water, in walking order.
pub async fn pegs(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<Vec<PegChoice>, StoreError> {
    Ok(sqlx::query_as!(
        PegChoice,
        r#"SELECT p.id AS "id: PegId", p.number, p.valid_from AS "from: Day", p.valid_to AS "to: Day"
           FROM pegs AS p JOIN banks AS b ON b.id = p.bank_id
           WHERE p.venue_id = ? ORDER BY b.ord, b.id, p.walk_order"#,
        venue
    )
    .fetch_all(connection)
    .await?)
}

/// A method or a bait.
#[derive(Clone, Debug)]
pub struct Choice {
    pub id: i64,
    pub name: String,
    pub retired: bool,
}

pub async fn methods(connection: &mut SqliteConnection) -> Result<Vec<Choice>, StoreError> {
    Ok(sqlx::query_as!(
        Choice,
        r#"SELECT id, name, retired AS "retired: bool" FROM methods ORDER BY id"#
    )
    .fetch_all(connection)
    .await?)
}

pub async fn baits(connection: &mut SqliteConnection) -> Result<Vec<Choice>, StoreError> {
    Ok(sqlx::query_as!(
        Choice,
        r#"SELECT id, name, retired AS "retired: bool" FROM baits ORDER BY id"#
    )
    .fetch_all(connection)
    .await?)
}

/// A fish that may be named, with its group's bit.
#[derive(Clone, Debug)]
pub struct FishChoice {
    pub id: SpeciesId,
    pub name: String,
    pub group_bit: i64,
}

pub async fn fish(connection: &mut SqliteConnection) -> Result<Vec<FishChoice>, StoreError> {
    Ok(sqlx::query_as!(
        FishChoice,
        r#"SELECT id AS "id: SpeciesId", name, group_id AS group_bit FROM species ORDER BY name"#
    )
    .fetch_all(connection)
    .await?)
}
