//! Backups: proved before they count, restored without losing what was there.

use std::path::PathBuf;

use peglore::{
    actions::backup::{self, BackupError},
    store::{self, Db},
};
use tempfile::TempDir;

use crate::support::{TestSite, record::tell};

/// A backup of the site's record, and the folder that it alone lies in.
async fn backed_up(site: &TestSite) -> (TempDir, PathBuf) {
    let elsewhere = TempDir::new().expect("a throw-away folder");
    let file = elsewhere.path().join("ours.backup");
    backup::back_up(&site.site.db, &file)
        .await
        .expect("it is backed up");
    (elsewhere, file)
}

#[tokio::test]
async fn a_backup_holds_what_the_record_held_and_goes_back_into_an_empty_folder() {
    let site = TestSite::new().await;
    site.member().await;
    let elsewhere = TempDir::new().expect("a throw-away folder");
    let file = elsewhere.path().join("ours.backup");

    let proof = backup::back_up(&site.site.db, &file)
        .await
        .expect("it is backed up");
    let folder = TempDir::new().expect("a throw-away folder");
    let restored = backup::restore(&file, folder.path(), site.site.now(), false)
        .await
        .expect("it goes back");

    assert_eq!(proof.accounts, 1);
    assert_eq!(restored.proof, proof);
    assert_eq!(restored.set_aside, None);
    Db::open(folder.path())
        .await
        .expect("the restored record opens")
        .close()
        .await;
}

#[tokio::test]
async fn a_proof_counts_what_the_pages_list() {
    let site = TestSite::new().await;
    tell(
        &site,
        "INSERT INTO imports (id, kind, file_name, file_sha256, content, state, at_utc)
         VALUES (1, 'results', 'old.csv', zeroblob(32), zeroblob(1), 'undone', 0)",
    )
    .await;
    tell(
        &site,
        "INSERT INTO anglers (id, pid, import_id, merged_into) VALUES
           (1, '00000000000000000000000001', NULL, NULL), (2, '00000000000000000000000002', 1, NULL),
           (3, '00000000000000000000000003', NULL, 1)",
    )
    .await;
    tell(
        &site,
        "INSERT INTO venues (id, pid, name) VALUES (1, '00000000000000000000000001', 'Quillet Water')",
    )
    .await;
    tell(
        &site,
        "INSERT INTO matches (id, pid, venue_id, name, on_date, zone, pegs_allotted, scale, step, state, import_id) VALUES
           (1, '00000000000000000000000001', 1, 'Frost Cup 1', '2026-11-07', 'Etc/UTC', 'bag', 'dr', 16, 'planned', NULL),
           (2, '00000000000000000000000002', 1, 'Frost Cup 2', '2026-11-08', 'Etc/UTC', 'bag', 'dr', 16, 'planned', 1)",
    )
    .await;
    // One that stands, one taken back, one of the file that was undone, one of that file's match.
    let sessions = "INSERT INTO entries (id, match_id, number, angler_id) VALUES (1, 2, 1, 1);
         INSERT INTO sessions (id, pid, kind, angler_id, venue_id, fished_on, zone, effort_source, visibility, entered_utc, removed_utc, import_id, entry_id) VALUES
           (1, '00000000000000000000000001', 'report', 1, 1, '2026-11-07', 'Etc/UTC', 'unknown', 'club', 0, NULL, NULL, NULL),
           (2, '00000000000000000000000002', 'report', 1, 1, '2026-11-06', 'Etc/UTC', 'unknown', 'club', 0, 1, NULL, NULL),
           (3, '00000000000000000000000003', 'report', 1, 1, '2026-11-05', 'Etc/UTC', 'unknown', 'club', 0, NULL, 1, NULL),
           (4, '00000000000000000000000004', 'match', 1, 1, '2026-11-08', 'Etc/UTC', 'unknown', 'club', 0, NULL, NULL, 1)";
    tell(&site, sessions).await;
    // A day corrected once, and one of the file that was undone.
    let weather = "INSERT INTO weather_sources (id, name, kind) VALUES (1, 'Harl', 'csv');
         INSERT INTO weather_days (source_id, on_date, ver, rain_mm, import_id, entered_utc) VALUES
           (1, '2026-11-07', 1, 2, NULL, 0), (1, '2026-11-07', 2, 3, NULL, 0), (1, '2026-11-06', 1, 4, 1, 0)";
    tell(&site, weather).await;
    let elsewhere = TempDir::new().expect("a throw-away folder");

    let proof = backup::back_up(&site.site.db, &elsewhere.path().join("ours.backup"))
        .await
        .expect("it is backed up");

    assert_eq!((proof.anglers, proof.matches), (1, 1));
    assert_eq!((proof.sessions, proof.weather_days), (1, 1));
}

