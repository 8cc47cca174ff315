//! A damaged file: plain words first, what the checks say after.

use std::{
    fs,
    path::{Path, PathBuf},
    process::{Command, Output},
};

use peglore::store::{self, Db};
use tempfile::TempDir;

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_peglore"))
        .args(arguments)
        .output()
        .expect("the program runs")
}

/// A folder with a record and one backup of it, and that backup.
async fn backed_up() -> (TempDir, PathBuf) {
    let folder = TempDir::new().expect("a throw-away folder");
    let db = Db::open(folder.path()).await.expect("a fresh record");
    db.close().await;
    let made = run(&["backup", "--data", &folder.path().to_string_lossy()]);
    assert!(made.status.success());
    let backups = fs::read_dir(folder.path().join("backups")).expect("there");
    let backup = backups.flatten().next().expect("one backup").path();
    (folder, backup)
}

/// Breaks pages in the middle of a file.
fn break_pages(file: &Path) {
    let mut bytes = fs::read(file).expect("there");
    for byte in &mut bytes[8_192..40_960] {
        *byte ^= 0x5a;
    }
    fs::write(file, bytes).expect("writable");
}

#[track_caller]
fn plain_words_come_first(output: &Output, words: &[&str]) {
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(1), "{said}");
    let mut lines = said.trim_end().lines();
    let first = lines.next().expect("a sentence");
    for words in words {
        assert!(first.contains(words), "no “{words}” in {said}");
    }
    assert!(
        first.contains(" is damaged: ")
            && first.contains(" found. What it says cannot be trusted."),
        "{said}"
    );
    for raw in [
        "code:",
        "error code",
        "database",
        "Tree",
        "user ",
        "malformed",
    ] {
        assert!(!first.contains(raw), "“{raw}” in {said}");
    }
    let details: Vec<&str> = lines.collect();
    assert!((1..=3).contains(&details.len()), "{said}");
    assert!(details.iter().all(|line| line.starts_with("  ")), "{said}");
}

#[tokio::test]
async fn a_damaged_backup_is_told_in_plain_words_and_what_to_do() {
    let (folder, backup) = backed_up().await;
    break_pages(&backup);
    let file = backup.to_string_lossy();
    let data = folder.path().join("other");
    for command in [
        &["verify", &file][..],
        &[
            "restore",
            "--from",
            &file,
            "--data",
            &data.to_string_lossy(),
        ],
    ] {
        plain_words_come_first(&run(command), &[&file, "Do not restore it"]);
    }
    assert!(!data.exists());
}

#[tokio::test]
async fn a_damaged_record_is_told_in_plain_words_with_the_command_that_mends_it() {
    let (folder, backup) = backed_up().await;
    break_pages(&folder.path().join(store::FILE_NAME));
    let data = folder.path().to_string_lossy();
    let command = format!(
        "peglore restore --from {} --data {data} --replace",
        backup.display()
    );
    plain_words_come_first(&run(&["verify", &data]), &[&command]);
}

#[tokio::test]
async fn damage_that_a_backup_meets_is_told_in_plain_words() {
    let (folder, _) = backed_up().await;
    let file = folder.path().join(store::FILE_NAME);
    let db = Db::open_to_read(&file).await.expect("it opens");
    let page: i64 =
        sqlx::query_scalar("SELECT rootpage FROM sqlite_master WHERE name = 'peg_closures'")
            .fetch_one(&mut *db.read().await.expect("a reader"))
            .await
            .expect("it is there");
    db.close_reading().await;
    let page = usize::try_from(page).expect("a page");
    let mut bytes = fs::read(&file).expect("there");
    bytes[(page - 1) * 4_096..page * 4_096].fill(0x5a);
    fs::write(&file, bytes).expect("writable");

    let data = folder.path().to_string_lossy();
    let to = folder.path().join("another.backup");
    let made = run(&["backup", "--data", &data, "--to", &to.to_string_lossy()]);
    plain_words_come_first(&made, &["the record is damaged", "peglore restore"]);
    assert!(!to.exists());
}

#[tokio::test]
async fn what_is_whole_is_said_without_the_number_of_its_schema() {
    let (_folder, backup) = backed_up().await;
    let told = run(&["verify", &backup.to_string_lossy()]);
    let told = String::from_utf8_lossy(&told.stdout).into_owned();
    assert!(told.starts_with("Whole: 0 accounts"), "{told}");
    assert!(!told.contains("schema"), "{told}");
}
