//! The demonstration's club behind an address: at the root, or under a path that a proxy keeps or takes away.

use std::net::SocketAddr;

use peglore::{
    actions::plant_demo::{self, DemoLinks},
    demo::{self, Size},
    domain::dates::{Instant, Zone},
    store::{self, Db},
};
use tempfile::TempDir;
use tokio::{
    io::{AsyncReadExt, AsyncWriteExt, copy_bidirectional},
    net::{TcpListener, TcpStream},
    sync::Mutex,
};

use crate::crash::harness::process::{self, Server};

/// Where the club lives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    Root,
    /// Under /club/, which reaches the program as it was typed.
    PathKept,
    /// Under /club/, which a proxy takes away.
    PathTaken,
}

pub struct Club {
    pub address: String,
    pub links: Links,
    /// Two pegs of the first water that are open: which one rests goes by the day it is made.
    pub pegs: [String; 2],
    /// None while it is stopped.
    server: Option<Server>,
    folder: TempDir,
}

#[derive(Clone)]
pub struct Links {
    pub angler: String,
    pub organiser: String,
}

impl Club {
    pub async fn open(place: Place) -> Self {
        let folder = TempDir::new().expect("a throw-away folder");
        let (links, pegs) = planted(&folder).await;
        let mut command = process::program();
        command.arg("serve").arg("--data").arg(folder.path());
        let (server, origin) = match place {
            Place::Root => {
                let server = Server::from(command);
                let origin = format!("http://{}", server.address);
                (server, origin)
            }
            Place::PathKept => {
                let port = free_port().await;
                command.env("PEGLORE_LISTEN", port.to_string());
                let origin = format!("http://{port}/club");
                command.env("PEGLORE_PUBLIC_ADDRESS", &origin);
                (Server::at(command, port), origin)
            }
            Place::PathTaken => {
                let (port, behind) = (free_port().await, free_port().await);
                command.env("PEGLORE_LISTEN", behind.to_string());
                let origin = format!("http://{port}/club");
                command.env("PEGLORE_PUBLIC_ADDRESS", &origin);
                let server = Server::at(command, behind);
                taking_away("/club", port, behind).await;
                (server, origin)
            }
        };
        let link = |secret: &str| format!("{origin}/links/{secret}");
        Self {
            links: Links {
                angler: link(&links.angler),
                organiser: link(&links.organiser),
            },
            address: origin,
            pegs,
            server: Some(server),
            folder,
        }
    }

    /// The program stops, as if the line were down. Of a club at the root.
    pub fn stop(&mut self) -> SocketAddr {
        let server = self.server.take().expect("it is running");
        let address = server.address;
        server.terminate();
        address
    }

    /// It answers again at the address where it was stopped.
    pub fn start_again(&mut self, address: SocketAddr) {
        let mut command = process::program();
        command.arg("serve").arg("--data").arg(self.folder.path());
        command.env("PEGLORE_LISTEN", address.to_string());
        self.server = Some(Server::at(command, address));
    }
}

async fn free_port() -> SocketAddr {
    let listener = TcpListener::bind("127.0.0.1:0")
        .await
        .expect("a port is free");
    listener.local_addr().expect("it has one")
}

/// A copy of the demonstration's record, made once for the whole run.
async fn planted(folder: &TempDir) -> (Links, [String; 2]) {
    static MADE: Mutex<Option<Made>> = Mutex::const_new(None);
    let mut made = MADE.lock().await;
    if made.is_none() {
        *made = Some(plant().await);
    }
    let made = made.as_ref().expect("just made");
    std::fs::write(folder.path().join(store::FILE_NAME), &made.bytes).expect("room for it");
    (made.links.clone(), made.pegs.clone())
}

struct Made {
    bytes: Vec<u8>,
    links: Links,
    pegs: [String; 2],
}

async fn plant() -> Made {
    let folder = TempDir::new().expect("a throw-away folder");
    let db = Db::open(folder.path()).await.expect("a fresh record");
    let now = Instant(jiff::Timestamp::now().as_second());
    let today = now.day(&Zone::named("Europe/London").expect("in the zone table"));
    let club = demo::make(demo::SEED, Size::Usual, today);
    let DemoLinks {
        angler, organiser, ..
    } = plant_demo::plant(&db, now, &club)
        .await
        .expect("an empty record takes it");
    let pegs = open_pegs(&db).await;
    db.close().await;
    let bytes = std::fs::read(folder.path().join(store::FILE_NAME)).expect("just made");
    let links = Links { angler, organiser };
    Made { bytes, links, pegs }
}

async fn open_pegs(db: &Db) -> [String; 2] {
    let mut reading = db.read().await.expect("a reader");
    let pegs: Vec<String> = sqlx::query_scalar(
        "SELECT number FROM pegs WHERE venue_id = 1 AND id NOT IN (SELECT peg_id FROM peg_closures WHERE to_on IS NULL)
         ORDER BY walk_order LIMIT 2",
    )
    .fetch_all(&mut *reading)
    .await
    .expect("read");
    pegs.try_into().expect("two of them are open")
}

/// A small proxy that takes `prefix` off every path and passes the rest on.
async fn taking_away(prefix: &'static str, port: SocketAddr, behind: SocketAddr) {
    let listener = TcpListener::bind(port)
        .await
        .expect("the port is still free");
    tokio::spawn(async move {
        while let Ok((mut stream, _)) = listener.accept().await {
            tokio::spawn(async move {
                if let Some(head) = head_of(&mut stream).await {
                    // One request a connection, so that each path is seen.
                    let head = head
                        .replacen(&format!(" {prefix}"), " ", 1)
                        .replace("Connection: keep-alive", "Connection: close");
                    let mut inside = TcpStream::connect(behind).await.expect("the club answers");
                    inside.write_all(head.as_bytes()).await.expect("it listens");
                    // Either side may end it.
                    let _ = copy_bidirectional(&mut stream, &mut inside).await;
                }
            });
        }
    });
}

/// The head of a request, and what came with it.
async fn head_of(stream: &mut TcpStream) -> Option<String> {
    let mut bytes = Vec::new();
    let mut piece = [0; 4_096];
    while !bytes.windows(4).any(|four| four == b"\r\n\r\n") {
        match stream.read(&mut piece).await {
            Ok(count) if count > 0 => bytes.extend_from_slice(&piece[..count]),
            _ => return None,
        }
    }
    String::from_utf8(bytes).ok()
}
