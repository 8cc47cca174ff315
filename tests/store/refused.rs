//! What the record refuses, told apart: pages answer each in other words.

use axum::{http::StatusCode, response::IntoResponse};
use peglore::{store::StoreError, web::errors::PageError};

use crate::support::TestSite;

async fn refused(site: &TestSite, sql: &'static str) -> StoreError {
    let mut writing = site.site.db.write().await.expect("a writer");
    let done = sqlx::raw_sql(sql).execute(&mut *writing).await;
    done.expect_err("refused").into()
}

/// Somebody adds to a water that an officer removes in that moment: nothing broke on the server.
#[tokio::test]
async fn a_row_of_what_was_removed_meanwhile_is_no_fault_of_the_server() {
    let site = TestSite::new().await;
    site.water(1).await;
    let gone = refused(
        &site,
        "INSERT INTO banks (venue_id, ord, name) VALUES (77, 1, 'Long Reach')",
    )
    .await;
    assert!(gone.points_nowhere());
    let answer = PageError::Store(gone).into_response();
    assert_eq!(answer.status(), StatusCode::CONFLICT);

    let twice = refused(
        &site,
        "INSERT INTO venues (id, pid, name) VALUES (1, '00000000000000000000000009', 'Long Mere')",
    )
    .await;
    assert!(!twice.points_nowhere());
    let answer = PageError::Store(twice).into_response();
    assert_eq!(answer.status(), StatusCode::INTERNAL_SERVER_ERROR);
}
