//! Reports against the bare durable transaction that writes the same rows.

use std::{
    sync::{
        Arc,
        atomic::{AtomicBool, AtomicUsize, Ordering},
    },
    time::Duration,
};

use peglore::domain::dates::{Instant, Zone};
use tempfile::TempDir;

use super::{bare, child::Server, http::Client, rounds::median, table::Table};

/// Rounds of each, by turns.
const ROUNDS: usize = 5;
/// Reports of a round, which then takes about a second: in a shorter one the disk's moods show.
const REPORTS: usize = 800;
/// Phones that report at once.
const PHONES: usize = 8;

/// Days over which reports are spread: nobody fishes a hundred sessions in one.
const DAYS: usize = 700;

static SENT: AtomicUsize = AtomicUsize::new(0);

/// A report of one of the last [`DAYS`] days from a peg of the first water: one spell, two groups,
/// a form of its own, before any match began. Where the peg was closed that day, that is right.
fn form(peg: &str) -> String {
    let number = SENT.fetch_add(1, Ordering::Relaxed);
    let now = Instant(jiff::Timestamp::now().as_second());
    let day = now.day(&Zone::utc()).plus(-1 - (number % DAYS) as i64);
    let process = std::process::id();
    format!(
        "venue=1&key=load-{process}-{number:010}&peg={peg}&date={day}&start=05:00&end=09:00&start_sure={day}+05:00+09:00&peg_sure={peg}+{day}&spells=1\
         &from_1=05:00&to_1=09:00&method_1=1&line_1=11&carp_number=4&carp_weight=31-4\
         &silvers_number=9&silvers_weight=12-8&remarks=Quiet+until+the+sun+came+round.&visibility=club"
    )
}

/// Sends one report, which is taken.
pub async fn send(client: &mut Client, peg: &str) {
    let answer = client
        .post("/report", &form(peg))
        .await
        .expect("it answers");
    assert_eq!(answer.status, 303, "the report is taken: {}", answer.text());
}

/// Reports every so often until told to stop; the number sent. They come from the pegs by turns:
/// those of a club come from every peg of a water, and each makes its own peg's page anew.
pub async fn keep_sending(
    address: String,
    cookie: String,
    pegs: Vec<String>,
    every: Duration,
    stop: Arc<AtomicBool>,
) -> usize {
    let mut client = Client::connect(&address, &cookie)
        .await
        .expect("it answers");
    let mut clock = tokio::time::interval(every);
    let mut sent = 0;
    while !stop.load(Ordering::Relaxed) {
        clock.tick().await;
        send(&mut client, &pegs[sent % pegs.len()]).await;
        sent += 1;
    }
    sent
}

/// [`REPORTS`] from so many phones at once; reports a second.
async fn reports(server: &Server, cookie: &str, peg: &str, phones: usize) -> f64 {
    let mut clients = Vec::new();
    for _ in 0..phones {
        clients.push(
            Client::connect(&server.address, cookie)
                .await
                .expect("it answers"),
        );
    }
    let begun = std::time::Instant::now();
    let sending: Vec<_> = clients
        .into_iter()
        .map(|mut client| {
            let peg = peg.to_owned();
            tokio::spawn(async move {
                for _ in 0..REPORTS / phones {
                    send(&mut client, &peg).await;
                }
            })
        })
        .collect();
    for phone in sending {
        phone.await.expect("no phone fails");
    }
    REPORTS as f64 / begun.elapsed().as_secs_f64()
}

/// The numbers of the pegs of a water, as its page links to them.
pub async fn pegs(server: &Server, venue: &str) -> Vec<String> {
    let mut client = Client::connect(&server.address, "")
        .await
        .expect("it answers");
    let page = client
        .get_plain(&format!("/venues/{venue}"))
        .await
        .expect("it answers");
    let start = format!("/venues/{venue}/pegs/");
    let mut pegs: Vec<String> = page
        .text()
        .split(&start)
        .skip(1)
        .filter_map(|rest| Some(rest.split(['"', '?', '#']).next()?.to_owned()))
        .collect();
    pegs.sort();
    pegs.dedup();
    assert!(!pegs.is_empty(), "the page of a water links to its pegs");
    pegs
}

pub async fn measure(table: &mut Table) {
    let folder = TempDir::new().expect("a throw-away folder");
    let demo = Server::demo(folder.path(), "usual").await;
    let cookie = demo.sign_in(0).await;
    demo.stop();
    let bare_folder = TempDir::new().expect("a throw-away folder");
    let file = peglore::store::FILE_NAME;
    std::fs::copy(folder.path().join(file), bare_folder.path().join(file))
        .expect("the demonstration stopped cleanly");
    let server = Server::serve(folder.path()).await;
    let peg = pegs(&server, "1").await.remove(0);
    let (mut alone, mut one, mut eight) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..ROUNDS {
        alone.push(bare::transactions(bare_folder.path(), REPORTS).await);
        one.push(reports(&server, &cookie, &peg, 1).await);
        eight.push(reports(&server, &cookie, &peg, PHONES).await);
    }
    let ratio = |rates: &[f64]| {
        median(
            rates
                .iter()
                .zip(&alone)
                .map(|(rate, bare)| rate / bare)
                .collect(),
        )
    };
    let (from_one, from_eight) = (ratio(&one), ratio(&eight));
    table.note(
        "bare durable transactions of a report's rows, a second",
        format!("{:.0}", median(alone.clone())),
    );
    table.note(
        "reports a second from one phone, against them",
        format!("{from_one:.2}"),
    );
    table.aim(
        "reports a second from eight phones, against them",
        format!("{from_eight:.2}"),
        "0.5 or more",
        from_eight >= 0.5,
    );
}