/// Does this to a copy that was just made, and says what its proof makes of it.
async fn proof_after(sql: &'static str) -> Result<store::backup::Proof, BackupError> {
    use sqlx::Connection;
    let site = TestSite::new().await;
    tell(
        &site,
        "INSERT INTO anglers (id, pid) VALUES (1, '00000000000000000000000001'), (2, '00000000000000000000000002')",
    )
    .await;
    let elsewhere = TempDir::new().expect("a throw-away folder");
    let copy = elsewhere.path().join("ours.unproved");
    let counted = store::backup::copy_to(&site.site.db, &copy)
        .await
        .expect("it is copied");
    let options = sqlx::sqlite::SqliteConnectOptions::new().filename(&copy);
    let mut connection = sqlx::SqliteConnection::connect_with(&options)
        .await
        .expect("it opens");
    sqlx::raw_sql(sql)
        .execute(&mut connection)
        .await
        .expect("fits the schema");
    connection.close().await.expect("closed");
    backup::prove_copy(&copy, &counted).await
}

#[tokio::test]
async fn a_copy_with_other_rows_than_the_record_had_is_refused() {
    let fewer = proof_after("DELETE FROM anglers WHERE id = 2").await;
    let more =
        proof_after("INSERT INTO anglers (id, pid) VALUES (3, '00000000000000000000000003')").await;
    let none = proof_after("DROP TABLE water_readings").await;
    let settings =
        proof_after("INSERT INTO settings (key, value) VALUES ('settings_file', '')").await;

    let said = |refused: Result<_, BackupError>| refused.expect_err("other rows").to_string();
    assert!(said(fewer).contains("anglers: 2 in the record, 1 in the copy"));
    assert!(said(more).contains("anglers: 2 in the record, 3 in the copy"));
    assert!(said(none).contains("water_readings: 0 in the record, no such table in the copy"));
    assert_eq!(settings.expect("the row of copies alone").anglers, 2);
}

#[tokio::test]
async fn a_copy_made_while_others_write_has_the_rows_that_were_counted() {
    let site = TestSite::new().await;
    let elsewhere = TempDir::new().expect("a throw-away folder");
    let db = site.site.db.clone();
    let writing = tokio::spawn(async move {
        for n in 1..=200_i64 {
            let mut writing = db.write().await.expect("the writer is free in time");
            sqlx::query("INSERT INTO settings (key, value) VALUES (?, '')")
                .bind(format!("written {n}"))
                .execute(&mut *writing)
                .await
                .expect("fits the schema");
            writing.commit().await.expect("kept");
        }
    });

    for n in 0..6 {
        let file = elsewhere.path().join(format!("{n}.backup"));
        backup::back_up(&site.site.db, &file)
            .await
            .expect("it is backed up");
    }
    writing.await.expect("nobody was kept from writing");
}

#[tokio::test]
async fn a_restore_over_a_record_is_refused_without_the_word_and_moves_it_aside_with_it() {
    let site = TestSite::new().await;
    let (_elsewhere, file) = backed_up(&site).await;
    let folder = TempDir::new().expect("a throw-away folder");
    Db::open(folder.path())
        .await
        .expect("a fresh record")
        .close()
        .await;

    let refused = backup::restore(&file, folder.path(), site.site.now(), false).await;
    assert!(matches!(refused, Err(BackupError::Occupied(_))));
    let restored = backup::restore(&file, folder.path(), site.site.now(), true)
        .await
        .expect("it goes back");
    let aside = restored.set_aside.expect("the old record is kept");
    backup_is_whole(&aside.join(store::FILE_NAME)).await;

    // Another in the same second takes nothing of the first one's.
    let again = backup::restore(&file, folder.path(), site.site.now(), true)
        .await
        .expect("it goes back");
    let second = again.set_aside.expect("the old record is kept");
    assert_ne!(second, aside);
    backup_is_whole(&aside.join(store::FILE_NAME)).await;
    backup_is_whole(&second.join(store::FILE_NAME)).await;
}

