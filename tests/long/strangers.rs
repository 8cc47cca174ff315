//! Strangers in numbers, at the real program: what the time of a refusal tells them, and whether a
//! crowd of them holds anybody up. `cargo test --release --test long -- --nocapture strangers`, about
//! two minutes; on a machine that does nothing else.

use std::{
    path::Path,
    time::{Duration, Instant},
};

use peglore::{
    actions::{By, accounts, one_time_links, passwords::Hasher},
    domain::{accounts::Role, dates},
    store::Db,
};
use rand::{SeedableRng, rngs::ChaCha8Rng, seq::SliceRandom};
use rustix::process::{Resource, Rlimit, getrlimit, setrlimit};
use tempfile::TempDir;
use tokio::{io::AsyncWriteExt, net::TcpStream, sync::Mutex};

use crate::harness::{
    club,
    http::{Browser, Reply, exchange},
    process::{Server, program},
};

/// Tries of each kind.
const TRIES: usize = 1_000;
/// A page is meant to come within this, 95 times in 100, whoever else is there.
const AT_EASE: Duration = Duration::from_millis(300);
const MOST_MEMORY_KIB: u64 = 256 * 1024;

/// Each test has the machine to itself.
static TURN: Mutex<()> = Mutex::const_new(());

/// A club with `count` further accounts, `Known0000` and so on, of one password.
async fn club_of(folder: &Path, count: usize, memory_kib: u32) {
    club::found(folder, 1).await;
    let hashed = Hasher::new(memory_kib).hash("wet bank cold hands").await;
    let hashed = hashed.expect("a turn is free");
    let db = Db::open(folder).await.expect("the record opens");
    let mut writing = db.write().await.expect("the writer is free");
    for number in 0..count {
        sqlx::query(
            "INSERT INTO accounts (pid, name, name_key, role, phc, created_utc)
             VALUES (printf('0k%024d', ?1), printf('Known%04d', ?1), printf('known%04d', ?1), 'member', ?2, 1)",
        )
        .bind(number as i64)
        .bind(hashed.as_str())
        .execute(&mut *writing)
        .await
        .expect("fits the schema");
    }
    writing.commit().await.expect("kept");
    db.close().await;
}

/// The program behind a proxy that is believed, so that every try may come from an address of its own.
fn behind_a_proxy(folder: &Path, memory_kib: u32) -> Server {
    let mut command = program();
    command
        .env("PEGLORE_TRUSTED_PROXIES", "127.0.0.1")
        .env("PEGLORE_PASSWORD_MEMORY_KIB", memory_kib.to_string())
        .arg("serve")
        .arg("--data")
        .arg(folder);
    Server::from(command)
}

/// A wrong password for `name`, from address number `from`.
async fn guess(visitor: &Browser, name: &str, from: usize) -> Reply {
    let body = format!("name={name}&password=not+this+one");
    let form = visitor.posting("/sign-in", &body, "close");
    let form = String::from_utf8(form).expect("a form is text");
    let address = format!("10.0.{}.{}", from / 250, from % 250 + 1);
    let form = form.replacen(
        "Content-Type:",
        &format!("X-Forwarded-For: {address}\r\nContent-Type:"),
        1,
    );
    exchange(visitor.address, form.as_bytes())
        .await
        .expect("an answer")
}

fn visitor_of(server: &Server) -> Browser {
    Browser {
        address: server.address,
        cookie: String::new(),
    }
}

