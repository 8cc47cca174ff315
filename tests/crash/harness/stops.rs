//! Rounds of stopping: six clients report while two more have a form half sent, which the server has
//! begun to read, when SIGTERM comes. Whatever was accepted is answered.

use std::{
    net::SocketAddr,
    path::Path,
    time::{Duration, Instant},
};

use peglore::store;
use rand::{RngExt, SeedableRng, rngs::ChaCha8Rng};
use tempfile::TempDir;
use tokio::{
    io::{AsyncReadExt, AsyncWriteExt},
    net::TcpStream,
    time::timeout,
};

use super::{
    http::answer,
    ledger::{self, Acknowledged, Client, Report},
    process::Server,
    rounds,
};

/// A stop may take this long.
pub const LAST_ORDERS: Duration = Duration::from_secs(5);

/// Clients whose form is half sent at the stop; the others report as fast as they can.
const HALF_WAY: usize = 2;
/// Nothing here takes longer.
const PATIENCE: Duration = Duration::from_secs(30);

/// What the rounds came to.
#[derive(Debug, Default)]
pub struct Outcome {
    pub acknowledged: usize,
    /// Forms half sent at the stop, each answered.
    pub half_sent: usize,
    pub longest: Duration,
}

/// Stops the program `rounds` times. Fails where a stop is not clean, or where something was saved or
/// being read and its sender was never told.
pub async fn stop_under_load(rounds: usize, seed: u64) -> Outcome {
    let folder = TempDir::new().expect("a throw-away folder");
    let mut busy = rounds::clients(folder.path(), seed).await;
    let mut half_way = busy.split_off(rounds::CLIENTS - HALF_WAY);
    let mut dice = ChaCha8Rng::seed_from_u64(seed);
    let mut outcome = Outcome::default();
    for round in 1..=rounds {
        let server = Server::start(folder.path());
        let address = server.address;
        let load = tokio::spawn(rounds::together(busy, address, rounds::endless()));
        tokio::time::sleep(Duration::from_millis(dice.random_range(20..=300))).await;
        let mut begun = Vec::new();
        for client in &mut half_way {
            begun.push(begin(client, address).await);
        }

        server.ask_to_stop();
        let began = Instant::now();
        let ended = tokio::task::spawn_blocking(move || {
            let mut server = server;
            (server.ended(LAST_ORDERS), began.elapsed())
        });
        tokio::time::sleep(Duration::from_millis(dice.random_range(0..=300))).await;
        for (client, form) in half_way.iter_mut().zip(begun) {
            finish(client, form, round).await;
            outcome.half_sent += 1;
        }

        let (status, took) = ended.await.expect("no panic while waiting");
        let status = status.unwrap_or_else(|| panic!("stop {round} took over {LAST_ORDERS:?}"));
        assert!(status.success(), "stop {round}: {status}");
        outcome.longest = outcome.longest.max(took);
        left_nothing(folder.path(), round);
        let load = timeout(PATIENCE, load).await;
        busy = load
            .expect("a client went on after the stop")
            .expect("no client complained");
        all_were_told(folder.path(), busy.iter().chain(&half_way), round).await;
    }
    outcome.acknowledged = busy
        .iter()
        .chain(&half_way)
        .map(|client| client.acknowledged.len())
        .sum();
    outcome
}

/// A form of which the server has read the head and asked for the rest.
struct HalfSent {
    report: Report,
    stream: TcpStream,
    rest: Vec<u8>,
}

/// Sends the head, waits until the server says that it reads the body (RFC 9110, 10.1.1), and sends half of it.
async fn begin(client: &mut Client, address: SocketAddr) -> HalfSent {
    let report = client.write_one();
    let bytes = client
        .browser(address)
        .posting("/report", &report.body, "keep-alive");
    let text = String::from_utf8(bytes).expect("a form is text");
    let (head, body) = text.split_once("\r\n\r\n").expect("a head and a body");
    let mut stream = TcpStream::connect(address).await.expect("it answers");
    let asking = format!("{head}\r\nExpect: 100-continue\r\n\r\n");
    stream
        .write_all(asking.as_bytes())
        .await
        .expect("it listens");
    let mut told = Vec::new();
    while !told.ends_with(b"\r\n\r\n") {
        let mut piece = [0; 256];
        let read = timeout(PATIENCE, stream.read(&mut piece)).await;
        let read = read.expect("it asks for the body").expect("it answers");
        assert_ne!(read, 0, "closed before the body was asked for");
        told.extend_from_slice(&piece[..read]);
    }
    let told = String::from_utf8_lossy(&told);
    assert!(told.starts_with("HTTP/1.1 100"), "{told}");
    let (first, rest) = body.split_at(body.len() / 2);
    stream
        .write_all(first.as_bytes())
        .await
        .expect("it still listens");
    HalfSent {
        rest: rest.as_bytes().to_vec(),
        report,
        stream,
    }
}

/// Sends the rest: it is saved and answered, and then the connection is closed in order.
async fn finish(client: &mut Client, mut form: HalfSent, round: usize) {
    form.stream
        .write_all(&form.rest)
        .await
        .expect("it still listens");
    let reply = answer(&mut form.stream).await;
    let reply = reply.unwrap_or_else(|e| panic!("stop {round}: a form half sent: {e}"));
    assert_eq!(reply.status, 303, "stop {round}: {}", reply.text());
    let address = reply.header("location").unwrap_or("").to_owned();
    client.acknowledged.push(Acknowledged {
        report: form.report,
        address,
    });
    let closed = timeout(PATIENCE, form.stream.read(&mut [0; 16])).await;
    let closed = closed.expect("nothing new is begun on it");
    assert_eq!(closed.expect("closed in order"), 0, "stop {round}");
}

#[track_caller]
fn left_nothing(folder: &Path, round: usize) {
    for ending in ["-wal", "-shm"] {
        let left = folder.join(format!("{}{ending}", store::FILE_NAME));
        assert!(!left.exists(), "stop {round} left {ending}");
    }
}

/// Everything that a client was told is there, and nothing is there that its client was not told of.
async fn all_were_told<'a>(
    folder: &Path,
    clients: impl Iterator<Item = &'a Client> + Clone,
    round: usize,
) {
    let owed = clients.clone().flat_map(|client| &client.acknowledged);
    let sent = clients.clone().flat_map(|client| {
        let answered = client.acknowledged.iter().map(|a| &a.report);
        answered.chain(&client.unanswered)
    });
    let compared = ledger::compare(folder, owed, sent).await;
    compared.must_hold();
    let told: usize = clients.map(|client| client.acknowledged.len()).sum();
    assert_eq!(
        compared.kept, told,
        "stop {round}: saved, and its sender was not told"
    );
}