#[tokio::test]
async fn a_log_left_behind_alone_is_moved_aside_and_not_read_into_what_comes() {
    let site = TestSite::new().await;
    let (_elsewhere, file) = backed_up(&site).await;
    let folder = TempDir::new().expect("a throw-away folder");
    let log = format!("{}-wal", store::FILE_NAME);
    std::fs::write(folder.path().join(&log), "another record's").expect("writable");

    let restored = backup::restore(&file, folder.path(), site.site.now(), false)
        .await
        .expect("it goes back");

    let aside = restored.set_aside.expect("the log is kept");
    assert_eq!(
        std::fs::read_to_string(aside.join(&log)).expect("there"),
        "another record's"
    );
    backup_is_whole(&folder.path().join(store::FILE_NAME)).await;
}

#[tokio::test]
async fn a_damaged_backup_is_refused_and_nothing_is_touched() {
    let site = TestSite::new().await;
    let (_elsewhere, file) = backed_up(&site).await;
    let mut bytes = std::fs::read(&file).expect("just written");
    for byte in &mut bytes[8_192..40_960] {
        *byte ^= 0x5a;
    }
    std::fs::write(&file, bytes).expect("writable");
    let folder = TempDir::new().expect("a throw-away folder");

    assert!(
        backup::restore(&file, folder.path(), site.site.now(), false)
            .await
            .is_err()
    );
    assert_eq!(std::fs::read_dir(folder.path()).expect("there").count(), 0);
}

#[tokio::test]
async fn a_name_in_use_is_never_written_over() {
    let site = TestSite::new().await;
    let elsewhere = TempDir::new().expect("a throw-away folder");
    let file = elsewhere.path().join("ours.backup");
    std::fs::write(&file, "precious").expect("writable");
    assert!(matches!(
        backup::back_up(&site.site.db, &file).await,
        Err(BackupError::InTheWay(_))
    ));
    assert_eq!(std::fs::read(&file).expect("still there"), b"precious");
}

#[tokio::test]
async fn a_letter_that_changed_where_it_lies_is_found_though_every_page_fits() {
    let folder = TempDir::new().expect("a throw-away folder");
    let db = Db::open(folder.path()).await.expect("a fresh record");
    let mut writing = db.write().await.expect("the writer is free");
    sqlx::raw_sql("INSERT INTO settings (key, value) VALUES ('club_name', 'Quillet Anglers')")
        .execute(&mut *writing)
        .await
        .expect("fits the schema");
    writing.commit().await.expect("kept");
    let file = folder.path().join("ours.backup");
    backup::back_up(&db, &file).await.expect("it is backed up");
    db.close().await;
    backup::prove(&file).await.expect("it is whole");

    let mut bytes = std::fs::read(&file).expect("just written");
    let name = b"Quillet Anglers";
    let at = bytes.windows(name.len()).position(|part| part == name);
    bytes[at.expect("it is there")] = b'G';
    std::fs::write(&file, bytes).expect("writable");

    store::backup::prove(&file).await.expect("its pages fit");
    assert!(matches!(
        backup::prove(&file).await,
        Err(store::StoreError::Damaged(_))
    ));
    let empty = TempDir::new().expect("a throw-away folder");
    let now = peglore::domain::dates::Instant(1_794_657_600);
    assert!(
        backup::restore(&file, empty.path(), now, false)
            .await
            .is_err()
    );
    assert_eq!(std::fs::read_dir(empty.path()).expect("there").count(), 0);
}

