//! Writing the made-up club down, in bulk. Real records are written one at a time elsewhere.

use sqlx::SqliteConnection;

use super::StoreError;
use crate::domain::{
    dates::{Day, Instant, Zone},
    groups::{Group, GroupSet},
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

pub async fn diary(
    connection: &mut SqliteConnection,
    venue: VenueId,
    day: Day,
    kind: &str,
    words: &str,
    at: Instant,
) -> Result<(), StoreError> {
    sqlx::query!(
        "INSERT INTO venue_diary (venue_id, on_date, kind, words, at_utc) VALUES (?, ?, ?, ?, ?)",
        venue,
        day,
        kind,
        words,
        at
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// A match, published: carp and silvers weighed apart, pegs drawn from a bag.
pub async fn a_match(
    connection: &mut SqliteConnection,
    pid: &Pid,
    name: &str,
    venue: VenueId,
    day: Day,
    zone: &Zone,
    hours: (Instant, Instant),
) -> Result<MatchId, StoreError> {
    let (zone, (start, finish)) = (zone.name(), hours);
    let row = sqlx::query!(
        "INSERT INTO matches (pid, name, venue_id, on_date, zone, start_utc, finish_utc, pegs_allotted, scale, step, state)
         VALUES (?, ?, ?, ?, ?, ?, ?, 'bag', 'dr', 16, 'published')",
        pid, name, venue, day, zone, start, finish
    )
    .execute(&mut *connection)
    .await?;
    let id = MatchId(row.last_insert_rowid());
    for group in [1_i64, 2] {
        sqlx::query!(
            "INSERT INTO match_groups (match_id, group_id, counts) VALUES (?, ?, 1)",
            id,
            group
        )
        .execute(&mut *connection)
        .await?;
        sqlx::query!(
            "INSERT INTO match_net_kinds (match_id, group_set) VALUES (?, ?)",
            id,
            group
        )
        .execute(&mut *connection)
        .await?;
    }
    Ok(id)
}

pub async fn section(
    connection: &mut SqliteConnection,
    the_match: MatchId,
    ord: i64,
    name: &str,
) -> Result<SectionId, StoreError> {
    let row = sqlx::query!(
        "INSERT INTO sections (match_id, ord, name) VALUES (?, ?, ?)",
        the_match,
        ord,
        name
    )
    .execute(connection)
    .await?;
    Ok(SectionId(row.last_insert_rowid()))
}

/// An entry as the made-up club writes it.
pub struct NewEntry<'a> {
    pub the_match: MatchId,
    pub number: i64,
    pub angler: AnglerId,
    pub section: SectionId,
    pub peg: PegId,
    pub outcome: &'a str,
    pub was_junior: bool,
}

pub async fn entry(
    connection: &mut SqliteConnection,
    e: &NewEntry<'_>,
) -> Result<EntryId, StoreError> {
    let row = sqlx::query!(
        "INSERT INTO entries (match_id, number, angler_id, section_id, peg_id, outcome, was_junior) VALUES (?, ?, ?, ?, ?, ?, ?)",
        e.the_match, e.number, e.angler, e.section, e.peg, e.outcome, e.was_junior
    )
    .execute(connection)
    .await?;
    Ok(EntryId(row.last_insert_rowid()))
}

/// One net, weighed once, chosen. Drams.
pub async fn net(
    connection: &mut SqliteConnection,
    entry: EntryId,
    net_no: i64,
    set: GroupSet,
    drams: i64,
    at: Instant,
) -> Result<(), StoreError> {
    let net = sqlx::query!(
        "INSERT INTO nets (entry_id, net_no, group_set) VALUES (?, ?, ?)",
        entry,
        net_no,
        set
    )
    .execute(&mut *connection)
    .await?
    .last_insert_rowid();
    let weighing = sqlx::query!(
        "INSERT INTO weighings (net_id, weigh_no, raw_weight, scale, at_utc, received_utc) VALUES (?, 1, ?, 'dr', ?, ?)",
        net, drams, at, at
    )
    .execute(&mut *connection)
    .await?
    .last_insert_rowid();
    let choice = sqlx::query!(
        "INSERT INTO net_choices (net_id, at_utc) VALUES (?, ?)",
        net,
        at
    )
    .execute(&mut *connection)
    .await?
    .last_insert_rowid();
    sqlx::query!(
        "INSERT INTO net_choice_weighings (choice_id, weighing_id) VALUES (?, ?)",
        choice,
        weighing
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// A session and its one spell, as the made-up club writes it.
pub struct NewSession<'a> {
    pub pid: &'a Pid,
    pub angler: AnglerId,
    pub venue: VenueId,
    pub day: Day,
    pub zone: &'a Zone,
    pub hours: (Instant, Instant),
    pub entry: Option<EntryId>,
    pub visibility: &'a str,
    pub peg: PegId,
    pub method: Option<MethodId>,
    pub line_m: Option<f64>,
    pub was_junior: bool,
}

pub async fn session(
    connection: &mut SqliteConnection,
    s: &NewSession<'_>,
) -> Result<SessionId, StoreError> {
    let (start, end) = s.hours;
    let zone = s.zone.name();
    let (kind, source, has_report) = match s.entry {
        Some(_) => ("match", "match hours", false),
        None => ("report", "spells", true),
    };
    let row = sqlx::query!(
        "INSERT INTO sessions (pid, kind, angler_id, venue_id, fished_on, zone, start_utc, end_utc, effort_source, entry_id,
                               visibility, has_report, entered_utc, was_junior)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        s.pid, kind, s.angler, s.venue, s.day, zone, start, end, source, s.entry, s.visibility, has_report, end, s.was_junior
    )
    .execute(&mut *connection)
    .await?;
    let id = SessionId(row.last_insert_rowid());
    let minutes = end.minutes_since(start);
    sqlx::query!(
        "INSERT INTO spells (session_id, ord, peg_id, method_id, line_m, from_utc, to_utc, minutes, is_opening) VALUES (?, 1, ?, ?, ?, ?, ?, ?, 1)",
        id, s.peg, s.method, s.line_m, start, end, minutes
    )
    .execute(connection)
    .await?;
    Ok(id)
}

/// A total of one set of groups in a session's own part.
pub async fn total(
    connection: &mut SqliteConnection,
    session: SessionId,
    ord: i64,
    set: GroupSet,
    count: i64,
    drams: i64,
) -> Result<(), StoreError> {
    sqlx::query!("INSERT INTO catch_coverage (session_id, group_set, count_known, weight_known) VALUES (?, ?, 1, 1)", session, set)
        .execute(&mut *connection)
        .await?;
    sqlx::query!(
        "INSERT INTO fish (session_id, ord, row_kind, group_set, count, weight, scale) VALUES (?, ?, 'total', ?, ?, ?, 'dr')",
        session, ord, set, count, drams
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// Fish of one group tallied over a while.
pub async fn tally(
    connection: &mut SqliteConnection,
    session: SessionId,
    group: Group,
    span: (Instant, Instant),
    count: i64,
) -> Result<(), StoreError> {
    let (bit, (from, to)) = (group.bit(), span);
    sqlx::query!(
        "INSERT INTO tallies (session_id, from_utc, to_utc, group_id, count) VALUES (?, ?, ?, ?, ?)",
        session,
        from,
        to,
        bit,
        count
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
        "INSERT INTO session_catches (session_id, group_set, weight_g, fish_count, official)
         SELECT session_id, group_set, weight_g, fish_count, official FROM session_catches_worked"
    )
    .execute(connection)
    .await?;
    Ok(())
}
