//! Told to stop, it finishes what it began; and only one program works in a folder.

use std::{
    sync::Arc,
    time::{Duration, Instant},
};

use peglore::store::{self, Db};
use tempfile::TempDir;
use tokio::{
    io::{AsyncReadExt, AsyncWriteExt},
    net::TcpStream,
};

use super::harness::{
    club,
    http::{Browser, answer},
    process::{self, Server, words},
    stops::{LAST_ORDERS, stop_under_load},
};

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_stop_under_load_is_clean_and_answers_whatever_was_accepted() {
    // The long form stops a hundred times.
    let outcome = stop_under_load(5, 9).await;

    println!("{outcome:?}");
    assert_eq!(outcome.half_sent, 10);
    assert!(outcome.acknowledged >= 40, "{outcome:?}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_form_half_sent_when_the_stop_comes_is_still_answered() {
    let folder = TempDir::new().expect("a throw-away folder");
    let cookies = club::found(folder.path(), 1).await;
    let server = Server::start(folder.path());
    let browser = Browser {
        address: server.address,
        cookie: cookies[0].clone(),
    };
    let body = "venue=1&key=half-sent-form-0001&given=Half&surname=Sent&peg=3&date=2026-01-10&spells=1&carp_number=2&visibility=club";
    let bytes = browser.posting("/report", body, "keep-alive");
    let (first, rest) = bytes.split_at(bytes.len() - 40);
    let mut stream = TcpStream::connect(server.address)
        .await
        .expect("it answers");
    stream.write_all(first).await.expect("it listens");
    // The head is read before the stop comes.
    tokio::time::sleep(Duration::from_millis(300)).await;

    server.ask_to_stop();
    tokio::time::sleep(Duration::from_millis(300)).await;
    stream.write_all(rest).await.expect("it still listens");
    let reply = answer(&mut stream).await.expect("a whole answer");

    assert_eq!(reply.status, 303, "{}", reply.text());
    // And then the connection is closed: nothing new is begun on it.
    assert_eq!(stream.read(&mut [0; 16]).await.expect("closed in order"), 0);
    let mut server = server;
    let ended = server.ended(LAST_ORDERS).expect("it ends in time");
    assert!(ended.success(), "{ended}");
    let db = Db::open_to_read(&folder.path().join(store::FILE_NAME)).await;
    let db = db.expect("the record opens");
    let kept: i64 = sqlx::query_scalar("SELECT COUNT(*) FROM sessions")
        .fetch_one(&mut *db.read().await.expect("a reader"))
        .await
        .expect("an answer");
    assert_eq!(kept, 1);
}

#[tokio::test]
async fn a_log_that_goes_to_a_file_holds_no_colours() {
    let folder = TempDir::new().expect("a throw-away folder");
    club::found(folder.path(), 1).await;
    let mut server = Server::start(folder.path());
    server.ask_to_stop();
    assert!(server.ended(LAST_ORDERS).expect("it ends").success());
    let began = Instant::now();
    while !server.logged().contains("stopping") && began.elapsed() < LAST_ORDERS {
        tokio::time::sleep(Duration::from_millis(20)).await;
    }
    let log = server.logged();
    assert!(log.contains("stopping"), "{log}");
    assert!(!log.contains('\u{1b}'), "{log:?}");
}

#[tokio::test]
async fn a_second_program_is_refused_until_the_first_is_gone_however_it_went() {
    let folder = TempDir::new().expect("a throw-away folder");
    club::found(folder.path(), 1).await;
    let first = Server::start(folder.path());
    let data = folder.path().to_string_lossy().into_owned();

    let began = Instant::now();
    let second = process::run(&["serve", "--data", &data]);
    let said = words(&second.stderr);
    assert_eq!(second.status.code(), Some(1), "{said}");
    assert!(
        said.contains("another Peglore is using") && said.contains(&data),
        "{said}"
    );
    assert!(began.elapsed() < Duration::from_secs(2));

    first.kill();
    let began = Instant::now();
    let third = Server::start(folder.path());
    let ready = Browser {
        address: third.address,
        cookie: String::new(),
    };
    assert_eq!(ready.get("/readyz").await.expect("an answer").status, 200);
    assert!(
        began.elapsed() < Duration::from_secs(2),
        "{:?}",
        began.elapsed()
    );
}

#[tokio::test]
async fn the_engine_inside_is_new_enough_and_set_as_promised() {
    let folder = TempDir::new().expect("a throw-away folder");
    let db = Db::open(folder.path()).await.expect("a fresh record");
    let mut reading = db.read().await.expect("a reader");
    // SQLite 3.7.0 to 3.51.2 may damage a database in WAL mode: sqlite.org, "WAL-mode File Format", notes of release 3.51.3 (from memory).
    let version: String = sqlx::query_scalar("SELECT sqlite_version()")
        .fetch_one(&mut *reading)
        .await
        .expect("an answer");
    let parts: Vec<u32> = version
        .split('.')
        .map(|n| n.parse().expect("a number"))
        .collect();
    assert!(parts >= vec![3, 51, 3], "{version}");
    drop(reading);
    let mut writing = Arc::new(db).write().await.expect("the writer is free");
    for (pragma, wanted) in [
        ("PRAGMA synchronous", "2"),
        ("PRAGMA mmap_size", "0"),
        ("PRAGMA foreign_keys", "1"),
        ("PRAGMA journal_mode", "wal"),
    ] {
        let row = sqlx::query(pragma)
            .fetch_one(&mut *writing)
            .await
            .expect("an answer");
        let found: String = sqlx::Row::try_get::<String, _>(&row, 0)
            .or_else(|_| sqlx::Row::try_get::<i64, _>(&row, 0).map(|n| n.to_string()))
            .expect("a value");
        assert_eq!(found, wanted, "{pragma}");
    }
}
