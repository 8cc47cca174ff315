//! The release binary, or this program as the bare server, as a child process.

use std::{
    io::{BufRead, BufReader},
    path::Path,
    process::{Child, Command, Stdio},
    time::{Duration, Instant},
};

use super::http::Client;

/// The binary that is measured.
pub const PEGLORE: &str = env!("CARGO_BIN_EXE_peglore");
/// A server that has not answered by then never will.
const PATIENCE: Duration = Duration::from_secs(120);

pub struct Server {
    child: Child,
    /// `127.0.0.1:port`.
    pub address: String,
    /// One-time links, where it printed any: angler, organiser, administrator.
    pub links: Vec<String>,
    /// From starting the process to its first 200.
    pub start: Duration,
}

impl Server {
    /// Starts `program` and waits until it answers.
    pub async fn start(program: &Path, arguments: &[&str]) -> Self {
        let begun = Instant::now();
        let mut child = Command::new(program)
            .args(arguments)
            .env("PEGLORE_LISTEN", "127.0.0.1:0")
            .env("RUST_LOG", "error")
            .stdout(Stdio::piped())
            .spawn()
            .expect("the program was built with this one");
        let stdout = child.stdout.take().expect("it was asked for");
        let (address, links, rest) =
            tokio::task::spawn_blocking(move || told(BufReader::new(stdout)))
                .await
                .expect("reading does not panic");
        // Keep reading, so that the child never waits for room.
        std::thread::spawn(move || rest.lines().for_each(drop));
        while !answers(&address).await {
            assert!(begun.elapsed() < PATIENCE, "no answer from {program:?}");
            tokio::time::sleep(Duration::from_millis(2)).await;
        }
        Self {
            child,
            address,
            links,
            start: begun.elapsed(),
        }
    }

    pub async fn demo(folder: &Path, size: &str) -> Self {
        let folder = folder.to_str().expect("a plain path");
        Self::start(
            PEGLORE.as_ref(),
            &["demo", "--size", size, "--data", folder],
        )
        .await
    }

    pub async fn serve(folder: &Path) -> Self {
        let folder = folder.to_str().expect("a plain path");
        Self::start(PEGLORE.as_ref(), &["serve", "--data", folder]).await
    }

    /// Spends a one-time link and gives the cookie.
    pub async fn sign_in(&self, link: usize) -> String {
        let path = &self.links[link];
        let mut client = Client::connect(&self.address, "")
            .await
            .expect("it answers");
        let answer = client.post(path, "").await.expect("it answers");
        let cookie = answer
            .head
            .lines()
            .filter(|line| line.to_ascii_lowercase().starts_with("set-cookie:"))
            .filter_map(|line| line.split_once(':')?.1.trim().split(';').next())
            .find(|pair| pair.starts_with("peglore="));
        cookie
            .unwrap_or_else(|| panic!("the link signs nobody in: {}", answer.head))
            .to_owned()
    }

    /// Memory that is in use, MiB.
    pub fn resident_mib(&self) -> f64 {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id()))
            .expect("Linux tells of its processes");
        let line = status.lines().find(|line| line.starts_with("VmRSS:"));
        let kib: f64 = line
            .and_then(|line| line.split_whitespace().nth(1)?.parse().ok())
            .expect("proc(5) names it so");
        kib / 1024.0
    }

    /// SIGKILL, as a power cut or an out-of-memory kill would.
    pub fn kill(mut self) {
        self.child.kill().expect("it still runs");
        self.child.wait().expect("it was killed");
    }

    /// SIGTERM, and waits for the end; seconds.
    pub fn stop(mut self) -> f64 {
        let begun = Instant::now();
        let pid = rustix::process::Pid::from_child(&self.child);
        rustix::process::kill_process(pid, rustix::process::Signal::TERM).expect("it still runs");
        let ended = self.child.wait().expect("it was told to stop");
        assert!(ended.success(), "stopping cleanly: {ended}");
        begun.elapsed().as_secs_f64()
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        // After `stop` and `kill` there is nothing left to end.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Reads on until address and links have been printed.
fn told<R: BufRead>(mut lines: R) -> (String, Vec<String>, R) {
    let mut links = Vec::new();
    let mut line = String::new();
    loop {
        line.clear();
        let read = lines.read_line(&mut line).expect("text");
        assert!(read > 0, "the server ended before it gave an address");
        let Some((_, rest)) = line.split_once("http://") else {
            continue;
        };
        let (address, path) = rest.trim().split_once('/').unwrap_or((rest.trim(), ""));
        if path.starts_with("links/") {
            links.push(format!("/{path}"));
        }
        let whole = line.contains("Serving") || line.contains("Bare") || links.len() == 3;
        if whole {
            return (address.to_owned(), links, lines);
        }
    }
}

async fn answers(address: &str) -> bool {
    let Ok(mut client) = Client::connect(address, "").await else {
        return false;
    };
    client
        .get("/")
        .await
        .is_ok_and(|answer| answer.status == 200)
}
