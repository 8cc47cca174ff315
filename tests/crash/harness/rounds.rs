//! Rounds of killing: eight clients report while the program is killed at a random moment, started
//! again, and compared with what the clients were told.

use std::{
    path::Path,
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
    time::{Duration, Instant},
};

use rand::{RngExt, SeedableRng, rngs::ChaCha8Rng};
use tempfile::TempDir;

use super::{
    club,
    ledger::{self, Client, Compared},
    process::Server,
};

pub const CLIENTS: usize = 8;

/// A round never waits longer for its answers.
const PATIENCE: Duration = Duration::from_secs(60);

/// What the rounds came to.
#[derive(Debug)]
pub struct Outcome {
    pub acknowledged: usize,
    /// Answers that never came, each sent again.
    pub cut: usize,
    pub compared: Compared,
}

/// Kills the program `rounds` times under eight clients. Fails where the record and the ledger differ.
pub async fn kill_under_load(rounds: usize, seed: u64) -> Outcome {
    let folder = TempDir::new().expect("a throw-away folder");
    let mut clients = clients(folder.path(), seed).await;
    let mut dice = ChaCha8Rng::seed_from_u64(seed);
    for round in 1..=rounds {
        let server = Server::start(folder.path());
        // After so many answers, and a moment more: as many on a slow machine as on a quick one.
        let answers: usize = dice.random_range(0..=80);
        let moment: u64 = dice.random_range(0..=30_000);
        let address = server.address;
        let told = clients[0].answers.clone();
        told.store(0, Ordering::SeqCst);
        let (back, ()) = tokio::join!(together(clients, address, endless()), async move {
            let until = Instant::now() + PATIENCE;
            while told.load(Ordering::SeqCst) < answers && Instant::now() < until {
                tokio::time::sleep(Duration::from_millis(1)).await;
            }
            tokio::time::sleep(Duration::from_micros(moment)).await;
            server.kill();
        });
        clients = back;
        let compared = ledger::compare_all(folder.path(), &clients).await;
        println!("round {round}: killed after {answers} answers and {moment} µs, {compared:?}");
        compared.must_hold();
    }
    let server = Server::start(folder.path());
    let stop = Arc::new(AtomicBool::new(true));
    clients = together(clients, server.address, stop).await;
    let (status, _) = server.terminate();
    assert!(status.success(), "{status}");
    let compared = ledger::compare_all(folder.path(), &clients).await;
    compared.must_hold();
    assert!(clients.iter().all(|c| c.unanswered.is_none()));
    Outcome {
        acknowledged: clients.iter().map(|c| c.acknowledged.len()).sum(),
        cut: clients.iter().map(|c| c.cut).sum(),
        compared,
    }
}

/// Eight clients of a fresh club in `folder`.
pub async fn clients(folder: &Path, seed: u64) -> Vec<Client> {
    let answers = Arc::default();
    let cookies = club::found(folder, CLIENTS).await;
    let clients = cookies.into_iter().enumerate().map(|(number, cookie)| {
        let mut client = Client::new(number, cookie, seed);
        client.answers = Arc::clone(&answers);
        client
    });
    clients.collect()
}

/// Lets every client report until it is cut off or told to stop.
pub async fn together(
    clients: Vec<Client>,
    address: std::net::SocketAddr,
    stop: Arc<AtomicBool>,
) -> Vec<Client> {
    let running: Vec<_> = clients
        .into_iter()
        .map(|mut client| {
            let stop = stop.clone();
            tokio::spawn(async move {
                client.report_on(address, stop).await;
                client
            })
        })
        .collect();
    let mut back = Vec::new();
    for client in running {
        back.push(client.await.expect("no client complained"));
    }
    back
}

/// A stop that is never given.
pub fn endless() -> Arc<AtomicBool> {
    Arc::new(AtomicBool::new(false))
}

/// Stops the clients after `wait`.
pub async fn stop_after(stop: Arc<AtomicBool>, wait: Duration) {
    tokio::time::sleep(wait).await;
    stop.store(true, Ordering::SeqCst);
}
