//! The count of changes: whatever was read before anything was written may be out of date.

use std::{future::Future, pin::pin, task::Context, time::Duration};

use crate::support::{TestSite, record};

const NAMED: &str = "SELECT COUNT(*) FROM labels WHERE given = 'Wilf'";

async fn naming(site: &TestSite) -> peglore::store::Writing {
    let mut writing = site.site.db.write().await.expect("the writer is free");
    sqlx::raw_sql(
        "INSERT INTO labels (given, surname, salt) VALUES ('Wilf', 'Tench', zeroblob(16))",
    )
    .execute(&mut *writing)
    .await
    .expect("fits the schema");
    writing
}

#[tokio::test]
async fn what_was_written_counts_and_what_was_dropped_does_not() {
    let site = TestSite::new().await;
    let db = &site.site.db;
    let before = db.changes();
    drop(naming(&site).await);
    assert_eq!(record::number(&site, NAMED).await, 0);
    assert_eq!(db.changes(), before);
    naming(&site).await.commit().await.expect("kept");
    assert_eq!(record::number(&site, NAMED).await, 1);
    assert!(db.changes() > before);
}

#[tokio::test]
async fn a_commit_is_seen_through_and_counted_though_whoever_asked_has_gone_away() {
    let site = TestSite::new().await;
    let before = site.site.db.changes();
    let writing = naming(&site).await;
    {
        // Asked once, and dropped before it could answer.
        let mut commit = pin!(writing.commit());
        let mut once = Context::from_waker(std::task::Waker::noop());
        assert!(commit.as_mut().poll(&mut once).is_pending());
    }
    let counted = async {
        while site.site.db.changes() == before {
            tokio::time::sleep(Duration::from_millis(1)).await;
        }
    };
    let in_time = tokio::time::timeout(Duration::from_secs(10), counted).await;
    in_time.expect("it is counted");
    assert_eq!(record::number(&site, NAMED).await, 1);
}
