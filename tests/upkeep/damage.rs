//! A record that was damaged while it is served: found, and told to whoever can do something.

use std::{
    io::{Seek, SeekFrom, Write},
    sync::atomic::Ordering,
};

use axum::http::StatusCode;

use super::{DAY, upkeep};
use crate::support::{NOON, TestSite};

/// Writes over the page of a table that nothing here asks for, as a failing disk would.
async fn break_a_page(site: &TestSite) {
    let mut reading = site.site.db.read().await.expect("a reader");
    let page: i64 =
        sqlx::query_scalar("SELECT rootpage FROM sqlite_master WHERE name = 'peg_closures'")
            .fetch_one(&mut *reading)
            .await
            .expect("it is there");
    let size: i64 = sqlx::query_scalar("PRAGMA page_size")
        .fetch_one(&mut *reading)
        .await
        .expect("an answer");
    drop(reading);
    let mut file = std::fs::File::options()
        .write(true)
        .open(site.site.db.file())
        .expect("ours");
    let at = u64::try_from((page - 1) * size).expect("inside the file");
    file.seek(SeekFrom::Start(at)).expect("inside the file");
    let size = usize::try_from(size).expect("a page");
    file.write_all(&vec![0x5a; size]).expect("writable");
}

#[tokio::test]
async fn damage_is_found_soon_after_the_start_and_told_to_administrators_and_watchers() {
    let site = TestSite::new().await;
    let administrator = site.administrator().await;
    let organiser = site.organiser().await;
    let (mut upkeep, clock) = upkeep(&site);
    break_a_page(&site).await;

    upkeep.look().await;
    site.visitor().get("/readyz").await.shown();
    clock.fetch_add(60, Ordering::SeqCst);
    upkeep.look().await;

    let ready = site.visitor().get("/readyz").await;
    assert_eq!(ready.status, StatusCode::SERVICE_UNAVAILABLE);
    assert_eq!(ready.body, "not ready\n");
    let desk = administrator.get("/committee").await.shown();
    desk.says("The record is damaged:")
        .says("found. What the pages say cannot be trusted.")
        .says("peglore restore");
    let organisers = organiser.get("/committee").await.shown();
    organisers.does_not_say("The record is damaged");
}

#[tokio::test]
async fn a_whole_record_is_looked_through_each_day_and_found_whole() {
    let site = TestSite::new().await;
    let (mut upkeep, clock) = upkeep(&site);
    for seconds in [0, 60, 61] {
        clock.store(NOON + seconds, Ordering::SeqCst);
        upkeep.look().await;
    }
    assert_eq!(site.site.db.damage.faults(), 0);
    site.visitor().get("/readyz").await.shown();

    // It is not read again before the next day.
    break_a_page(&site).await;
    clock.store(NOON + DAY / 2, Ordering::SeqCst);
    upkeep.look().await;
    assert_eq!(site.site.db.damage.faults(), 0);
    clock.store(NOON + 60 + DAY, Ordering::SeqCst);
    upkeep.look().await;
    assert!(site.site.db.damage.faults() > 0);
}
