//! Backups while anglers report, and backups that are killed half-way.

use std::{
    fs,
    sync::{Arc, atomic::AtomicBool},
    time::{Duration, Instant},
};

use rand::{RngExt, SeedableRng, rngs::ChaCha8Rng};
use tempfile::TempDir;

use super::harness::{
    club, ledger,
    process::{self, Server, words},
    rounds,
};

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_backup_under_load_holds_everything_acknowledged_before_it_began() {
    let folder = TempDir::new().expect("a throw-away folder");
    let elsewhere = TempDir::new().expect("a throw-away folder");
    let (file, restored) = (
        elsewhere.path().join("ours.backup"),
        elsewhere.path().join("restored"),
    );
    let clients = rounds::clients(folder.path(), 7).await;
    let server = Server::start(folder.path());
    let before = Arc::new(AtomicBool::new(false));
    let (clients, ()) = tokio::join!(
        rounds::together(clients, server.address, before.clone()),
        rounds::stop_after(before, Duration::from_millis(700)),
    );
    let owed: Vec<usize> = clients.iter().map(|c| c.acknowledged.len()).collect();

    let during = Arc::new(AtomicBool::new(false));
    let (data, to) = (folder.path().to_owned(), file.clone());
    let stop = during.clone();
    let (clients, output) = tokio::join!(
        rounds::together(clients, server.address, during),
        async move {
            let output = tokio::task::spawn_blocking(move || {
                process::run(&[
                    "backup",
                    "--data",
                    &data.to_string_lossy(),
                    "--to",
                    &to.to_string_lossy(),
                ])
            });
            let output = output.await.expect("the command ran");
            rounds::stop_after(stop, Duration::from_millis(100)).await;
            output
        }
    );
    assert!(output.status.success(), "{}", words(&output.stderr));
    let written: usize = clients.iter().map(|c| c.acknowledged.len()).sum();
    assert!(written > owed.iter().sum(), "reports went on meanwhile");
    drop(server);

    let back = process::run(&[
        "restore",
        "--from",
        &file.to_string_lossy(),
        "--data",
        &restored.to_string_lossy(),
    ]);
    assert!(back.status.success(), "{}", words(&back.stderr));
    let owed = clients
        .iter()
        .zip(&owed)
        .flat_map(|(client, count)| &client.acknowledged[..*count]);
    let sent = clients
        .iter()
        .flat_map(|c| c.acknowledged.iter().map(|a| &a.report));
    ledger::compare(&restored, owed, sent).await.must_hold();
    // The restored record needs no other file: it serves, and knows the sign-ins it had.
    let again = Server::start(&restored);
    let first = clients[0].browser(again.address);
    assert_eq!(first.get("/readyz").await.expect("an answer").status, 200);
    assert_eq!(first.get("/sessions").await.expect("an answer").status, 200);
}

#[tokio::test]
async fn a_killed_backup_leaves_the_last_good_one_and_never_takes_a_good_name() {
    let folder = TempDir::new().expect("a throw-away folder");
    let kept = TempDir::new().expect("a throw-away folder");
    club::found(folder.path(), 1).await;
    club::fill(folder.path(), 12_000).await;
    let good = kept.path().join("good.backup");
    let began = Instant::now();
    let first = backing_up(folder.path(), &good).output().expect("it runs");
    let mut whole_time = began.elapsed();
    assert!(first.status.success(), "{}", words(&first.stderr));
    let bytes = fs::read(&good).expect("just written");
    let mut dice = ChaCha8Rng::seed_from_u64(2);
    let (mut killed, mut finished) = (0, 0);

    for round in 0..80 {
        if killed == 12 {
            break;
        }
        let target = kept.path().join(format!("round-{round}.backup"));
        let mut command = backing_up(folder.path(), &target);
        let part = dice.random_range(0.02..1.0);
        if process::killed_part_way(&mut command, &mut whole_time, part) {
            killed += 1;
        }
        assert_eq!(
            fs::read(&good).expect("still there"),
            bytes,
            "round {round}"
        );
        if target.exists() {
            finished += 1;
            let proof = process::run(&["verify", &target.to_string_lossy()]);
            assert!(
                proof.status.success(),
                "round {round}: {}",
                words(&proof.stderr)
            );
        }
    }

    println!("{killed} were killed; {finished} had their name");
    assert_eq!(killed, 12);
    // What a killed one left behind does not stand in the way of the next.
    let again = (0..80)
        .map(|round| kept.path().join(format!("round-{round}.backup")))
        .find(|target| !target.exists())
        .expect("twelve were killed, not eighty finished");
    let last = backing_up(folder.path(), &again).output();
    assert!(last.expect("it runs").status.success());
    let restored = TempDir::new().expect("a throw-away folder");
    let back = process::run(&[
        "restore",
        "--from",
        &good.to_string_lossy(),
        "--data",
        &restored.path().to_string_lossy(),
    ]);
    assert!(
        words(&back.stdout).contains("12000 sessions"),
        "{}",
        words(&back.stdout)
    );
}

fn backing_up(data: &std::path::Path, to: &std::path::Path) -> std::process::Command {
    let mut command = process::program();
    command
        .arg("backup")
        .arg("--data")
        .arg(data)
        .arg("--to")
        .arg(to);
    command
}
