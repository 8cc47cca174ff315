//! `peglore account`, run as the program itself: whose a link is, how long it lasts, where it opens.

use std::{path::Path, process::Command};

use peglore::store::Db;
use tempfile::TempDir;

/// What `account` prints for these words, with this public address.
fn told(folder: &Path, what: &[&str], public: &str) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_peglore"))
        .args(["account", "--data"])
        .arg(folder)
        .args(what)
        .env("PEGLORE_LISTEN", "127.0.0.1:8080")
        .env("PEGLORE_PUBLIC_ADDRESS", public)
        .output()
        .expect("the program runs");
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{what:?}: {said}");
    String::from_utf8_lossy(&output.stdout).into_owned()
}

async fn begun() -> TempDir {
    let folder = TempDir::new().expect("a throw-away folder");
    Db::open(folder.path())
        .await
        .expect("a fresh record")
        .close()
        .await;
    folder
}

#[tokio::test]
async fn an_invite_says_whose_it_is_how_long_it_lasts_and_that_it_may_not_open_elsewhere() {
    let folder = begun().await;
    let what = ["invite", "Dot Hazelpatch", "--role", "organiser"];
    let invite = told(folder.path(), &what, "");
    for words in [
        "An invite for Dot Hazelpatch, organiser. It works once, for seven days",
        "\n  http://127.0.0.1:8080/links/",
        "On other machines it may not open: the setting public_address is empty",
    ] {
        assert!(invite.contains(words), "no “{words}” in {invite}");
    }

    // Whoever has no password yet is invited again, not reset.
    let again = told(folder.path(), &["reset", "dot hazelpatch"], "");
    assert!(
        again.contains("An invite for Dot Hazelpatch. It works once, for seven days"),
        "{again}"
    );
}

#[tokio::test]
async fn a_link_by_the_public_address_needs_no_hint() {
    let folder = begun().await;
    let invite = told(
        folder.path(),
        &["invite", "Jem Coppleway"],
        "https://club.example/pegs",
    );
    assert!(
        invite.contains("\n  https://club.example/pegs/links/"),
        "{invite}"
    );
    assert!(!invite.contains("public_address"), "{invite}");
}

#[tokio::test]
async fn a_record_in_which_nobody_can_sign_in_says_so() {
    let folder = begun().await;
    let list = told(folder.path(), &["list"], "");
    assert!(list.contains("Nobody can sign in yet."), "{list}");
    told(folder.path(), &["invite", "Dot Hazelpatch"], "");
    let list = told(folder.path(), &["list"], "");
    assert_eq!(list, "Dot Hazelpatch: member, invite not used yet\n");
}
