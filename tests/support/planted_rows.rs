//! Rows of matches and sessions written straight down, for records whose every figure a test knows.

use peglore::{
    domain::{
        dates::{Day, Instant, Zone},
        groups::GroupSet,
        ids::*,
    },
    store::StoreError,
};
use sqlx::SqliteConnection;

pub use peglore::store::demo::*;

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
    .execute(&mut *connection)
    .await?;
    let id = EntryId(row.last_insert_rowid());
    sqlx::query!(
        "INSERT OR IGNORE INTO posted_matches (match_id, name, on_date, start_utc, finish_utc, pegs_allotted)
         SELECT id, name, on_date, start_utc, finish_utc, pegs_allotted FROM matches WHERE id = ?",
        e.the_match
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!(
        "INSERT INTO posted_entries (entry_id, outcome, peg_id, section_id)
         SELECT id, outcome, peg_id, section_id FROM entries WHERE id = ? AND outcome IS NOT NULL",
        id
    )
    .execute(&mut *connection)
    .await?;
    post_nets(connection, id).await?;
    Ok(id)
}

/// What the sheet has of an entry stands posted.
async fn post_nets(connection: &mut SqliteConnection, entry: EntryId) -> Result<(), StoreError> {
    sqlx::query!(
        "INSERT OR REPLACE INTO posted_nets (entry_id, group_set, weight_g)
         SELECT entry_id, group_set, weight_g FROM weighed_nets WHERE entry_id = ?",
        entry
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// One net, weighed once, chosen, posted. Drams.
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
    .execute(&mut *connection)
    .await?;
    post_nets(connection, entry).await
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
