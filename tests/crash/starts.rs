//! Set-ups that cannot work: each ends at once, in one sentence that names the path and the user.

use std::{
    fs::{self, Permissions},
    os::unix::{fs as unix, fs::PermissionsExt, process::CommandExt},
    path::{Path, PathBuf},
    process::Command,
    time::{Duration, Instant},
};

use tempfile::TempDir;

use super::harness::{club, process};

/// Somebody without rights of their own: "nobody" on most systems.
const NOBODY: u32 = 65_534;

/// Every start that cannot work ends within this time.
const AT_ONCE: Duration = Duration::from_secs(2);

/// One broken set-up.
struct Broken {
    name: &'static str,
    /// Can it only be made by root, because a second user is needed?
    takes_root: bool,
    /// Makes it inside an empty folder that belongs to whoever starts the program; answers the data folder.
    make: fn(&Path, &[u8]) -> PathBuf,
}

const TABLE: [Broken; 10] = [
    Broken {
        name: "a folder that may only be read",
        takes_root: false,
        make: |home, _| mode(folder(home), 0o555),
    },
    Broken {
        name: "a folder that may not even be looked into",
        takes_root: false,
        make: |home, _| mode(folder(home), 0o000),
    },
    Broken {
        name: "a folder that is somebody else's",
        takes_root: true,
        make: |home, _| owner(mode(folder(home), 0o755), 0),
    },
    Broken {
        name: "a folder that would lie in one that is not there",
        takes_root: false,
        make: |home, _| home.join("not").join("there"),
    },
    Broken {
        name: "a folder that would lie in one that may only be read",
        takes_root: false,
        make: |home, _| mode(folder(home), 0o555).join("club"),
    },
    Broken {
        name: "a file in place of the folder",
        takes_root: false,
        make: |home, _| {
            let file = home.join("club");
            fs::write(&file, "not a folder").expect("writable");
            file
        },
    },
    Broken {
        name: "a record that may only be read",
        takes_root: false,
        make: |home, record| record_of(home, record, 0o444),
    },
    Broken {
        name: "a record that may not be read",
        takes_root: false,
        make: |home, record| record_of(home, record, 0o000),
    },
    Broken {
        name: "a file in the record's place that is none",
        takes_root: false,
        make: |home, _| record_of(home, &b"not a record at all. ".repeat(400), 0o644),
    },
    Broken {
        name: "settings that may not be read",
        takes_root: false,
        make: |home, _| {
            let data = folder(home);
            fs::write(data.join("settings.txt"), "listen = 127.0.0.1:0\n").expect("writable");
            mode(data.join("settings.txt"), 0o000);
            data
        },
    },
];

fn folder(home: &Path) -> PathBuf {
    let path = home.join("club");
    fs::create_dir(&path).expect("writable");
    path
}

fn record_of(home: &Path, bytes: &[u8], bits: u32) -> PathBuf {
    let data = folder(home);
    let file = data.join(peglore::store::FILE_NAME);
    fs::write(&file, bytes).expect("writable");
    mode(file, bits);
    data
}

fn mode(path: PathBuf, bits: u32) -> PathBuf {
    fs::set_permissions(&path, Permissions::from_mode(bits)).expect("ours to change");
    path
}

fn owner(path: PathBuf, uid: u32) -> PathBuf {
    unix::chown(&path, Some(uid), Some(uid)).expect("root may");
    path
}

#[tokio::test]
async fn each_broken_set_up_ends_at_once_with_one_sentence_naming_path_and_user() {
    let is_root = rustix::process::geteuid().is_root();
    let user = if is_root {
        NOBODY
    } else {
        rustix::process::geteuid().as_raw()
    };
    let place = TempDir::new().expect("a throw-away folder");
    mode(place.path().to_owned(), 0o755);
    // Another user may not be able to reach the folder this was built in, so the program comes along.
    let program = place.path().join("peglore");
    fs::copy(env!("CARGO_BIN_EXE_peglore"), &program).expect("room for it");
    let record = whole_record().await;
    let mut tried = 0;

    for (number, broken) in TABLE.iter().enumerate() {
        if broken.takes_root && !is_root {
            eprintln!(
                "NOT TRIED, because only root can start a program as another user: {}",
                broken.name
            );
            continue;
        }
        let home = place.path().join(number.to_string());
        fs::create_dir(&home).expect("writable");
        let data = (broken.make)(&home, &record);
        if is_root {
            hand_over(&home, broken.takes_root.then_some(data.as_path()));
        }
        refused_at_once(broken.name, start(&program, &data, is_root), &data, user);
        put_back(&home);
        tried += 1;
    }
    assert!(tried >= 9, "{tried} of {} were tried", TABLE.len());
}

