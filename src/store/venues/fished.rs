//! How much has been fished at a water.

use sqlx::SqliteConnection;

use crate::{
    domain::{dates::Day, ids::VenueId},
    store::StoreError,
};

/// How much is on record at a venue. Private reports are counted in `sessions`, which tells nothing of them.
pub struct OnRecord {
    pub match_days: i64,
    pub sessions: i64,
    pub first: Option<Day>,
    pub latest: Option<Day>,
}

pub async fn on_record(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<OnRecord, StoreError> {
    Ok(sqlx::query_as!(
        OnRecord,
        r#"SELECT COUNT(DISTINCT CASE WHEN series = 'match' THEN day END) AS "match_days!: i64",
                  COUNT(DISTINCT session_id) AS "sessions!: i64", MIN(day) AS "first?: Day", MAX(day) AS "latest?: Day"
           FROM fishing WHERE venue_id = ? AND visibility <> 'private'"#,
        venue
    )
    .fetch_one(connection)
    .await?)
}
