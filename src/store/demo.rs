//! Writing the made-up waters down. Their matches and reports use the statements of real ones.

use sqlx::SqliteConnection;

use super::StoreError;
use crate::domain::{
    dates::{Day, Instant},
    ids::*,
    weather::{DailyWeather, WindFrom},
};

pub async fn venue(
    connection: &mut SqliteConnection,
    pid: &Pid,
    name: &str,
    kind: &str,
    at: (f64, f64),
    rules: &str,
    emergency: &str,
) -> Result<VenueId, StoreError> {
    let (lat, lon) = at;
    let row = sqlx::query!(
        "INSERT INTO venues (pid, name, kind, lat, lon, rules_text, emergency_text) VALUES (?, ?, ?, ?, ?, ?, ?)",
        pid, name, kind, lat, lon, rules, emergency
    )
    .execute(connection)
    .await?;
    Ok(VenueId(row.last_insert_rowid()))
}

pub async fn bank(
    connection: &mut SqliteConnection,
    venue: VenueId,
    ord: i64,
    name: &str,
    facing_deg: f64,
) -> Result<BankId, StoreError> {
    let row = sqlx::query!(
        "INSERT INTO banks (venue_id, ord, name, facing_deg) VALUES (?, ?, ?, ?)",
        venue,
        ord,
        name,
        facing_deg
    )
    .execute(connection)
    .await?;
    Ok(BankId(row.last_insert_rowid()))
}

pub async fn peg(
    connection: &mut SqliteConnection,
    venue: VenueId,
    bank: BankId,
    number: &str,
    walk_order: i64,
    end_peg: bool,
    accessible: bool,
) -> Result<PegId, StoreError> {
    let row = sqlx::query!(
        "INSERT INTO pegs (venue_id, bank_id, number, walk_order, end_peg, accessible, valid_from) VALUES (?, ?, ?, ?, ?, ?, '1900-01-01')",
        venue, bank, number, walk_order, end_peg, accessible
    )
    .execute(connection)
    .await?;
    Ok(PegId(row.last_insert_rowid()))
}

pub async fn source(
    connection: &mut SqliteConnection,
    venue: VenueId,
    name: &str,
) -> Result<SourceId, StoreError> {
    let row = sqlx::query!(
        "INSERT INTO weather_sources (name, kind) VALUES (?, 'by hand')",
        name
    )
    .execute(&mut *connection)
    .await?;
    let id = SourceId(row.last_insert_rowid());
    sqlx::query!(
        "INSERT INTO venue_sources (venue_id, source_id, rank) VALUES (?, ?, 1)",
        venue,
        id
    )
    .execute(connection)
    .await?;
    Ok(id)
}

/// A whole day, as the made-up weather has it: nothing missing but perhaps the ice.
pub async fn weather_day(
    connection: &mut SqliteConnection,
    source: SourceId,
    day: Day,
    w: &DailyWeather,
    entered: Instant,
) -> Result<(), StoreError> {
    let (min, max, rain, wind, pressure) = (w.min_c, w.max_c, w.rain_mm, w.wind_ms, w.pressure_hpa);
    let from = match w.wind_from {
        Some(WindFrom::Degrees(degrees)) => Some(degrees),
        _ => None,
    };
    let ice = w.ice.map(|_| "edges");
    sqlx::query!(
        "INSERT INTO weather_days (source_id, on_date, min_c, max_c, rain_mm, wind_ms, wind_from_deg, pressure_hpa, ice, entered_utc)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        source, day, min, max, rain, wind, from, pressure, ice, entered
    )
    .execute(connection)
    .await?;
    Ok(())
}

pub async fn reading(
    connection: &mut SqliteConnection,
    venue: VenueId,
    day: Day,
    at: Instant,
    temp_c: f64,
) -> Result<(), StoreError> {
    sqlx::query!(
        "INSERT INTO water_readings (venue_id, on_date, at_utc, temp_c) VALUES (?, ?, ?, ?)",
        venue,
        day,
        at,
        temp_c
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// Works out what every session caught, all at once.
pub async fn refresh_all_catches(connection: &mut SqliteConnection) -> Result<(), StoreError> {
    sqlx::query!("DELETE FROM session_catches")
        .execute(&mut *connection)
        .await?;
    sqlx::query!(
        "INSERT INTO session_catches (session_id, group_set, weight_g, fish_count, official, peg_id, rod_hours)
         SELECT session_id, group_set, weight_g, fish_count, official, peg_id, rod_hours FROM session_catches_worked"
    )
    .execute(connection)
    .await?;
    Ok(())
}
