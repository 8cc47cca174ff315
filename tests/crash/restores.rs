//! Restoring and refusing from the command line, with the whole folder compared.

use std::{collections::BTreeMap, fs, path::Path};

use peglore::store::{self, Db};
use tempfile::TempDir;

use super::harness::{
    club,
    process::{self, Server, words},
};

/// A session beside those of [`club::fill`].
const ONE_MORE: &str = "INSERT INTO sessions (pid, kind, angler_id, venue_id, fished_on, zone, effort_source, visibility, entered_utc)
    VALUES ('80000000000000000000000000', 'report', 900, 1, '2026-11-01', 'Europe/London', 'unknown', 'club', 1790000000)";

/// Every file below a folder, by its path, with its bytes.
fn contents(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut all = BTreeMap::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(next) = folders.pop() {
        for entry in fs::read_dir(&next).expect("readable") {
            let path = entry.expect("readable").path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let bytes = fs::read(&path).expect("readable");
                all.insert(path.to_string_lossy().into_owned(), bytes);
            }
        }
    }
    all
}

#[tokio::test]
async fn a_restore_is_one_command_that_refuses_keeps_and_reports() {
    let folder = TempDir::new().expect("a throw-away folder");
    let elsewhere = TempDir::new().expect("a throw-away folder");
    club::found(folder.path(), 3).await;
    club::fill(folder.path(), 50).await;
    let (data, file) = (
        folder.path().to_string_lossy().into_owned(),
        elsewhere
            .path()
            .join("ours.backup")
            .to_string_lossy()
            .into_owned(),
    );
    let made = process::run(&["backup", "--data", &data, "--to", &file]);
    assert!(made.status.success(), "{}", words(&made.stderr));
    club_goes_on(folder.path()).await;
    let before = contents(folder.path());

    let refused = process::run(&["restore", "--from", &file, "--data", &data]);
    assert_eq!(refused.status.code(), Some(1));
    assert!(
        words(&refused.stderr).contains("--replace"),
        "{}",
        words(&refused.stderr)
    );
    for (path, bytes) in &before {
        assert_eq!(fs::read(path).ok().as_ref(), Some(bytes), "{path}");
    }

    let restored = process::run(&["restore", "--from", &file, "--data", &data, "--replace"]);
    let report = words(&restored.stdout);
    assert!(restored.status.success(), "{}", words(&restored.stderr));
    assert!(
        report.contains("4 accounts") && report.contains("50 sessions"),
        "{report}"
    );
    // The newest of the fifty was written down at 1,790,000,000 s after 1970 began.
    assert!(
        report.contains("The newest session was written down on Mon 21 Sep 2026, 14:13 UTC"),
        "{report}"
    );
    let aside = report
        .lines()
        .find_map(|line| line.strip_prefix("What was there before is in "))
        .expect("it says where the replaced record went");
    let kept = process::run(&["verify", aside]);
    assert!(
        words(&kept.stdout).contains("51 sessions"),
        "{}",
        words(&kept.stdout)
    );
    let there = process::run(&["verify", &data]);
    assert!(
        words(&there.stdout).contains("50 sessions"),
        "{}",
        words(&there.stdout)
    );
}

#[tokio::test]
async fn a_restore_that_was_cut_off_is_finished_by_the_next_start_and_loses_nothing_it_replaced() {
    let (home, copy) = (
        TempDir::new().expect("a throw-away folder"),
        TempDir::new().expect("a throw-away folder"),
    );
    club::found(home.path(), 1).await;
    club::fill(home.path(), 5).await;
    let record = home.path().join(store::FILE_NAME);
    let proved = copy.path().join("proved");
    fs::copy(&record, &proved).expect("room for it");
    // One session more, which is in the log alone.
    let db = Db::open(home.path()).await.expect("the record opens");
    let mut writing = db.write().await.expect("the writer is free");
    sqlx::raw_sql(ONE_MORE)
        .execute(&mut *writing)
        .await
        .expect("fits the schema");
    writing.commit().await.expect("kept");
    let (name, log) = (store::FILE_NAME, format!("{}-wal", store::FILE_NAME));
    for file in [name, log.as_str()] {
        fs::copy(home.path().join(file), copy.path().join(file)).expect("room for it");
    }
    db.close().await;

    // Cut off before anything was moved, after the log was, and after the record was.
    let cuts: [&[&str]; 3] = [&[], &[log.as_str()], &[log.as_str(), name]];
    for moved in cuts {
        let folder = TempDir::new().expect("a throw-away folder");
        let aside = folder.path().join("replaced-peglore-20261101T120000Z");
        if !moved.is_empty() {
            fs::create_dir(&aside).expect("writable");
        }
        for file in [name, log.as_str()] {
            let to = match moved.contains(&file) {
                true => aside.as_path(),
                false => folder.path(),
            };
            fs::copy(copy.path().join(file), to.join(file)).expect("room for it");
        }
        fs::copy(&proved, folder.path().join("peglore.restored")).expect("room for it");

        let server = Server::start(folder.path());
        assert!(
            server.printed().contains("cut off is finished now"),
            "{moved:?}: {}",
            server.printed()
        );
        assert!(server.terminate().0.success());

        let there = process::run(&["verify", &folder.path().to_string_lossy()]);
        assert!(words(&there.stdout).contains(" 5 sessions"), "{moved:?}");
        let replaced: Vec<_> = fs::read_dir(folder.path())
            .expect("readable")
            .flatten()
            .filter(|entry| entry.file_name().to_string_lossy().starts_with("replaced-"))
            .collect();
        assert_eq!(replaced.len(), 1, "{moved:?}");
        let kept = process::run(&["verify", &replaced[0].path().to_string_lossy()]);
        assert!(words(&kept.stdout).contains(" 6 sessions"), "{moved:?}");
        assert!(!folder.path().join("peglore.restored").exists());
    }
}

