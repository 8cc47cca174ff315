//! Start, memory, and pages against the bare route.

use std::{
    path::Path,
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
    time::{Duration, Instant},
};

use tempfile::TempDir;

use super::{
    bare,
    child::{PEGLORE, Server},
    http::Client,
    reports::{self, keep_sending},
    rounds::{CLIENTS, Round, ask, median, percentile},
    table::Table,
};

/// Rounds of the bare route and of the peg page, by turns.
const ROUNDS: usize = 5;
const BARE_ROUND: Duration = Duration::from_secs(3);
const PEG_ROUND: Duration = Duration::from_secs(6);
const MIXED_ROUND: Duration = Duration::from_secs(15);
/// One report so often while pages are asked for.
const WRITES_EVERY: Duration = Duration::from_millis(50);
/// Time in which a server comes to rest.
const REST: Duration = Duration::from_secs(10);

pub async fn measure(table: &mut Table) {
    let folder = TempDir::new().expect("a throw-away folder");
    let demo = Server::demo(folder.path(), "usual").await;
    table.note(
        "demonstration club made and served, seconds",
        format!("{:.1}", demo.start.as_secs_f64()),
    );
    let cookie = demo.sign_in(0).await;
    tokio::time::sleep(REST).await;
    demo.stop();
    let server = start(table, folder.path()).await;
    let idle = server.resident_mib();
    table.aim(
        "memory at rest, MiB",
        format!("{idle:.0}"),
        "under 64",
        idle < 64.0,
    );
    let bytes = std::fs::metadata(PEGLORE).map_or(0, |file| file.len());
    let mib = bytes as f64 / f64::from(1 << 20);
    table.aim(
        "the program, MiB",
        format!("{mib:.1}"),
        "25 or less",
        mib <= 25.0,
    );
    under_load(table, &server, &cookie).await;
    let after = server.resident_mib();
    table.aim(
        "memory after the load of 32 clients, MiB",
        format!("{after:.0}"),
        "under 128",
        after < 128.0,
    );
}

/// Starts the server on a club that is there already, thrice; leaves the last one running, at rest.
async fn start(table: &mut Table, folder: &Path) -> Server {
    let mut times = Vec::new();
    for _ in 0..2 {
        let server = Server::serve(folder).await;
        times.push(server.start.as_secs_f64());
        server.stop();
    }
    let server = Server::serve(folder).await;
    times.push(server.start.as_secs_f64());
    let start = median(times);
    table.aim(
        "start to the first page, seconds",
        format!("{start:.2}"),
        "under 1",
        start < 1.0,
    );
    tokio::time::sleep(REST).await;
    server
}

async fn under_load(table: &mut Table, server: &Server, cookie: &str) {
    let this = std::env::current_exe().expect("this program has a path");
    let bare = Server::start(&this, &[bare::ARGUMENT]).await;
    let mut peg_pages = Vec::new();
    for venue in ["1", "2", "3"] {
        for peg in reports::pegs(server, venue).await {
            peg_pages.push(format!("/venues/{venue}/pegs/{peg}"));
        }
    }
    let of_first_water = reports::pegs(server, "1").await;
    let first = first_asking(server, cookie, &peg_pages).await;
    table.note(
        "peg page asked for first since the start, milliseconds to half of them and to 99 in 100",
        format!(
            "{:.1} and {:.1}",
            percentile(&first, 0.5),
            percentile(&first, 0.99)
        ),
    );
    let peg_pages = Arc::new(peg_pages);
    let stop = Arc::new(AtomicBool::new(false));
    let writer = tokio::spawn(keep_sending(
        server.address.clone(),
        cookie.to_owned(),
        of_first_water,
        WRITES_EVERY,
        stop.clone(),
    ));
    let root = Arc::new(vec!["/".to_owned()]);
    let (mut bare_rates, mut rounds) = (Vec::new(), Vec::new());
    for _ in 0..ROUNDS {
        bare_rates.push(ask(&bare.address, "", &root, BARE_ROUND).await.rate);
        rounds.push(ask(&server.address, cookie, &peg_pages, PEG_ROUND).await);
    }
    let mixed = ask(&server.address, cookie, &mix(&peg_pages), MIXED_ROUND).await;
    stop.store(true, Ordering::Relaxed);
    let written = writer.await.expect("every report is taken");
    tell(table, &bare_rates, &rounds);
    table.note(
        "a mix of pages, milliseconds to half of them and to 99 in 100",
        format!(
            "{:.1} and {:.1}",
            mixed.percentile(0.5),
            mixed.percentile(0.99)
        ),
    );
    table.note("reports taken meanwhile", written.to_string());
}

/// Each page once, before anything of it is kept in memory; milliseconds, ascending.
async fn first_asking(server: &Server, cookie: &str, paths: &[String]) -> Vec<f64> {
    let mut client = Client::connect(&server.address, cookie)
        .await
        .expect("it answers");
    let mut latencies = Vec::new();
    for path in paths {
        let asked = Instant::now();
        let answer = client.get(path).await.expect("it answers");
        assert_eq!(answer.status, 200, "{path}");
        latencies.push(asked.elapsed().as_secs_f64() * 1e3);
    }
    latencies.sort_by(f64::total_cmp);
    latencies
}

fn tell(table: &mut Table, bare_rates: &[f64], rounds: &[Round]) {
    table.note(
        &format!("bare route, answers a second to {CLIENTS} clients"),
        format!("{:.0}", median(bare_rates.to_vec())),
    );
    table.note(
        &format!("peg page, answers a second to {CLIENTS} clients"),
        format!(
            "{:.0}",
            median(rounds.iter().map(|round| round.rate).collect())
        ),
    );
    let ratios = rounds
        .iter()
        .zip(bare_rates)
        .map(|(round, bare)| bare / round.rate);
    let ratio = median(ratios.collect());
    table.aim(
        "bare route against peg page",
        format!("{ratio:.1}"),
        "60 or less",
        ratio <= 60.0,
    );
    let half = median(rounds.iter().map(|round| round.percentile(0.5)).collect());
    table.note(
        "peg page, milliseconds to half of the answers",
        format!("{half:.1}"),
    );
    let p99 = median(rounds.iter().map(|round| round.percentile(0.99)).collect());
    table.aim(
        "peg page, milliseconds to 99 answers in 100",
        format!("{p99:.1}"),
        "under 25",
        p99 < 25.0,
    );
}

/// What people ask for on a Friday night: mostly pegs, and the pages around them.
fn mix(peg_pages: &[String]) -> Arc<Vec<String>> {
    let around = [
        "/",
        "/venues",
        "/venues/1",
        "/venues/1/weather",
        "/venues/1/like-days",
        "/matches",
        "/report?venue=1",
        "/sessions",
        "/account",
    ];
    let mixed = peg_pages.iter().zip(around.iter().cycle());
    Arc::new(
        mixed
            .flat_map(|(peg, page)| [peg.clone(), (*page).to_owned()])
            .collect(),
    )
}
