//! What a report chooses from: waters, pegs, methods, baits and fish.

use sqlx::SqliteConnection;

use crate::{
    domain::{dates::Day, groups::GroupSet, ids::*},
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
        r#"SELECT id AS "id!", name AS "name!", retired AS "retired!: bool" FROM methods ORDER BY name = 'Other', id"#
    )
    .fetch_all(connection)
    .await?)
}

pub async fn baits(connection: &mut SqliteConnection) -> Result<Vec<Choice>, StoreError> {
    Ok(sqlx::query_as!(
        Choice,
        r#"SELECT id AS "id!", name AS "name!", retired AS "retired!: bool" FROM baits ORDER BY name = 'Other', id"#
    )
    .fetch_all(connection)
    .await?)
}

pub async fn add_method(connection: &mut SqliteConnection, name: &str) -> Result<(), StoreError> {
    sqlx::query!("INSERT INTO methods (name) VALUES (?)", name)
        .execute(connection)
        .await?;
    Ok(())
}

pub async fn add_bait(connection: &mut SqliteConnection, name: &str) -> Result<(), StoreError> {
    sqlx::query!("INSERT INTO baits (name) VALUES (?)", name)
        .execute(connection)
        .await?;
    Ok(())
}

/// Takes a method off the lists, or puts it back.
pub async fn retire_method(
    connection: &mut SqliteConnection,
    id: i64,
    retired: bool,
) -> Result<(), StoreError> {
    sqlx::query!("UPDATE methods SET retired = ? WHERE id = ?", retired, id)
        .execute(connection)
        .await?;
    Ok(())
}

/// Takes a bait off the lists, or puts it back.
pub async fn retire_bait(
    connection: &mut SqliteConnection,
    id: i64,
    retired: bool,
) -> Result<(), StoreError> {
    sqlx::query!("UPDATE baits SET retired = ? WHERE id = ?", retired, id)
        .execute(connection)
        .await?;
    Ok(())
}

/// A fish that may be named, with its group's bit.
#[derive(Clone, Debug)]
pub struct FishChoice {
    pub id: SpeciesId,
    /// Its word in the record.
    pub slug: String,
    pub name: String,
    pub group_bit: i64,
}

pub async fn fish(connection: &mut SqliteConnection) -> Result<Vec<FishChoice>, StoreError> {
    Ok(sqlx::query_as!(
        FishChoice,
        r#"SELECT id AS "id: SpeciesId", slug, name, group_id AS group_bit FROM species ORDER BY name"#
    )
    .fetch_all(connection)
    .await?)
}

pub async fn add_fish(
    connection: &mut SqliteConnection,
    slug: &str,
    name: &str,
    group_bit: i64,
) -> Result<(), StoreError> {
    sqlx::query!(
        "INSERT INTO species (slug, name, group_id) VALUES (?, ?, ?)",
        slug,
        name,
        group_bit
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// What was counted or weighed at a water from a day on, by this angler or in reports that the
/// whole club may see.
pub async fn groups_counted(
    connection: &mut SqliteConnection,
    venue: VenueId,
    from: Day,
    angler: AnglerId,
) -> Result<Vec<GroupSet>, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT DISTINCT f.group_set AS "groups!: GroupSet"
           FROM sessions AS s JOIN fish AS f ON f.session_id = s.id
           WHERE s.venue_id = ? AND s.fished_on >= ? AND (s.angler_id = ? OR s.visibility = 'club')
             AND f.row_kind = 'total' AND f.count IS NOT 0 AND s.removed_utc IS NULL
             AND NOT EXISTS (SELECT 1 FROM sessions_undone AS u WHERE u.id = s.id)"#,
        venue,
        from,
        angler
    )
    .fetch_all(connection)
    .await?)
}
