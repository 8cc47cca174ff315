//! Folders and files named wrongly: said in a sentence, and nothing is begun or left behind.

use std::{
    ffi::OsStr,
    net::TcpListener,
    os::unix::{ffi::OsStrExt, fs::PermissionsExt},
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

#[tokio::test]
async fn an_empty_record_begins_a_club_and_the_log_says_so() {
    let folder = TempDir::new().expect("a throw-away folder");
    std::fs::write(folder.path().join(peglore::store::FILE_NAME), b"").expect("writable");
    let data = folder.path().to_string_lossy();
    let listed = || {
        let output = run(&["account", "--data", &data, "list"]);
        let log = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success(), "{log}");
        log
    };
    let first = listed();
    assert!(
        first.contains("was empty, and a new club begins in it"),
        "{first}"
    );
    assert!(!listed().contains("was empty"));
}

#[tokio::test]
async fn what_the_program_makes_is_for_its_user_alone_to_read() {
    let home = begun().await;
    let record = home.path().join(peglore::store::FILE_NAME);
    let open_to_all = std::fs::Permissions::from_mode(0o644);
    std::fs::set_permissions(&record, open_to_all).expect("ours");
    let data = home.path().join("club");
    let data = data.to_string_lossy();
    let back = run(&[
        "restore",
        "--from",
        &record.to_string_lossy(),
        "--data",
        &data,
    ]);
    assert!(back.status.success());
    let elsewhere = home.path().join("ours.backup");
    let to = elsewhere.to_string_lossy();
    assert!(run(&["backup", "--data", &data]).status.success());
    assert!(
        run(&["backup", "--data", &data, "--to", &to])
            .status
            .success()
    );
    assert!(
        run(&["account", "--data", &data, "invite", "Jem"])
            .status
            .success()
    );

    let mode = |path: &Path| {
        let found = std::fs::metadata(path).expect("there");
        found.permissions().mode() & 0o777
    };
    assert_eq!(mode(&elsewhere), 0o600);
    let mut folders = vec![home.path().join("club")];
    while let Some(folder) = folders.pop() {
        assert_eq!(mode(&folder), 0o700, "{}", folder.display());
        for name in inside(&folder) {
            let path = folder.join(name);
            if path.is_dir() {
                folders.push(path);
            } else {
                assert_eq!(mode(&path), 0o600, "{}", path.display());
            }
        }
    }
    // What was there already stays as it was made.
    assert_eq!(mode(&record), 0o644);
}

#[tokio::test]
async fn an_environment_that_is_no_text_stops_nothing_but_a_setting_that_is_none_does() {
    let folder = begun().await;
    let no_text = OsStr::from_bytes(b"\xff\xfe");
    let settings = |name: &str| {
        program(&["settings", "--data", &folder.path().to_string_lossy()])
            .env(name, no_text)
            .output()
            .expect("the program runs")
    };
    let elsewhere = settings("SOMEBODY_ELSES");
    let told = String::from_utf8_lossy(&elsewhere.stderr).into_owned();
    assert!(elsewhere.status.success(), "{told}");
    let ours = settings("PEGLORE_LISTEN");
    let told = String::from_utf8_lossy(&ours.stderr).into_owned();
    assert_eq!(ours.status.code(), Some(1), "{told}");
    assert!(told.contains("the setting “listen” cannot be"), "{told}");
}

#[test]
fn every_folder_and_file_that_is_asked_for_is_explained() {
    for (command, sentences) in [
        (
            "serve",
            &["The folder that holds", "the first administrator", "Ctrl-C"][..],
        ),
        ("demo", &["three links", "Ctrl-C"]),
        (
            "account",
            &["The folder that holds the club's record", "List who can"],
        ),
        (
            "backup",
            &[
                "The folder that holds the club's record",
                "Keep a copy on another machine",
            ],
        ),
        ("verify", &["is whole", "A backup file or a data folder"]),
        (
            "restore",
            &["The backup to put back", "The folder it is put into"],
        ),
        (
            "settings",
            &["The folder whose settings.txt is read", "To change one"],
        ),
    ] {
        let help = run(&[command, "--help"]);
        let help = String::from_utf8_lossy(&help.stdout).into_owned();
        for sentence in sentences {
            assert!(help.contains(sentence), "no “{sentence}” in {help}");
        }
    }
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

#[tokio::test]
async fn what_is_refused_says_what_to_do_instead() {
    let folder = begun().await;
    let data = folder.path().to_string_lossy();
    let to = format!("name a file in it: --to {data}/peglore-");
    refuses(&["backup", "--data", &data, "--to", &data], &to);
    let nowhere = folder.path().join("nowhere");
    let nowhere = nowhere.to_string_lossy();
    let begin = format!("peglore serve --data {nowhere}");
    refuses(&["account", "--data", &nowhere, "list"], &begin);

    let lock = std::fs::File::create(folder.path().join("peglore.lock")).expect("writable");
    lock.lock().expect("nobody has it");
    let account = ["account", "--data", &data, "list"];
    refuses(&account, "under Committee, People who sign in");
    refuses(
        &["import", "--data", &data, "list"],
        "under Committee, Old sheets",
    );
}

#[tokio::test]
async fn every_setting_says_where_its_value_comes_from() {
    let folder = begun().await;
    std::fs::write(folder.path().join("settings.txt"), "backups_kept = 7\n").expect("writable");
    let output = program(&["settings", "--data", &folder.path().to_string_lossy()])
        .env("PEGLORE_LISTEN", "127.0.0.1:4000")
        .output()
        .expect("the program runs");
    let told = String::from_utf8_lossy(&output.stdout).into_owned();
    for words in [
        "listen = 127.0.0.1:4000\n    Here: from PEGLORE_LISTEN.",
        "backups_kept = 7\n    Here: from settings.txt.",
        "disk_floor_mib = 64\n    Here: the default.",
    ] {
        assert!(told.contains(words), "no “{words}” in {told}");
    }
}
