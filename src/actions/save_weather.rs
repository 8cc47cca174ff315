//! Writing the weather of a venue's days by hand: one save, all or nothing, nobody overwritten
//! unseen.

use super::{ActionError, By};
use crate::{
    domain::{
        dates::{Day, Instant},
        ids::{SourceId, VenueId},
        weather::{DailyWeather, sources::Element, typed},
    },
    store::{
        Db, Writing, audit,
        weather::{self, WeatherVenue, Written},
    },
};

/// One day as its writer left it.
#[derive(Clone, Debug)]
pub struct TypedDay {
    pub day: Day,
    /// The version of the day that the writer saw; 0 where nobody had written by hand.
    pub seen: i64,
    /// The elements the writer touched.
    pub touched: Vec<Element>,
    /// Their values; an element left empty is a gap again.
    pub weather: DailyWeather,
}

/// How a save went.
#[derive(Clone, Debug, PartialEq)]
pub enum Saved {
    /// This many days were written.
    Days(usize),
    /// Somebody wrote these days meanwhile, so nothing was written at all.
    Changed(Vec<Day>),
}

/// Writes the touched elements into the venue's notes by hand, which are made on first use and
/// believed first.
pub async fn save(
    db: &Db,
    now: Instant,
    by: &By,
    venue: VenueId,
    days: &[TypedDay],
) -> Result<Saved, ActionError> {
    let mut writing = db.write().await?;
    let venue = weather::venue(&mut writing, venue)
        .await?
        .ok_or(ActionError::NotFound)?;
    let source = notes_by_hand(&mut writing, &venue).await?;
    let mut changed = Vec::new();
    let mut count = 0;
    for typed in days.iter().filter(|typed| !typed.touched.is_empty()) {
        let before = weather::days_of_source(&mut writing, source, typed.day, typed.day)
            .await?
            .pop();
        let version = before.as_ref().map_or(0, |before| before.version);
        let before = before.map(|before| before.weather).unwrap_or_default();
        let mut after = before;
        for element in &typed.touched {
            element.copy(&typed.weather, &mut after);
        }
        if after == before {
            continue;
        }
        if version != typed.seen {
            changed.push(typed.day);
            continue;
        }
        typed::low_and_high(after.min_c, after.max_c).map_err(|problem| {
            ActionError::refused("", format!("{}: {problem}", typed.day.brief()))
        })?;
        let written = Written {
            by: by.account(),
            import: None,
            at: now,
        };
        weather::put_day(&mut writing, source, typed.day, &after, written).await?;
        count += 1;
    }
    if !changed.is_empty() {
        return Ok(Saved::Changed(changed));
    }
    let detail = format!("{count} days");
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "wrote weather",
        Some(&venue.pid),
        &detail,
    )
    .await?;
    writing.commit().await?;
    Ok(Saved::Days(count))
}

/// The source a venue's people write into; made, and ranked before all others, on first use.
pub(super) async fn notes_by_hand(
    writing: &mut Writing,
    venue: &WeatherVenue,
) -> Result<SourceId, ActionError> {
    if let Some(source) = weather::by_hand(writing, venue.id).await? {
        return Ok(source);
    }
    let others = weather::sources_of(writing, venue.id).await?;
    let name = format!("{} by hand", venue.name);
    let source = match weather::insert_source(writing, &name, "by hand", "24:00").await {
        Err(error) if error.is_taken("weather_sources.name") => {
            let name = format!("{name}, {}", venue.id);
            weather::insert_source(writing, &name, "by hand", "24:00").await?
        }
        made => made?,
    };
    weather::set_rank(writing, venue.id, source, Some(1)).await?;
    for (at, other) in (2..).zip(&others) {
        weather::set_rank(writing, venue.id, other.id, Some(at)).await?;
    }
    Ok(source)
}
