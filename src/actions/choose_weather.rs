//! An officer's say over the sources of the weather: which is believed for one element of one
//! day, how a venue ranks them, and how each counts its days.

use super::{ActionError, By, import::weather::fine_day_end};
use crate::{
    domain::{
        dates::{Day, Instant},
        ids::{SourceId, VenueId},
        weather::sources::Element,
    },
    formats::weather_csv::WHAT_STANDS,
    store::{
        Connection, Db, StoreError, Writing, audit,
        weather::{self, Source, Written},
    },
};

/// Which source is believed for one element of one day; `None` leaves it to the ranks again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Belief {
    pub day: Day,
    pub element: Element,
    pub source: Option<SourceId>,
    /// What stood chosen when the page was made.
    pub was: Option<SourceId>,
}

/// Records what is believed, all of it or nothing. What stands already is not written again.
///
/// Errors: `Refused` at `source` when a source says nothing of its day any more; `Changed` when
/// another officer chose otherwise meanwhile.
pub async fn choose(
    db: &Db,
    now: Instant,
    by: &By,
    venue: VenueId,
    beliefs: &[Belief],
) -> Result<(), ActionError> {
    by.must_be_officer()?;
    let mut writing = db.write().await?;
    let venue = weather::venue(&mut writing, venue)
        .await?
        .ok_or(ActionError::NotFound)?;
    let written = Written {
        by: by.account(),
        import: None,
        at: now,
    };
    for belief in beliefs {
        let stands = standing(&mut writing, venue.id, belief).await?;
        if stands == belief.source {
            continue;
        }
        if stands != belief.was {
            return Err(ActionError::Changed);
        }
        let of = (belief.day, belief.element);
        weather::put_choice(&mut writing, venue.id, of, belief.source, written).await?;
        let detail = format!("{} {}", belief.day, belief.element.slug());
        audit::add(
            &mut writing,
            now,
            by.pid(),
            "chose a weather source",
            Some(&venue.pid),
            &detail,
        )
        .await?;
    }
    Ok(writing.commit().await?)
}

/// The choice that stands where `belief` would: one whose source still knows the figure.
///
/// Errors: `Refused` when the source of `belief` itself knows nothing of it.
async fn standing(
    writing: &mut Writing,
    venue: VenueId,
    belief: &Belief,
) -> Result<Option<SourceId>, ActionError> {
    let (day, element) = (belief.day, belief.element);
    let said = weather::days_by_source(writing, venue, day, day).await?;
    let knows = |source: SourceId| {
        let mut said = said.iter().filter(|of| of.source == source);
        said.any(|of| element.known(&of.weather))
    };
    if belief.source.is_some_and(|source| !knows(source)) {
        return Err(ActionError::refused(
            "source",
            "That source says nothing of this day now. Fetch the page again and choose from what it shows.",
        ));
    }
    let choices = weather::choices(writing, venue, day, day).await?;
    let chosen = choices.iter().find(|choice| choice.element == element);
    Ok(chosen
        .map(|choice| choice.source)
        .filter(|source| knows(*source)))
}

/// Adds a source that is read from files of `kind`, `csv` or `ghcn-daily`.
pub async fn add_source(
    db: &Db,
    now: Instant,
    by: &By,
    name: &str,
    kind: &str,
) -> Result<SourceId, ActionError> {
    by.must_be_officer()?;
    let name = fine_name(name)?;
    let mut writing = db.write().await?;
    let made = weather::insert_source(&mut writing, name, kind, "24:00").await;
    let id = match made {
        Err(error) if error.is_taken("weather_sources.name") => return Err(name_taken()),
        made => made?,
    };
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "added a weather source",
        None,
        kind,
    )
    .await?;
    writing.commit().await?;
    Ok(id)
}

/// A source as an officer leaves it.
#[derive(Clone, Debug)]
pub struct Arranged {
    /// As the store gives it, changed; without a rank it is no longer used at the venue.
    pub source: Source,
    /// [`Source::token`] when the page was made; empty where the form lost it.
    pub was: String,
}

impl Arranged {
    /// Does it say otherwise than it was shown?
    pub fn is_touched(&self) -> bool {
        self.was != self.source.token()
    }
}

/// Saves how the sources of a venue are named, ranked and counted. What nobody touched, or stands
/// already, is not written again.
///
/// Errors: `Refused` at what cannot be; `Changed` when another officer changed a touched source
/// meanwhile. How a source counts its days is fixed by the first of them.
pub async fn save_sources(
    db: &Db,
    now: Instant,
    by: &By,
    venue: VenueId,
    sources: &[Arranged],
) -> Result<(), ActionError> {
    by.must_be_officer()?;
    let mut writing = db.write().await?;
    let venue = weather::venue(&mut writing, venue)
        .await?
        .ok_or(ActionError::NotFound)?;
    let standing = weather::all_sources(&mut writing, venue.id).await?;
    for arranged in sources.iter().filter(|arranged| arranged.is_touched()) {
        let source = &arranged.source;
        let stands = standing.iter().find(|of| of.id == source.id);
        let token = stands.map(Source::token).unwrap_or_default();
        if token == source.token() {
            continue;
        }
        if !arranged.was.is_empty() && token != arranged.was {
            return Err(ActionError::Changed);
        }
        if let Some(stands) = stands
            && let Some(sentence) = counted_already(&mut writing, stands, source).await?
        {
            return Err(ActionError::refused("day_ends", sentence));
        }
        fine_name(&source.name)?;
        if !fine_day_end(&source.day_ends_at) {
            return Err(ActionError::refused("day_ends", NO_DAY_END));
        }
        match weather::update_source(&mut writing, source).await {
            Err(error) if error.is_taken("weather_sources.name") => return Err(name_taken()),
            done => done?,
        }
        weather::set_rank(&mut writing, venue.id, source.id, source.rank).await?;
    }
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "arranged weather sources",
        Some(&venue.pid),
        "",
    )
    .await?;
    Ok(writing.commit().await?)
}

/// Why a source cannot count its days otherwise, where it has any: each stands on the date it was
/// credited to when its file was read, and would silently come to mean another night.
pub async fn counted_already(
    connection: &mut Connection,
    stands: &Source,
    wanted: &Source,
) -> Result<Option<String>, StoreError> {
    if !stands.counts_otherwise(wanted) || !weather::has_days(connection, stands.id).await? {
        return Ok(None);
    }
    Ok(Some(format!(
        "{} has days in the record, counted as it was set when they were written. To count them otherwise, undo its files, change this, and bring them in anew. If the source itself has changed, add another source for its days from then on.",
        stands.name
    )))
}

pub const NO_DAY_END: &str =
    "Enter the hour at which the source’s day ends, for example 09:00, or 24:00 for midnight.";

/// The name without space around it.
///
/// Errors: `Refused` at `name` where no source can be called so.
pub fn fine_name(name: &str) -> Result<&str, ActionError> {
    let name = name.trim();
    if name.is_empty() || name.chars().count() > 80 {
        return Err(ActionError::refused(
            "name",
            "Enter a name of 1 to 80 characters, for example “The station at Harl Top”.",
        ));
    }
    if name == WHAT_STANDS {
        return Err(ActionError::refused(
            "name",
            "“what stands” means every source together. Give this one a name of its own.",
        ));
    }
    Ok(name)
}

pub const NAME_TAKEN: &str = "Another source has that name. Choose a different one.";

fn name_taken() -> ActionError {
    ActionError::refused("name", NAME_TAKEN)
}
