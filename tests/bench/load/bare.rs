//! What the pages are measured against: an axum route that says one word, and a transaction that
//! writes the rows of a report and nothing else.

use std::{path::Path, time::Instant};

use axum::{Router, routing::get};
use sqlx::{
    Connection, SqliteConnection,
    sqlite::{SqliteConnectOptions, SqliteJournalMode, SqliteSynchronous},
};

/// Makes this program the bare server.
pub const ARGUMENT: &str = "bare-server";

/// Answers `GET /` with one word until it is killed.
pub async fn serve() {
    let listener = tokio::net::TcpListener::bind("127.0.0.1:0")
        .await
        .expect("a free port");
    let address = listener.local_addr().expect("it is bound");
    println!("Bare: http://{address}/");
    let app = Router::new().route("/", get(|| async { "peg\n" }));
    axum::serve(listener, app).await.expect("it listens");
}

/// What is bound to a `?` of [`ROWS`].
enum Bound {
    Session,
    Key,
    Pid,
}

use Bound::{Key, Pid, Session};

/// The rows of a report of one spell and two groups, as `save_session::keep` writes them. What is
/// the same each time is written out: nothing is looked up, and only the schema checks.
const ROWS: [(&str, &[Bound]); 7] = [
    (
        "INSERT INTO submissions (key, owner_kind, owner_id, kind, form_version, body_sha256, outcome, answer_json, received_utc)
         VALUES (?, 'account', 1, 'report', 1, zeroblob(32), 'accepted', ?, 1794657600)",
        &[Key, Pid],
    ),
    (
        "INSERT INTO sessions (id, pid, kind, angler_id, venue_id, fished_on, zone, start_utc, end_utc, effort_source,
                               visibility, remarks, has_report, entered_by, entered_utc, was_junior, submission_key)
         VALUES (?, ?, 'report', 1, 1, date('2026-11-13', '-' || (? % 700) || ' days'), 'Europe/London', 1794564000, 1794582000, 'spells',
                 'club', 'Quiet until the sun came round.', 1, 1, 1794657600, 0, ?)",
        &[Session, Pid, Session, Key],
    ),
    (
        "INSERT INTO spells (session_id, ord, peg_id, method_id, line_m, from_utc, to_utc, minutes, rods, is_opening, uncovered)
         VALUES (?, 1, 1, 1, 11.0, 1794564000, 1794582000, 300.0, 1, 1, 0)",
        &[Session],
    ),
    (
        "INSERT INTO catch_coverage (session_id, group_set, count_known, weight_known) VALUES (?, 1, 1, 1), (?, 2, 1, 1)",
        &[Session, Session],
    ),
    (
        "INSERT INTO fish (session_id, ord, row_kind, group_set, count, weight, scale)
         VALUES (?, 1, 'total', 1, 4, 8000, 'dr'), (?, 2, 'total', 2, 9, 3200, 'dr')",
        &[Session, Session],
    ),
    (
        "INSERT INTO session_catches (session_id, group_set, weight_g, fish_count, official, peg_id, rod_hours)
         VALUES (?, 1, 14174.76, 4, 0, 1, 5.0), (?, 2, 5669.9, 9, 0, 1, 5.0), (?, 3, 19844.66, 13, 0, 1, 5.0)",
        &[Session, Session, Session],
    ),
    (
        "INSERT INTO audit (at_utc, actor_pid, verb, subject_pid, detail) VALUES (1794657600, NULL, 'reported a session', ?, '')",
        &[Pid],
    ),
];

/// Writes the rows of `number` reports into the database of `folder`, each in a transaction of
/// its own, durable like the program's: write-ahead log, `synchronous=FULL`. Reports a second.
pub async fn transactions(folder: &Path, number: usize) -> f64 {
    let options = SqliteConnectOptions::new()
        .filename(folder.join(peglore::store::FILE_NAME))
        .journal_mode(SqliteJournalMode::Wal)
        .synchronous(SqliteSynchronous::Full)
        .foreign_keys(true)
        .pragma("mmap_size", "0")
        .pragma("secure_delete", "ON")
        .pragma("cache_size", "-8000");
    let mut connection = SqliteConnection::connect_with(&options)
        .await
        .expect("the demonstration's file");
    let last: i64 = sqlx::query_scalar("SELECT MAX(id) FROM sessions")
        .fetch_one(&mut connection)
        .await
        .expect("it has sessions");
    let begun = Instant::now();
    for session in last + 1..=last + number as i64 {
        report(&mut connection, session)
            .await
            .expect("the rows fit");
    }
    let rate = number as f64 / begun.elapsed().as_secs_f64();
    connection.close().await.expect("it closes");
    rate
}

async fn report(connection: &mut SqliteConnection, session: i64) -> sqlx::Result<()> {
    let (key, pid) = (
        format!("bare-report-{session:08}"),
        format!("bare{session:022}"),
    );
    let mut writing = connection.begin_with("BEGIN IMMEDIATE").await?;
    for (sql, bound) in ROWS {
        let query = bound.iter().fold(sqlx::query(sql), |query, one| match one {
            Session => query.bind(session),
            Key => query.bind(&key),
            Pid => query.bind(&pid),
        });
        query.execute(&mut *writing).await?;
    }
    writing.commit().await
}
