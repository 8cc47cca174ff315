//! Folders and files named wrongly: said in a sentence, and nothing is begun or left behind.

use std::{
    net::TcpListener,
    path::Path,
    process::{Command, Output},
};

use peglore::store::Db;
use tempfile::TempDir;

fn program(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_peglore"));
    command.args(arguments);
    command
}

fn run(arguments: &[&str]) -> Output {
    program(arguments).output().expect("the program runs")
}

#[track_caller]
fn refuses(arguments: &[&str], words: &str) {
    let output = run(arguments);
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(!output.status.success(), "{arguments:?}: {told}");
    assert!(told.contains(words), "{arguments:?}: {told}");
}

fn inside(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .expect("there")
        .flatten()
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

/// A data folder with a fresh record in it.
async fn begun() -> TempDir {
    let folder = TempDir::new().expect("a throw-away folder");
    let db = Db::open(folder.path()).await.expect("a fresh record");
    db.close().await;
    folder
}

#[test]
fn a_mistyped_folder_begins_no_club() {
    let home = TempDir::new().expect("a throw-away folder");
    let typed = home.path().join("clubb");
    let data = typed.to_string_lossy();
    for what in [
        &["account", "--data", &data, "list"][..],
        &["account", "--data", &data, "invite", "Dot Hazelpatch"],
        &["import", "--data", &data, "list"],
        &["import", "--data", &data, "undo", "1"],
        &["backup", "--data", &data],
        &["settings", "--data", &data],
        &["verify", &data],
    ] {
        refuses(what, "there is no record");
    }
    assert_eq!(inside(home.path()), [""; 0]);

    std::fs::create_dir(&typed).expect("writable");
    refuses(&["account", "--data", &data, "list"], "there is no record");
    assert_eq!(inside(&typed), [""; 0]);
}

#[tokio::test]
async fn a_backup_makes_no_folder_but_its_own() {
    let folder = begun().await;
    let data = folder.path().to_string_lossy();
    let elsewhere = TempDir::new().expect("a throw-away folder");
    let nowhere = elsewhere.path().join("nowhere");
    let to = nowhere.join("x.backup");
    refuses(
        &["backup", "--data", &data, "--to", &to.to_string_lossy()],
        "is not there",
    );
    assert!(!nowhere.exists());

    let kept = run(&["backup", "--data", &data]);
    assert!(kept.status.success());
    assert_eq!(inside(&folder.path().join("backups")).len(), 1);
}

#[tokio::test]
async fn a_file_that_is_no_record_is_called_so_and_leaves_no_folder() {
    let home = TempDir::new().expect("a throw-away folder");
    let data = home.path().join("club");
    for (name, content) in [
        ("notes.txt", &b"pegs dug out, mind the bank"[..]),
        ("empty.backup", b""),
    ] {
        let file = home.path().join(name);
        std::fs::write(&file, content).expect("writable");
        let file = file.to_string_lossy();
        refuses(&["verify", &file], "is not a Peglore backup or record");
        refuses(
            &[
                "restore",
                "--from",
                &file,
                "--data",
                &data.to_string_lossy(),
            ],
            "is not a Peglore backup or record",
        );
        assert!(!data.exists(), "{name}");
    }
}

#[tokio::test]
async fn a_record_that_was_only_begun_is_no_damage() {
    let folder = TempDir::new().expect("a throw-away folder");
    let file = folder.path().join(peglore::store::FILE_NAME);
    std::fs::write(&file, b"").expect("writable");
    let data = folder.path().to_string_lossy();
    for what in [&["backup", "--data", &data][..], &["verify", &data]] {
        refuses(what, "has nothing in it yet; start the server once");
        let told = run(what).stderr;
        let told = String::from_utf8_lossy(&told);
        assert!(!told.contains("restore"), "{what:?}: {told}");
    }
    assert!(!folder.path().join("backups").exists());

    // What the server does first.
    let db = Db::open(folder.path()).await.expect("it is finished");
    db.close().await;
    for what in [&["backup", "--data", &data][..], &["verify", &data]] {
        let done = run(what);
        let told = String::from_utf8_lossy(&done.stderr);
        assert!(done.status.success(), "{what:?}: {told}");
    }
}

#[tokio::test]
async fn a_file_to_undo_is_named_by_its_number_in_the_list() {
    let folder = begun().await;
    let data = folder.path().to_string_lossy();
    refuses(
        &["import", "--data", &data, "undo", "99"],
        "no file 99 has been brought in; “peglore import --data",
    );
    refuses(
        &["import", "--data", &data, "undo", "results"],
        "the number of the file, as “import list” shows it",
    );
}

#[test]
fn a_demonstration_whose_port_is_taken_leaves_no_folder() {
    let taken = TcpListener::bind("127.0.0.1:0").expect("a free port");
    let address = taken.local_addr().expect("bound").to_string();
    let home = TempDir::new().expect("a throw-away folder");
    let data = home.path().join("shown");
    let output = program(&["demo", "--data", &data.to_string_lossy()])
        .env("PEGLORE_LISTEN", &address)
        .output()
        .expect("the program runs");
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(
        !output.status.success() && told.contains(&address),
        "{told}"
    );
    assert!(!data.exists());
}

#[tokio::test]
async fn a_demonstration_goes_near_no_folder_with_anything_in_it() {
    let real = begun().await;
    let kept = std::fs::read(real.path().join(peglore::store::FILE_NAME)).expect("just made");
    let before = inside(real.path());
    refuses(
        &["demo", "--data", &real.path().to_string_lossy()],
        "is not empty; the demonstration only writes into an empty one",
    );
    assert_eq!(inside(real.path()), before);
    let after = std::fs::read(real.path().join(peglore::store::FILE_NAME)).expect("still there");
    assert!(after == kept, "the record was touched");

    let photos = TempDir::new().expect("a throw-away folder");
    std::fs::write(photos.path().join("pike.jpg"), "not ours").expect("writable");
    let data = photos.path().to_string_lossy();
    refuses(&["demo", "--data", &data], "is not empty");
    assert_eq!(inside(photos.path()), ["pike.jpg"]);
}
