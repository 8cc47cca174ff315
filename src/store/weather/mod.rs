//! Weather of the days: what each source says, how a venue ranks its sources, and the choices
//! made where two disagree. [`effective_days`] is what everything else reads.

use std::collections::BTreeSet;

use sqlx::SqliteConnection;

use super::StoreError;
use crate::domain::{
    dates::{Day, Instant},
    ids::{AccountId, ImportId, SourceId, VenueId},
    weather::{DailyWeather, sources::Element},
};

mod choices; // which source is believed for one element of one day
mod days; // what each source says of a day, in versions
pub mod readings; // the water itself: temperature, level, clarity
mod sources; // names, day ends, ranks

pub use choices::{Choice, choices, put_choice};
pub use days::{SourceDay, days_by_source, days_of_source, has_days, put_day};
pub use sources::{
    Source, all_sources, by_hand, file_sources, insert_source, is_source_named, set_rank,
    sources_of, update_source,
};

/// A venue as the weather pages need it.
#[derive(Clone, Debug)]
pub struct WeatherVenue {
    pub id: VenueId,
    pub pid: String,
    pub name: String,
    pub zone: String,
}

/// Who wrote a day, and from which import.
#[derive(Clone, Copy, Debug)]
pub struct Written {
    pub by: Option<AccountId>,
    pub import: Option<ImportId>,
    pub at: Instant,
}

pub async fn venues(connection: &mut SqliteConnection) -> Result<Vec<WeatherVenue>, StoreError> {
    Ok(sqlx::query_as!(
        WeatherVenue,
        r#"SELECT id AS "id: VenueId", pid, name, zone FROM venues ORDER BY name"#
    )
    .fetch_all(connection)
    .await?)
}

pub async fn venue(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<Option<WeatherVenue>, StoreError> {
    Ok(sqlx::query_as!(
        WeatherVenue,
        r#"SELECT id AS "id: VenueId", pid, name, zone FROM venues WHERE id = ?"#,
        venue
    )
    .fetch_optional(connection)
    .await?)
}

/// The weather of a venue from `from` to `to`, both included, ordered by day: for each element
/// the chosen source, else the first in rank that knows it. A day of which nothing is known is
/// absent, never filled in.
pub async fn effective_days(
    connection: &mut SqliteConnection,
    venue: VenueId,
    from: Day,
    to: Day,
) -> Result<Vec<(Day, DailyWeather)>, StoreError> {
    let said = days_by_source(connection, venue, from, to).await?;
    let chosen = choices(connection, venue, from, to).await?;
    Ok(day_by_day(&said, &chosen))
}

/// Every day of what the sources of a venue say, ordered by day and then by rank, and the choices
/// made.
pub fn day_by_day(said: &[SourceDay], chosen: &[Choice]) -> Vec<(Day, DailyWeather)> {
    said.chunk_by(|a, b| a.day == b.day)
        .map(|of_day| (of_day[0].day, effective(of_day, chosen)))
        .filter(|(_, weather)| !weather.is_empty())
        .collect()
}

/// The days whose low, as it stands, fell in the night after them: their source prints it under
/// the next date, and it counts for the day on which its period began.
pub fn lows_of_the_night_after(
    said: &[SourceDay],
    chosen: &[Choice],
    sources: &[Source],
) -> BTreeSet<Day> {
    let begins_before = |id: SourceId| {
        let of = sources.iter().find(|source| source.id == id);
        of.is_some_and(|source| source.min_shift < 0)
    };
    said.chunk_by(|a, b| a.day == b.day)
        .filter_map(|of_day| believed(of_day, chosen, Element::Min))
        .filter(|of| begins_before(of.source))
        .map(|of| of.day)
        .collect()
}

/// One day out of what its sources say, ordered by rank, and the choices made.
pub fn effective(said: &[SourceDay], chosen: &[Choice]) -> DailyWeather {
    let mut out = DailyWeather::default();
    for element in Element::ALL {
        if let Some(of) = believed(said, chosen, *element) {
            element.copy(&of.weather, &mut out);
        }
    }
    out
}

/// Whose figure stands for an element of a day, if anybody has one.
pub fn believed<'a>(
    said: &'a [SourceDay],
    chosen: &[Choice],
    element: Element,
) -> Option<&'a SourceDay> {
    let choice = said.iter().find(|of| {
        let this = |c: &Choice| c.day == of.day && c.element == element && c.source == of.source;
        element.known(&of.weather) && chosen.iter().any(this)
    });
    choice.or_else(|| said.iter().find(|of| element.known(&of.weather)))
}
