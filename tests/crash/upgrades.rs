//! A record that an older program left, met by this one: proved aside, then changed step by step,
//! each step whole or not at all.

use std::{
    collections::BTreeMap,
    fs,
    path::{Path, PathBuf},
    time::Instant,
};

use peglore::store::{self, Db, MIGRATIONS};
use rand::{RngExt, SeedableRng, rngs::ChaCha8Rng};
use sqlx::{
    AssertSqlSafe, Connection, SqliteConnection,
    migrate::Migrator,
    sqlite::{SqliteConnectOptions, SqliteJournalMode},
};
use tempfile::TempDir;

use super::harness::{
    http::Browser,
    process::{self, Server, words},
};

/// The fewest steps of the schema that hold what a backup counts.
const FEWEST: usize = 5;

async fn opened(file: &Path) -> SqliteConnection {
    let options = SqliteConnectOptions::new().filename(file);
    SqliteConnection::connect_with(&options)
        .await
        .expect("it opens")
}

/// A record with the first `steps` of the schema and a session in it.
async fn of_an_older_program(folder: &Path, steps: usize) {
    let file = folder.join(store::FILE_NAME);
    let options = SqliteConnectOptions::new()
        .filename(&file)
        .create_if_missing(true)
        .journal_mode(SqliteJournalMode::Wal);
    let mut connection = SqliteConnection::connect_with(&options)
        .await
        .expect("it opens");
    let older: Vec<_> = MIGRATIONS.iter().take(steps).cloned().collect();
    Migrator::with_migrations(older)
        .run(&mut connection)
        .await
        .expect("the steps fit");
    sqlx::raw_sql(
        "INSERT INTO venues (id, pid, name) VALUES (1, '00000000000000000000000001', 'Quillet Water');
         INSERT INTO anglers (id, pid) VALUES (900, '00000000000000000000000900');
         INSERT INTO sessions (pid, kind, angler_id, venue_id, fished_on, zone, effort_source, visibility, remarks, entered_utc, has_report)
         VALUES ('80000000000000000000000000', 'report', 900, 1, '2026-11-01', 'Europe/London', 'unknown', 'club', 'mind the bank', 1790000000, 1);",
    )
    .execute(&mut connection)
    .await
    .expect("fits the schema");
    connection.close().await.expect("closed");
}

async fn texts(connection: &mut SqliteConnection, question: String) -> Vec<String> {
    sqlx::query_scalar(AssertSqlSafe(question))
        .fetch_all(connection)
        .await
        .expect("the record answers")
}

/// Every row of the named tables, as SQL would write it; of all but the list of steps where none is named.
async fn rows_of(file: &Path, tables: Option<Vec<String>>) -> BTreeMap<String, Vec<String>> {
    let mut connection = opened(file).await;
    let tables = match tables {
        Some(tables) => tables,
        None => {
            let all = "SELECT name FROM sqlite_master WHERE type = 'table' AND name <> '_sqlx_migrations' AND name NOT LIKE 'sqlite_%'";
            texts(&mut connection, all.to_owned()).await
        }
    };
    let mut rows = BTreeMap::new();
    for table in tables {
        let columns = format!("SELECT name FROM pragma_table_info('{table}')");
        let columns: Vec<String> = texts(&mut connection, columns)
            .await
            .iter()
            .map(|column| format!("quote(\"{column}\")"))
            .collect();
        let question = format!(
            "SELECT {} FROM \"{table}\" ORDER BY 1",
            columns.join(" || '|' || ")
        );
        let found = texts(&mut connection, question).await;
        rows.insert(table, found);
    }
    connection.close().await.expect("closed");
    rows
}

/// What the schema is made of, and its newest step.
async fn schema(file: &Path) -> (Vec<String>, i64) {
    let mut connection = opened(file).await;
    let parts = "SELECT type || ' ' || name FROM sqlite_master ORDER BY 1".to_owned();
    let parts = texts(&mut connection, parts).await;
    let newest = store::schema_of(&mut connection)
        .await
        .expect("the record answers");
    connection.close().await.expect("closed");
    (parts, newest)
}

/// Any command that opens the record; this one writes nothing of its own.
fn opening(folder: &Path) -> [String; 4] {
    let data = folder.to_string_lossy().into_owned();
    ["account".into(), "--data".into(), data, "list".into()]
}

fn run(folder: &Path) -> std::process::Output {
    let words = opening(folder);
    process::run(&words.each_ref().map(String::as_str))
}

/// The backups made before an upgrade.
fn kept(folder: &Path) -> Vec<PathBuf> {
    let Ok(inside) = fs::read_dir(folder.join("backups")) else {
        return Vec::new();
    };
    inside
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| {
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            name.starts_with("before-upgrade-") && name.ends_with(".backup")
        })
        .collect()
}

