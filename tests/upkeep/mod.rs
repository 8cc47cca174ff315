//! What the program does by itself, its clock moved by hand.

use std::sync::{
    Arc,
    atomic::{AtomicI64, Ordering},
};

use peglore::{
    actions::{backup, daily_backup},
    domain::dates::Instant,
    store::backup as copies,
    upkeep::Upkeep,
};

mod damage;

use crate::support::{NOON, TestSite, fishing::TODAY};

const DAY: i64 = 24 * 3_600;

/// An upkeep of the site on a clock of its own.
fn upkeep(site: &TestSite) -> (Upkeep, Arc<AtomicI64>) {
    let clock = Arc::new(AtomicI64::new(NOON));
    let reads = clock.clone();
    let upkeep = Upkeep::new(site.site.db.clone(), move || {
        Instant(reads.load(Ordering::SeqCst))
    });
    (upkeep, clock)
}

async fn revisions(site: &TestSite) -> i64 {
    let mut reading = site.site.db.read().await.expect("a reader");
    sqlx::query_scalar("SELECT COALESCE(SUM(revision), 0) FROM fits")
        .fetch_one(&mut *reading)
        .await
        .expect("read")
}

#[tokio::test]
async fn fits_are_made_at_the_start_and_again_once_changes_have_come_to_rest() {
    let site = TestSite::new().await;
    let venue = site.water(1).await;
    for angler in 1..=3 {
        site.report(venue, angler, TODAY.plus(-3), 7, "club").await;
    }
    let (mut upkeep, clock) = upkeep(&site);
    upkeep.look().await;
    assert_eq!(revisions(&site).await, 1, "at the start");

    site.report(venue, 4, TODAY.plus(-2), 5, "club").await;
    let mut made = Vec::new();
    for _ in 0..4 {
        clock.fetch_add(5, Ordering::SeqCst);
        upkeep.look().await;
        made.push(revisions(&site).await);
    }

    assert_eq!(made, [1, 1, 2, 2], "after ten quiet seconds, once");
}

#[tokio::test]
async fn changes_that_never_rest_are_fitted_within_a_minute() {
    let site = TestSite::new().await;
    let venue = site.water(1).await;
    let (mut upkeep, clock) = upkeep(&site);
    upkeep.look().await;
    let mut waited = 0;
    while revisions(&site).await == 0 && waited < 200 {
        site.report(venue, 1 + waited, TODAY.plus(-2), 5, "club")
            .await;
        clock.fetch_add(5, Ordering::SeqCst);
        waited += 5;
        upkeep.look().await;
    }
    assert_eq!(waited, 65, "a minute after the first change was seen");
}

#[tokio::test]
async fn a_proved_backup_is_made_each_day_and_only_so_many_are_kept() {
    let site = TestSite::new().await;
    let folder = tempfile::TempDir::new().expect("a folder");
    let (upkeep, clock) = upkeep(&site);
    let mut upkeep = upkeep.backing_up(folder.path().to_owned(), 3);
    std::fs::write(folder.path().join("kept-by-hand.backup"), "mine").expect("written");
    for _ in 0..6 {
        upkeep.look().await;
        clock.fetch_add(DAY / 2, Ordering::SeqCst);
        upkeep.look().await; // half a day later nothing is due
        clock.fetch_add(DAY / 2, Ordering::SeqCst);
    }

    let mut names: Vec<_> = std::fs::read_dir(folder.path())
        .expect("readable")
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .into_string()
                .expect("text")
        })
        .collect();
    names.sort();
    let day = |n: i64| backup::name(Instant(NOON + n * DAY));
    assert_eq!(
        names,
        ["kept-by-hand.backup".to_owned(), day(3), day(4), day(5)]
    );
    copies::prove(&folder.path().join(day(5)))
        .await
        .expect("whole");
}

#[tokio::test]
async fn while_backups_fail_the_good_ones_stay() {
    let site = TestSite::new().await;
    let folder = tempfile::TempDir::new().expect("a folder");
    let (db, path) = (&site.site.db, folder.path());
    for day in 0..3 {
        daily_backup::back_up(db, path, 3, Instant(NOON + day * DAY))
            .await
            .expect("made");
    }
    // A folder in the way of the next copy: it cannot be written.
    let (upkeep, clock) = upkeep(&site);
    let mut upkeep = upkeep.backing_up(path.to_owned(), 1);
    for day in 3..8 {
        let now = Instant(NOON + day * DAY);
        let unproved = path.join(backup::name(now)).with_extension("unproved");
        std::fs::create_dir_all(unproved.join("in the way")).expect("made");
        clock.store(now.0, Ordering::SeqCst);
        upkeep.look().await;
    }

    assert_eq!(
        daily_backup::latest(path, Instant(NOON + 9 * DAY)),
        Some(Instant(NOON + 2 * DAY))
    );
    for day in 0..3 {
        let file = path.join(backup::name(Instant(NOON + day * DAY)));
        copies::prove(&file).await.expect("still whole");
    }
}

#[tokio::test]
async fn idle_sign_ins_and_old_links_are_forgotten_and_used_ones_stay() {
    let site = TestSite::new().await;
    site.member().await;
    let count = async |table: &'static str| -> i64 {
        let mut reading = site.site.db.read().await.expect("a reader");
        let question = match table {
            "sign_ins" => "SELECT COUNT(*) FROM sign_ins",
            _ => "SELECT COUNT(*) FROM one_time_links",
        };
        sqlx::query_scalar(question)
            .fetch_one(&mut *reading)
            .await
            .expect("read")
    };
    let links = count("links").await;
    let (mut upkeep, clock) = upkeep(&site);
    for (days, sign_ins, left) in [(0, 1, links), (29, 1, links), (31, 0, links), (60, 0, 0)] {
        clock.store(NOON + days * DAY, Ordering::SeqCst);
        upkeep.look().await;
        let found = (count("sign_ins").await, count("links").await);
        assert_eq!(found, (sign_ins, left), "after {days} days");
    }
    assert!(links > 0);
}