#[tokio::test]
async fn a_restore_waits_for_no_server_and_a_running_one_keeps_its_record() {
    let folder = TempDir::new().expect("a throw-away folder");
    club::found(folder.path(), 1).await;
    let data = folder.path().to_string_lossy().into_owned();
    let file = folder
        .path()
        .join("ours.backup")
        .to_string_lossy()
        .into_owned();
    let mut server = Server::start(folder.path());
    assert!(
        process::run(&["backup", "--data", &data, "--to", &file])
            .status
            .success()
    );

    let refused = process::run(&["restore", "--from", &file, "--data", &data, "--replace"]);

    assert_eq!(refused.status.code(), Some(1));
    assert!(
        words(&refused.stderr).contains("another Peglore"),
        "{}",
        words(&refused.stderr)
    );
    assert!(server.runs());
}

#[tokio::test]
async fn an_older_program_refuses_a_newer_record_with_a_code_of_its_own_and_writes_nothing() {
    let folder = TempDir::new().expect("a throw-away folder");
    club::found(folder.path(), 1).await;
    let data = folder.path().to_string_lossy().into_owned();
    let file = folder
        .path()
        .join("newer.backup")
        .to_string_lossy()
        .into_owned();
    // Served once and stopped, as any folder that was in use.
    assert!(Server::start(folder.path()).terminate().0.success());
    // Two upgrades ago, and one ago by a program newer than this.
    let backups = folder.path().join("backups");
    let dated = |day: &str| backups.join(format!("before-upgrade-peglore-{day}T120000Z.backup"));
    let ours = dated("20260901");
    let to = ours.to_string_lossy();
    let made = process::run(&["backup", "--data", &data, "--to", &to]);
    assert!(made.status.success(), "{}", words(&made.stderr));
    of_a_newer_program(folder.path()).await;
    fs::copy(folder.path().join(store::FILE_NAME), &file).expect("room for it");
    fs::copy(&file, dated("20261001")).expect("room for it");
    let (before, known) = (contents(folder.path()), store::known_schema());

    let commands: [&[&str]; 4] = [
        &["serve", "--data", &data],
        &["account", "--data", &data, "list"],
        &["restore", "--from", &file, "--data", &data],
        &["restore", "--from", &file, "--data", &data, "--replace"],
    ];
    for command in commands {
        let refused = process::run(command);
        let said = words(&refused.stderr);
        assert_eq!(refused.status.code(), Some(3), "{command:?}: {said}");
        assert!(
            said.contains("9999") && said.contains(&known.to_string()),
            "{command:?}: {said}"
        );
        assert!(said.contains("newer"), "{command:?}: {said}");
        assert!(
            contents(folder.path()) == before,
            "{command:?} wrote something"
        );
    }
    let refused = process::run(&["serve", "--data", &data]);
    let said = words(&refused.stderr);
    let way_back = format!("peglore restore --from {to} --data {data} --replace");
    assert!(
        said.contains("Restore the backup") && said.contains(&way_back),
        "{said}"
    );
    let back = process::run(&["restore", "--from", &to, "--data", &data, "--replace"]);
    assert!(back.status.success(), "{}", words(&back.stderr));
    assert!(Server::start(folder.path()).terminate().0.success());
}

/// One session more, after the backup.
async fn club_goes_on(folder: &Path) {
    let db = Db::open(folder).await.expect("the record opens");
    let mut writing = db.write().await.expect("the writer is free");
    sqlx::raw_sql(ONE_MORE)
        .execute(&mut *writing)
        .await
        .expect("fits the schema");
    writing.commit().await.expect("kept");
    db.close().await;
}

/// The record as a program of the future would leave it.
async fn of_a_newer_program(folder: &Path) {
    let db = Db::open(folder).await.expect("the record opens");
    let mut writing = db.write().await.expect("the writer is free");
    sqlx::raw_sql(
        "INSERT INTO _sqlx_migrations (version, description, success, checksum, execution_time)
         VALUES (9999, 'yet to come', 1, x'00', 1)",
    )
    .execute(&mut *writing)
    .await
    .expect("the table is there");
    writing.commit().await.expect("kept");
    db.close().await;
}
