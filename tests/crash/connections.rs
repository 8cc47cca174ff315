//! The running program speaks to nobody but those who ask it. The kernel's own lists of its sockets
//! (proc_pid_net(5)) are looked at some hundred times a second while it makes its fits and its daily
//! backup and answers every page: each internet socket must be its listener, on loopback, or a
//! connection that came in there. What lives for less than a look is for `house::outside` to find.

use std::{
    collections::BTreeSet,
    fs,
    net::{Ipv4Addr, TcpListener, TcpStream, UdpSocket},
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
    thread,
    time::Duration,
};

use axum::http::Method;
use peglore::{domain::accounts::Role, store::Db, web::routes};
use tempfile::TempDir;

use super::harness::{club, http::Browser, process::Server};
use crate::support::crawl::filled;

/// The kernel's lists of internet sockets.
const LISTS: [&str; 6] = ["tcp", "tcp6", "udp", "udp6", "raw", "raw6"];

/// The kernel's numbers for the sockets that a process holds.
fn sockets_of(process: u32) -> BTreeSet<String> {
    let Ok(open) = fs::read_dir(format!("/proc/{process}/fd")) else {
        return BTreeSet::new();
    };
    open.filter_map(Result::ok)
        .filter_map(|file| fs::read_link(file.path()).ok())
        .filter_map(|to| {
            let number = to.to_str()?.strip_prefix("socket:[")?;
            Some(number.strip_suffix(']')?.to_owned())
        })
        .collect()
}

/// What a process's sockets were seen to be.
#[derive(Debug, Default)]
struct Seen {
    /// How often the listener was there, or a connection to it.
    answering: usize,
    /// Any other socket, as the kernel lists it.
    others: BTreeSet<String>,
}

impl Seen {
    /// Looks once at a process that answers at `port` of loopback.
    fn look(&mut self, process: u32, port: u16) {
        let loopback = format!("{:08X}:", u32::from_ne_bytes(Ipv4Addr::LOCALHOST.octets()));
        let here = format!("{loopback}{port:04X}");
        let own = sockets_of(process);
        for list in LISTS {
            let text =
                fs::read_to_string(format!("/proc/{process}/net/{list}")).unwrap_or_default();
            for row in text.lines().skip(1) {
                let cells: Vec<&str> = row.split_whitespace().collect();
                let is_own = cells.get(9).is_some_and(|number| own.contains(*number));
                if !is_own {
                    continue;
                }
                let (local, remote) = (cells[1], cells[2]);
                let from_here = remote == "00000000:0000" || remote.starts_with(&loopback);
                if list == "tcp" && local == here && from_here {
                    self.answering += 1;
                } else {
                    self.others.insert(format!("{list}: {row}"));
                }
            }
        }
    }
}

#[test]
fn the_watch_sees_a_connection_that_a_process_opens() {
    let listener = TcpListener::bind("127.0.0.1:0").expect("a port is free");
    let address = listener.local_addr().expect("it has one");
    let _outgoing = TcpStream::connect(address).expect("it listens");
    let _asking = UdpSocket::bind("127.0.0.1:0").expect("a port is free");

    let mut seen = Seen::default();
    seen.look(std::process::id(), address.port());

    assert!(seen.answering >= 1, "{seen:?}");
    let has = |list: &str| seen.others.iter().any(|row| row.starts_with(list));
    assert!(has("tcp: ") && has("udp: "), "{seen:?}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_running_program_opens_no_connection_of_its_own() {
    let folder = TempDir::new().expect("a throw-away folder");
    club::found(folder.path(), 1).await;
    let db = Db::open(folder.path()).await.expect("the record opens");
    let cookie = club::sign_in(&db, "Secretary", Role::Administrator).await;
    db.close().await;
    let server = Server::start(folder.path());
    let (process, port) = (server.id(), server.address.port());
    // One that stays open is seen at whatever moment the watch looks; most others are too short.
    let held = TcpStream::connect(server.address).expect("it answers");
    let done = Arc::new(AtomicBool::new(false));
    let told = done.clone();
    let watch = thread::spawn(move || {
        let mut seen = Seen::default();
        while !told.load(Ordering::SeqCst) {
            seen.look(process, port);
            thread::sleep(Duration::from_millis(1));
        }
        seen
    });

    let secretary = Browser {
        address: server.address,
        cookie,
    };
    let visitor = Browser {
        cookie: String::new(),
        ..secretary.clone()
    };
    for route in routes::table() {
        if route.method == Method::GET {
            let page = secretary.get(&filled(route.path, &[])).await;
            let status = page.expect("an answer").status;
            assert!(status != 500, "{}: {status}", route.path);
        }
    }
    let guess = visitor.submit("/sign-in", "name=Member+1&password=not+this+one");
    assert_eq!(guess.await.expect("an answer").status, 401);
    let report = "venue=1&key=a-form-of-its-own-0001&given=Jem&surname=Coppleway&peg=4&date=2026-01-10&start=10:00&end=15:00\
                  &start_sure=2026-01-10+10:00+15:00&spells=2&from_1=10:00&to_1=12:30&method_1=1&from_2=13:00&to_2=15:00\
                  &method_2=2&carp_number=4&carp_weight=160oz&visibility=club";
    let report = secretary.submit("/report", report).await;
    assert_eq!(report.expect("an answer").status, 303);
    // The fits, and after them the daily backup, are the program's own to begin.
    let backups = folder.path().join("backups");
    let is_made = || {
        let inside = fs::read_dir(&backups).into_iter().flatten().flatten();
        let mut files = inside.map(|file| file.path());
        files.any(|file| file.extension().is_some_and(|end| end == "backup"))
    };
    for _ in 0..200 {
        if is_made() {
            break;
        }
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
    assert!(is_made(), "the daily backup was not made");

    done.store(true, Ordering::SeqCst);
    let seen = watch.join().expect("the watch went on to the end");
    drop(held);
    assert!(seen.answering >= 1, "{seen:?}");
    assert!(seen.others.is_empty(), "{:#?}", seen.others);
}
