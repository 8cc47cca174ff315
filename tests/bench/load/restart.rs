//! Restart with ten seasons on record: after a clean stop, and after a kill that leaves a
//! write-ahead log of 64 MiB.

use std::{path::Path, process::Command, time::Instant};

use sqlx::{Connection, SqliteConnection, sqlite::SqliteConnectOptions};
use tempfile::TempDir;

use super::{
    bare,
    child::{PEGLORE, Server},
    table::Table,
};

/// Size the log is grown to, bytes.
const LOG: u64 = 64 << 20;
/// Transactions between two looks at its size.
const STRETCH: usize = 100;

pub async fn measure(table: &mut Table) {
    let folder = TempDir::new().expect("a throw-away folder");
    let large = Server::demo(folder.path(), "large").await;
    table.note(
        "ten seasons made and served, seconds",
        format!("{:.0}", large.start.as_secs_f64()),
    );
    let stopping = large.stop();
    table.aim(
        "clean stop, seconds",
        format!("{stopping:.1}"),
        "5 or less",
        stopping <= 5.0,
    );
    let server = Server::serve(folder.path()).await;
    let clean = server.start.as_secs_f64();
    table.aim(
        "restart with ten seasons to the first page, seconds",
        format!("{clean:.2}"),
        "1 or less",
        clean <= 1.0,
    );
    let log = grow_log(folder.path()).await;
    server.kill();
    assert_eq!(size_of_log(folder.path()), log, "nobody folded the log in");
    let server = Server::serve(folder.path()).await;
    let killed = server.start.as_secs_f64();
    table.aim(
        &format!(
            "the same after kill -9 with a log of {} MiB, seconds",
            log >> 20
        ),
        format!("{killed:.2}"),
        "2 or less",
        killed <= 2.0,
    );
    server.stop();
    put_back(folder.path(), table);
}

/// Backs ten seasons up and restores them into an empty folder.
fn put_back(data: &Path, table: &mut Table) {
    let elsewhere = TempDir::new().expect("a throw-away folder");
    let (file, empty) = (
        elsewhere.path().join("ours.backup"),
        elsewhere.path().join("club"),
    );
    let told = |arguments: [&std::ffi::OsStr; 5]| {
        let begun = Instant::now();
        let output = Command::new(PEGLORE).args(arguments).output();
        let output = output.expect("the program was built with this one");
        assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        begun.elapsed().as_secs_f64()
    };
    let backing_up = told([
        "backup".as_ref(),
        "--data".as_ref(),
        data.as_ref(),
        "--to".as_ref(),
        file.as_ref(),
    ]);
    table.note(
        "backing ten seasons up and proving the copy, seconds",
        format!("{backing_up:.1}"),
    );
    let restoring = told([
        "restore".as_ref(),
        "--from".as_ref(),
        file.as_ref(),
        "--data".as_ref(),
        empty.as_ref(),
    ]);
    table.aim(
        "restoring them, seconds",
        format!("{restoring:.1}"),
        "30 or less",
        restoring <= 30.0,
    );
}

/// Writes reports while a reader holds the log open, until it is large; its size.
async fn grow_log(folder: &Path) -> u64 {
    let options = SqliteConnectOptions::new()
        .filename(folder.join(peglore::store::FILE_NAME))
        .read_only(true);
    let mut reader = SqliteConnection::connect_with(&options)
        .await
        .expect("the file is there");
    let mut reading = reader.begin().await.expect("it can be read");
    sqlx::query("SELECT COUNT(*) FROM anglers")
        .execute(&mut *reading)
        .await
        .expect("it has anglers");
    while size_of_log(folder) < LOG {
        bare::transactions(folder, STRETCH).await;
    }
    drop(reading);
    reader.close().await.expect("it closes");
    size_of_log(folder)
}

fn size_of_log(folder: &Path) -> u64 {
    let log = folder.join(format!("{}-wal", peglore::store::FILE_NAME));
    std::fs::metadata(log).map_or(0, |file| file.len())
}
