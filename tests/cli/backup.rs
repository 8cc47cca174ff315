//! Backups: proved before they count, restored without losing what was there.

use peglore::{
    actions::backup::{self, BackupError},
    store::{self, Db},
};
use tempfile::TempDir;

use crate::support::TestSite;

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
async fn a_restore_over_a_record_is_refused_without_the_word_and_moves_it_aside_with_it() {
    let site = TestSite::new().await;
    let elsewhere = TempDir::new().expect("a throw-away folder");
    let file = elsewhere.path().join("ours.backup");
    backup::back_up(&site.site.db, &file)
        .await
        .expect("it is backed up");
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
}

#[tokio::test]
async fn a_damaged_backup_is_refused_and_nothing_is_touched() {
    let site = TestSite::new().await;
    let elsewhere = TempDir::new().expect("a throw-away folder");
    let file = elsewhere.path().join("ours.backup");
    backup::back_up(&site.site.db, &file)
        .await
        .expect("it is backed up");
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

async fn backup_is_whole(file: &std::path::Path) {
    store::backup::prove(file)
        .await
        .expect("the old record is whole");
}