/// The value that `share` of them do not exceed.
fn quantile(times: &[Duration], share: f64) -> Duration {
    let mut sorted = times.to_vec();
    sorted.sort();
    let last = sorted.len() - 1;
    sorted[((last as f64) * share).round() as usize]
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn strangers_cannot_tell_an_unknown_name_from_a_wrong_password_by_the_time_it_takes() {
    let _turn = TURN.lock().await;
    let folder = TempDir::new().expect("a throw-away folder");
    club_of(folder.path(), TRIES, 19_456).await;
    let server = behind_a_proxy(folder.path(), 19_456);
    let visitor = visitor_of(&server);
    for warming in 0..20 {
        guess(&visitor, &format!("Warming{warming:02}"), 3_000 + warming).await;
    }
    let mut order: Vec<(bool, usize)> = (0..TRIES)
        .flat_map(|number| [(true, number), (false, number)])
        .collect();
    order.shuffle(&mut ChaCha8Rng::seed_from_u64(1));
    let (mut known, mut unknown) = (Vec::new(), Vec::new());

    for (from, (is_known, number)) in order.into_iter().enumerate() {
        let word = if is_known { "Known" } else { "Other" };
        let name = format!("{word}{number:04}");
        let began = Instant::now();
        let reply = guess(&visitor, &name, from).await;
        let took = began.elapsed();
        assert_eq!(reply.status, 401, "{name}");
        let page = reply.text();
        assert!(
            page.contains("The name or the password is not right"),
            "{page}"
        );
        if is_known {
            known.push(took);
        } else {
            unknown.push(took);
        }
    }

    let (known, unknown) = (quantile(&known, 0.5), quantile(&unknown, 0.5));
    println!("half within: a wrong password {known:?}, an unknown name {unknown:?}");
    let apart = known.abs_diff(unknown);
    assert!(apart < Duration::from_millis(5), "{apart:?}");
    assert!(apart < known.min(unknown).mul_f64(0.05), "{apart:?}");
}

/// Links that do not work in the browser of somebody else who is signed in, and why they do not.
async fn dead_links(folder: &Path) -> [(&'static str, String); 4] {
    let db = Db::open(folder).await.expect("the record opens");
    let now = dates::Instant(jiff::Timestamp::now().as_second());
    let invited = async |name: &str, at: dates::Instant| {
        let made = accounts::invite(&db, at, &By::CommandLine, name, Role::Member).await;
        made.expect("the name is free").1
    };
    let used = invited("Used", now).await;
    let hasher = Hasher::new(19_456);
    let password = Some("wet bank cold hands");
    one_time_links::use_link(&db, &hasher, now, &used, None, password, "a test")
        .await
        .expect("it works once");
    let expired = invited("Late", now.plus_seconds(-8 * 86_400)).await;
    let of_another = invited("Another", now).await;
    let unknown = "0".repeat(used.len());
    db.close().await;
    [
        ("unknown", unknown),
        ("used", used),
        ("expired", expired),
        ("of another account", of_another),
    ]
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn strangers_cannot_tell_why_a_link_does_not_work_by_the_time_it_takes() {
    let _turn = TURN.lock().await;
    let folder = TempDir::new().expect("a throw-away folder");
    let mut cookies = club::found(folder.path(), 1).await;
    let links = dead_links(folder.path()).await;
    let server = Server::start(folder.path());
    let member = Browser {
        address: server.address,
        cookie: cookies.remove(0),
    };
    let form = "password=wet+bank+cold+hands";
    for _ in 0..20 {
        let warming = member.submit("/links/warming", form).await;
        assert_eq!(warming.expect("an answer").status, 404);
    }
    let mut order: Vec<usize> = (0..TRIES).flat_map(|_| 0..links.len()).collect();
    order.shuffle(&mut ChaCha8Rng::seed_from_u64(2));
    let mut times: Vec<Vec<Duration>> = vec![Vec::new(); links.len()];
    let mut first = None;

    for place in order {
        let (why, secret) = &links[place];
        let began = Instant::now();
        let reply = member.submit(&format!("/links/{secret}"), form).await;
        times[place].push(began.elapsed());
        let reply = reply.expect("an answer");
        assert_eq!(reply.status, 404, "{why}");
        let page = reply.text();
        assert_eq!(page, *first.get_or_insert_with(|| page.clone()), "{why}");
    }

    let halves: Vec<Duration> = times.iter().map(|times| quantile(times, 0.5)).collect();
    for ((why, _), half) in links.iter().zip(&halves) {
        println!("half within: a link {why} {half:?}");
    }
    let (least, most) = (quantile(&halves, 0.0), quantile(&halves, 1.0));
    let apart = most - least;
    assert!(apart < Duration::from_millis(5), "{apart:?}");
    assert!(apart < least.mul_f64(0.05), "{apart:?}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn strangers_who_send_slowly_hold_nobody_up() {
    let _turn = TURN.lock().await;
    more_open_files();
    let folder = TempDir::new().expect("a throw-away folder");
    club::found(folder.path(), 1).await;
    let server = Server::start(folder.path());
    let visitor = visitor_of(&server);
    let head = "GET / HTTP/1.1\r\nHost: ".to_owned();
    let form = visitor.posting("/sign-in", &"name=Jem".repeat(40), "keep-alive");
    let form = String::from_utf8(form).expect("a form is text");
    let began = Instant::now();
    let mut slow = Vec::new();
    for number in 0..500 {
        let mut stream = TcpStream::connect(server.address)
            .await
            .expect("it answers");
        let sent = if number % 2 == 0 { &head } else { &form };
        let sent = &sent.as_bytes()[..sent.len() - 10];
        stream.write_all(sent).await.expect("it listens");
        slow.push(stream);
    }

    let mut times = Vec::new();
    let mut memory = 0;
    for _ in 0..100 {
        let asked = Instant::now();
        let reply = visitor.get("/").await.expect("an answer");
        times.push(asked.elapsed());
        assert_eq!(reply.status, 200);
        memory = memory.max(server.memory_kib());
    }

    let within = quantile(&times, 0.95);
    println!("95 in 100 within {within:?}; {memory} KiB");
    // They were there all the while: a head is given up on after ten seconds.
    assert!(began.elapsed() < Duration::from_secs(10));
    assert_eq!(slow.len(), 500);
    assert!(within < AT_EASE, "{within:?}");
    assert!(memory < MOST_MEMORY_KIB, "{memory} KiB");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn strangers_who_guess_two_hundred_at_once_hold_nobody_up() {
    const GUESSES: usize = 200;
    let _turn = TURN.lock().await;
    more_open_files();
    let folder = TempDir::new().expect("a throw-away folder");
    // The memory for one password that a server has when nothing is set.
    let memory_kib = peglore::settings::Settings::default().password_memory_kib;
    club_of(folder.path(), GUESSES, memory_kib).await;
    let server = behind_a_proxy(folder.path(), memory_kib);
    let visitor = visitor_of(&server);
    let guesses: Vec<_> = (0..GUESSES)
        .map(|number| {
            let visitor = visitor.clone();
            tokio::spawn(async move {
                let name = format!("Known{number:04}");
                guess(&visitor, &name, number).await.status
            })
        })
        .collect();

    let (mut times, mut memory) = (Vec::new(), 0);
    while times.len() < 20 || guesses.iter().any(|guess| !guess.is_finished()) {
        let asked = Instant::now();
        let reply = visitor.get("/").await.expect("an answer");
        times.push(asked.elapsed());
        assert_eq!(reply.status, 200);
        memory = memory.max(server.memory_kib());
    }
    let (mut looked_at, mut too_busy) = (0, 0);
    for one in guesses {
        match one.await.expect("an answer") {
            401 => looked_at += 1,
            503 => too_busy += 1,
            other => panic!("a guess was answered {other}"),
        }
    }

    let within = quantile(&times, 0.95);
    println!(
        "{looked_at} looked at, {too_busy} told that too much is going on; {} pages, 95 in 100 within {within:?}; {memory} KiB",
        times.len()
    );
    assert!(looked_at > 2, "{looked_at}");
    assert!(within < AT_EASE, "{within:?}");
    assert!(memory < MOST_MEMORY_KIB, "{memory} KiB");
}

/// As many open files as this process may have, and so the program that it starts.
fn more_open_files() {
    let most = getrlimit(Resource::Nofile).maximum;
    let wanted = Rlimit {
        current: most,
        maximum: most,
    };
    setrlimit(Resource::Nofile, wanted).expect("no more than is allowed");
}
