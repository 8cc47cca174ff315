//! `/venues/{venue}/weather.csv`: every day that every source of a venue knows, and what stands.

use axum::{extract::State, response::Response};

use crate::{
    domain::{dates::Day, ids::VenueId},
    formats::{
        csv::Writer,
        weather_csv::{EXPORT, SourceCells, WHAT_STANDS, export_row},
    },
    store::weather::{self, Source},
    web::{errors::PageError, exports::csv_file, places::Place, state::Site},
};

/// What stands first, then each source by rank; oldest day first. Read in again for one of its
/// sources, it changes nothing.
pub async fn show(
    State(site): State<Site>,
    Place(venue): Place<VenueId>,
) -> Result<Response, PageError> {
    let mut reading = site.db.read().await?;
    let venue = weather::venue(&mut reading, venue)
        .await?
        .ok_or(PageError::NotFound)?;
    let (first, last) = Day::ALL;
    let stands = weather::effective_days(&mut reading, venue.id, first, last).await?;
    let fault = |error: std::io::Error| PageError::Fault(error.to_string());
    let mut out = Writer::new(Vec::new(), &EXPORT).map_err(fault)?;
    let as_it_stands = SourceCells::named(WHAT_STANDS);
    for (day, weather) in &stands {
        out.row(export_row(*day, weather, &as_it_stands))
            .map_err(fault)?;
    }
    for source in weather::sources_of(&mut reading, venue.id).await? {
        let cells = cells(&source);
        for of in weather::days_of_source(&mut reading, source.id, first, last).await? {
            out.row(export_row(of.day, &of.weather, &cells))
                .map_err(fault)?;
        }
    }
    Ok(csv_file("weather.csv", out.finish().map_err(fault)?))
}

fn cells(source: &Source) -> SourceCells {
    SourceCells {
        name: source.name.clone(),
        day_ends_at: source.day_ends_at.clone(),
        credits: [source.min_shift, source.max_shift, source.rain_shift]
            .map(|days| days.to_string()),
    }
}