#[tokio::test]
async fn an_upgrade_proves_a_backup_first_says_where_and_keeps_every_row() {
    for steps in FEWEST..MIGRATIONS.iter().count() {
        let folder = TempDir::new().expect("a throw-away folder");
        of_an_older_program(folder.path(), steps).await;
        let file = folder.path().join(store::FILE_NAME);
        let (rows, (_, from)) = (rows_of(&file, None).await, schema(&file).await);
        assert!(from < store::known_schema());

        let output = run(folder.path());

        assert!(output.status.success(), "{}", words(&output.stderr));
        let made = kept(folder.path());
        let [backup] = made.as_slice() else {
            panic!("not one backup: {made:?}");
        };
        let told = words(&output.stdout);
        assert!(
            told.contains("a backup was made and proved")
                && told.contains(&*backup.to_string_lossy()),
            "{told}"
        );
        assert_eq!(schema(&file).await.1, store::known_schema());
        let tables = Some(rows.keys().cloned().collect());
        assert_eq!(rows_of(&file, tables).await, rows);
        // The backup is of before, whole, and goes back.
        assert_eq!(schema(backup).await.1, from);
        assert_eq!(rows_of(backup, None).await, rows);
        let (from, data) = (backup.to_string_lossy(), folder.path().to_string_lossy());
        assert!(process::run(&["verify", &from]).status.success());
        let back = process::run(&["restore", "--from", &from, "--data", &data, "--replace"]);
        assert!(back.status.success(), "{}", words(&back.stderr));
        assert!(
            words(&back.stdout).contains("1 session"),
            "{}",
            words(&back.stdout)
        );

        let server = Server::start(folder.path());
        let visitor = Browser {
            address: server.address,
            cookie: String::new(),
        };
        assert_eq!(visitor.get("/readyz").await.expect("an answer").status, 200);
        assert!(server.terminate().0.success());
        // Once it is new, nothing is made any more.
        let made = kept(folder.path()).len();
        assert!(run(folder.path()).status.success());
        assert_eq!(kept(folder.path()).len(), made);
    }
}

#[tokio::test]
async fn a_step_that_fails_leaves_the_schema_and_its_number_as_they_were() {
    let folder = TempDir::new().expect("a throw-away folder");
    of_an_older_program(folder.path(), MIGRATIONS.iter().count() - 1).await;
    let file = folder.path().join(store::FILE_NAME);
    // The last thing that the last step makes is there already.
    let fresh = TempDir::new().expect("a throw-away folder");
    let db = Db::open(fresh.path()).await.expect("a fresh record");
    db.close().await;
    let mut connection = opened(&fresh.path().join(store::FILE_NAME)).await;
    let newest = "SELECT name FROM sqlite_master WHERE type = 'view' ORDER BY rowid DESC LIMIT 1";
    let name = texts(&mut connection, newest.to_owned()).await.remove(0);
    connection.close().await.expect("closed");
    let mut connection = opened(&file).await;
    sqlx::raw_sql(AssertSqlSafe(format!(
        "CREATE VIEW \"{name}\" AS SELECT 1 AS one"
    )))
    .execute(&mut connection)
    .await
    .expect("nothing of that name is there");
    connection.close().await.expect("closed");
    let before = (schema(&file).await, rows_of(&file, None).await);

    let failed = run(folder.path());

    let said = words(&failed.stderr);
    assert_eq!(failed.status.code(), Some(1), "{said}");
    assert!(said.contains(&*file.to_string_lossy()), "{said}");
    assert!(!said.contains("panicked"), "{said}");
    assert_eq!(kept(folder.path()).len(), 1);
    assert!((schema(&file).await, rows_of(&file, None).await) == before);
}

#[tokio::test]
async fn an_upgrade_that_is_killed_is_finished_by_the_next_start() {
    let whole = TempDir::new().expect("a throw-away folder");
    of_an_older_program(whole.path(), FEWEST).await;
    let older = fs::read(whole.path().join(store::FILE_NAME)).expect("just made");
    let rows = rows_of(&whole.path().join(store::FILE_NAME), None).await;
    let began = Instant::now();
    assert!(run(whole.path()).status.success());
    let mut whole_time = began.elapsed();
    let mut dice = ChaCha8Rng::seed_from_u64(6);
    let mut killed = 0;

    for round in 0..80 {
        if killed == 12 {
            break;
        }
        let folder = TempDir::new().expect("a throw-away folder");
        let file = folder.path().join(store::FILE_NAME);
        fs::write(&file, &older).expect("writable");
        let mut command = process::program();
        command.args(opening(folder.path()));
        let part = dice.random_range(0.1..1.0);
        if process::killed_part_way(&mut command, &mut whole_time, part) {
            killed += 1;
        }
        for backup in kept(folder.path()) {
            let proof = process::run(&["verify", &backup.to_string_lossy()]);
            assert!(
                proof.status.success(),
                "round {round}: {}",
                words(&proof.stderr)
            );
        }

        let next = run(folder.path());

        assert!(
            next.status.success(),
            "round {round}: {}",
            words(&next.stderr)
        );
        assert_eq!(schema(&file).await.1, store::known_schema());
        let tables = Some(rows.keys().cloned().collect());
        assert!(rows_of(&file, tables).await == rows, "round {round}");
    }
    assert_eq!(killed, 12);
}
