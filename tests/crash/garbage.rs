//! Something else in the record's place: each command says which file, that it is no record, and what
//! to do; and writes nothing to it.

use std::{fs, path::Path, process::Command};

use peglore::store;
use sqlx::{Connection, SqliteConnection, sqlite::SqliteConnectOptions};
use tempfile::TempDir;

use super::harness::{
    club,
    process::{self, Server, words},
};

/// A data folder with these bytes where the record should be.
fn with_file(bytes: &[u8]) -> TempDir {
    let folder = TempDir::new().expect("a throw-away folder");
    fs::write(folder.path().join(store::FILE_NAME), bytes).expect("writable");
    folder
}

/// The bytes of a database that another program made.
async fn of_another_program() -> Vec<u8> {
    let folder = TempDir::new().expect("a throw-away folder");
    let file = folder.path().join("theirs.sqlite3");
    let options = SqliteConnectOptions::new()
        .filename(&file)
        .create_if_missing(true);
    let mut theirs = SqliteConnection::connect_with(&options)
        .await
        .expect("a fresh database");
    sqlx::raw_sql("CREATE TABLE recipes (name TEXT); INSERT INTO recipes VALUES ('pike pie')")
        .execute(&mut theirs)
        .await
        .expect("plain SQL");
    theirs.close().await.expect("closed in order");
    fs::read(file).expect("just made")
}

#[track_caller]
fn names_it_and_leaves_it(folder: &Path, bytes: &[u8], command: &[&str], from: &str) {
    let refused = process::run(command);
    let said = words(&refused.stderr);
    let (data, file) = (folder.display(), folder.join(store::FILE_NAME));
    assert_eq!(refused.status.code(), Some(1), "{command:?}: {said}");
    assert_eq!(said.trim_end().lines().count(), 1, "{command:?}: {said}");
    for part in [
        file.display().to_string(),
        "it is not a Peglore record".to_owned(),
        format!("peglore restore --from {from} --data {data} --replace"),
    ] {
        assert!(said.contains(&part), "{command:?}: no “{part}” in {said}");
    }
    for raw in ["code:", "error returned from", "panicked"] {
        assert!(!said.contains(raw), "{command:?}: {said}");
    }
    assert!(
        fs::read(&file).expect("still there") == bytes,
        "{command:?}"
    );
    let others = fs::read_dir(folder).expect("readable").flatten();
    let others: Vec<_> = others
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .filter(|name| ![store::FILE_NAME, "peglore.lock", "backups"].contains(&name.as_str()))
        .collect();
    assert!(others.is_empty(), "{command:?} left {others:?}");
}

#[tokio::test]
async fn each_command_names_a_file_that_is_no_record_and_leaves_it_as_it_is() {
    let kinds = [
        b"Pegs dug out, mind the bank. ".repeat(300),
        vec![0xff; 8_192],
        [b"SQLite format 3\0".to_vec(), vec![0x5a; 8_176]].concat(),
        of_another_program().await,
    ];
    for bytes in kinds {
        let folder = with_file(&bytes);
        let data = folder.path().to_string_lossy().into_owned();
        for command in [
            &["serve", "--data", &data][..],
            &["backup", "--data", &data],
            &["verify", &data],
            &["account", "--data", &data, "list"],
            &["import", "--data", &data, "list"],
        ] {
            names_it_and_leaves_it(folder.path(), &bytes, command, "FILE");
        }
        let backups = folder.path().join("backups");
        let said = words(&process::run(&["serve", "--data", &data]).stderr);
        let none = format!(
            "There is no backup in “{}”; if you have one elsewhere, put it back",
            backups.display()
        );
        assert!(said.contains(&none) && !said.contains("latest"), "{said}");
        assert!(!backups.exists());
    }
}

#[tokio::test]
async fn the_command_it_names_puts_the_latest_backup_back() {
    let folder = TempDir::new().expect("a throw-away folder");
    club::found(folder.path(), 1).await;
    let data = folder.path().to_string_lossy().into_owned();
    assert!(process::run(&["backup", "--data", &data]).status.success());
    let backups = folder.path().join("backups");
    let made = fs::read_dir(&backups).expect("readable").flatten().next();
    let latest = made.expect("one backup").path().display().to_string();
    let garbage = vec![0xff; 8_192];
    fs::write(folder.path().join(store::FILE_NAME), &garbage).expect("writable");

    names_it_and_leaves_it(
        folder.path(),
        &garbage,
        &["serve", "--data", &data],
        &latest,
    );
    let back = process::run(&["restore", "--from", &latest, "--data", &data, "--replace"]);

    let report = words(&back.stdout);
    assert!(back.status.success(), "{}", words(&back.stderr));
    assert!(report.contains("2 accounts"), "{report}");
    let aside = report
        .lines()
        .find_map(|line| line.strip_prefix("What was there before is in "))
        .expect("it says where the garbage went");
    let kept = fs::read(Path::new(aside).join(store::FILE_NAME));
    assert!(kept.expect("moved aside") == garbage);
    assert!(Server::start(folder.path()).terminate().0.success());
}

#[tokio::test]
async fn the_command_it_names_can_be_pasted_whatever_the_folder_is_called() {
    let home = TempDir::new().expect("a throw-away folder");
    let folder = home.path().join("the club's own pegs");
    fs::create_dir(&folder).expect("writable");
    club::found(&folder, 1).await;
    let data = folder.to_string_lossy().into_owned();
    assert!(process::run(&["backup", "--data", &data]).status.success());
    fs::write(folder.join(store::FILE_NAME), vec![0xff; 8_192]).expect("writable");

    let said = words(&process::run(&["verify", &data]).stderr);
    let at = said.find("peglore restore").expect("it names a command");
    // The shell’s own word for the program stands for its place among the reader’s commands.
    let pasted = format!("peglore() {{ \"$0\" \"$@\"; }}; {}", said[at..].trim_end());
    let mut shell = Command::new("sh");
    process::unset_settings(&mut shell);
    let back = shell
        .args(["-c", &pasted, env!("CARGO_BIN_EXE_peglore")])
        .output()
        .expect("there is a shell");

    let (report, refused) = (words(&back.stdout), words(&back.stderr));
    assert!(back.status.success(), "{pasted}: {refused}");
    assert!(report.contains("2 accounts"), "{report}");
}