#[tokio::test]
async fn a_backup_brings_the_settings_of_its_folder_with_it() {
    let site = TestSite::new().await;
    let beside = site.site.db.file().with_file_name("settings.txt");
    let text = "# ours\npublic_address = https://club.example/pegs\n";
    std::fs::write(&beside, text).expect("writable");
    let (elsewhere, file) = backed_up(&site).await;

    let empty = TempDir::new().expect("a throw-away folder");
    let restored = backup::restore(&file, empty.path(), site.site.now(), false)
        .await
        .expect("it goes back");
    let back = empty.path().join("settings.txt");
    assert_eq!(restored.settings.as_ref(), Some(&back));
    assert_eq!(std::fs::read_to_string(&back).expect("there"), text);

    // A folder with settings of its own keeps them.
    std::fs::write(&back, "listen = 127.0.0.1:9\n").expect("writable");
    let again = backup::restore(&file, empty.path(), site.site.now(), true)
        .await
        .expect("it goes back");
    assert_eq!(again.settings, None);
    assert_eq!(
        std::fs::read_to_string(&back).expect("there"),
        "listen = 127.0.0.1:9\n"
    );

    // And one whose settings were taken away hands none on.
    std::fs::remove_file(&back).expect("ours");
    let db = Db::open(empty.path()).await.expect("it opens");
    let second = elsewhere.path().join("second.backup");
    backup::back_up(&db, &second)
        .await
        .expect("it is backed up");
    db.close().await;
    let third = TempDir::new().expect("a throw-away folder");
    let without = backup::restore(&second, third.path(), site.site.now(), false)
        .await
        .expect("it goes back");
    assert_eq!(without.settings, None);
}

#[tokio::test]
async fn settings_in_another_encoding_leave_nobody_without_a_backup() {
    let site = TestSite::new().await;
    let beside = site.site.db.file().with_file_name("settings.txt");
    std::fs::write(&beside, b"# \xe9tang\nlisten = 127.0.0.1:9\n").expect("writable");
    let (_elsewhere, file) = backed_up(&site).await;

    // What a restore that was cut off left of them is in nobody's way.
    let empty = TempDir::new().expect("a throw-away folder");
    let half = empty.path().join("settings.incoming");
    std::fs::write(&half, "lis").expect("writable");
    let restored = backup::restore(&file, empty.path(), site.site.now(), false)
        .await
        .expect("it goes back");

    let back = restored.settings.expect("they come back");
    let text = std::fs::read_to_string(back).expect("text");
    assert!(text.ends_with("tang\nlisten = 127.0.0.1:9\n"), "{text}");
    assert!(!half.exists());
}

#[tokio::test]
async fn a_record_follows_the_log_that_its_own_restore_moved_and_no_other() {
    let site = TestSite::new().await;
    let (_elsewhere, file) = backed_up(&site).await;
    let folder = TempDir::new().expect("a throw-away folder");
    let (now, log) = (site.site.now(), format!("{}-wal", store::FILE_NAME));
    std::fs::write(folder.path().join(&log), "another record's").expect("writable");
    let restored = backup::restore(&file, folder.path(), now, false)
        .await
        .expect("it goes back");
    let alone = restored.set_aside.expect("the log is kept");

    // A later restore is cut off before it moved anything.
    let record = folder.path().join(store::FILE_NAME);
    std::fs::copy(&record, folder.path().join("peglore.restored")).expect("room for it");
    assert!(backup::finish_restore(folder.path(), now).expect("it is finished"));
    assert!(
        !alone.join(store::FILE_NAME).exists(),
        "SQLite would read the log into it"
    );

    // Another is cut off after it moved the log, and is said again.
    let begun = folder.path().join("replaced-peglore-20261101T120000Z");
    std::fs::create_dir(&begun).expect("writable");
    std::fs::write(begun.join(&log), "its own").expect("writable");
    let again = backup::restore(&file, folder.path(), now, true)
        .await
        .expect("it goes back");
    assert_eq!(again.set_aside, Some(begun.clone()));
    assert!(begun.join(store::FILE_NAME).exists());
}

async fn backup_is_whole(file: &std::path::Path) {
    store::backup::prove(file)
        .await
        .expect("the old record is whole");
}
