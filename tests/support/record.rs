//! The record told and asked straight, past the pages.

use super::TestSite;

/// Puts something on record that pages write.
pub async fn tell(site: &TestSite, sql: &'static str) {
    let mut writing = site.site.db.write().await.expect("the writer is free");
    sqlx::raw_sql(sql)
        .execute(&mut *writing)
        .await
        .expect("fits the schema");
    writing.commit().await.expect("kept");
}

pub async fn asked<T>(site: &TestSite, sql: &'static str) -> T
where
    T: for<'r> sqlx::Decode<'r, sqlx::Sqlite> + sqlx::Type<sqlx::Sqlite> + Send + Unpin,
{
    let mut reading = site.site.db.read().await.expect("a reader");
    sqlx::query_scalar(sql)
        .fetch_one(&mut *reading)
        .await
        .expect("one row")
}

pub async fn number(site: &TestSite, sql: &'static str) -> i64 {
    asked(site, sql).await
}