#[tokio::test]
async fn a_good_folder_starts_for_the_same_user() {
    let is_root = rustix::process::geteuid().is_root();
    let place = TempDir::new().expect("a throw-away folder");
    mode(place.path().to_owned(), 0o755);
    let program = place.path().join("peglore");
    fs::copy(env!("CARGO_BIN_EXE_peglore"), &program).expect("room for it");
    let home = place.path().join("home");
    fs::create_dir(&home).expect("writable");
    if is_root {
        hand_over(&home, None);
    }
    let server = process::Server::from(start(&program, &home.join("club"), is_root));
    assert!(
        server.printed().contains("The first administrator"),
        "{}",
        server.printed()
    );
    assert!(server.terminate().0.success());
}

/// The bytes of a record that would open.
async fn whole_record() -> Vec<u8> {
    let folder = TempDir::new().expect("a throw-away folder");
    club::found(folder.path(), 1).await;
    fs::read(folder.path().join(peglore::store::FILE_NAME)).expect("just made")
}

fn start(program: &Path, data: &Path, as_nobody: bool) -> Command {
    let mut command = Command::new(program);
    process::unset_settings(&mut command);
    command
        .env("PEGLORE_LISTEN", "127.0.0.1:0")
        .env("RUST_BACKTRACE", "1")
        .arg("serve")
        .arg("--data")
        .arg(data);
    if as_nobody {
        command.uid(NOBODY).gid(NOBODY);
    }
    command
}

/// Gives everything below `home` to nobody, but not `save`.
fn hand_over(home: &Path, save: Option<&Path>) {
    let mut paths = vec![home.to_owned()];
    while let Some(path) = paths.pop() {
        if save == Some(path.as_path()) {
            continue;
        }
        if let (true, Ok(inside)) = (path.is_dir(), fs::read_dir(&path)) {
            paths.extend(inside.map(|entry| entry.expect("readable").path()));
        }
        owner(path, NOBODY);
    }
}

#[track_caller]
fn refused_at_once(name: &str, mut command: Command, data: &Path, user: u32) {
    let began = Instant::now();
    let mut child = command
        .stdin(std::process::Stdio::null())
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .expect("it runs");
    let ended = process::ended_within(&mut child, AT_ONCE * 5);
    let took = began.elapsed();
    if ended.is_none() {
        child.kill().expect("ours to kill");
    }
    let output = child.wait_with_output().expect("it ended");
    let said = process::words(&output.stderr);
    println!("{name}: {}", said.trim());
    assert!(
        ended.is_some_and(|status| !status.success()),
        "{name}: {ended:?}, {said}"
    );
    assert!(took < AT_ONCE, "{name} took {took:?}");
    assert_eq!(
        said.trim_end().lines().count(),
        1,
        "{name}: more than a sentence: {said}"
    );
    assert!(
        said.contains(&*data.to_string_lossy()),
        "{name}: the path is not named: {said}"
    );
    assert!(
        said.contains(&format!("user {user}")),
        "{name}: the user is not named: {said}"
    );
    for word in ["panicked", "backtrace", "Error(", "RUST_"] {
        assert!(!said.contains(word), "{name}: {said}");
    }
}

/// Lets the throw-away folder be thrown away.
fn put_back(home: &Path) {
    for path in [home.to_owned(), home.join("club")] {
        if path.is_dir() {
            mode(path, 0o755);
        }
    }
}
