//! An officer's choice where two sources disagree, per element of a day.

use sqlx::SqliteConnection;

use super::Written;
use crate::{
    domain::{
        dates::Day,
        ids::{SourceId, VenueId},
        weather::sources::Element,
    },
    store::StoreError,
};

/// An officer's choice of source for one element of one day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Choice {
    pub day: Day,
    pub element: Element,
    pub source: SourceId,
}

pub async fn choices(
    connection: &mut SqliteConnection,
    venue: VenueId,
    from: Day,
    to: Day,
) -> Result<Vec<Choice>, StoreError> {
    let rows = sqlx::query!(
        r#"SELECT on_date AS "day: Day", element, source_id AS "source: SourceId"
           FROM weather_choice WHERE venue_id = ? AND on_date BETWEEN ? AND ?"#,
        venue,
        from,
        to
    )
    .fetch_all(connection)
    .await?;
    Ok(rows
        .into_iter()
        .filter_map(|row| {
            Some(Choice {
                day: row.day,
                element: Element::from_slug(&row.element)?,
                source: row.source,
            })
        })
        .collect())
}

/// Records a choice; `None` leaves the element to the ranks again.
pub async fn put_choice(
    connection: &mut SqliteConnection,
    venue: VenueId,
    (day, element): (Day, Element),
    source: Option<SourceId>,
    written: Written,
) -> Result<(), StoreError> {
    let element = element.slug();
    match source {
        Some(source) => sqlx::query!(
            "INSERT INTO weather_choice (venue_id, on_date, element, source_id, chosen_by, chosen_utc)
             VALUES (?, ?, ?, ?, ?, ?)
             ON CONFLICT DO UPDATE SET source_id = excluded.source_id,
                    chosen_by = excluded.chosen_by, chosen_utc = excluded.chosen_utc",
            venue,
            day,
            element,
            source,
            written.by,
            written.at
        )
        .execute(connection)
        .await?,
        None => sqlx::query!(
            "DELETE FROM weather_choice WHERE venue_id = ? AND on_date = ? AND element = ?",
            venue,
            day,
            element
        )
        .execute(connection)
        .await?,
    };
    Ok(())
}
