//! Fits are made in the background and kept with the marks of what they read, so that pages
//! never wait for one. One is made at a time, on the blocking pool; the last good result
//! outlives a failed attempt.

use std::sync::Arc;

use rand::{SeedableRng, rngs::ChaCha8Rng};

use super::ActionError;
use crate::{
    domain::{
        dates::{Day, Instant, Zone},
        ids::{FitId, VenueId},
    },
    statistics::{
        fished_days::{FishedDays, FishedSession, Series},
        series_study::{METHOD_VERSION, QUESTION, SeriesStudy},
    },
    store::{
        Connection, Db, StoreError,
        fits::{self, Good, Key, Topic},
        marks::{self, Marks},
        statistics::{days, run_up::WeatherRecord, studies::Of},
        weather,
    },
};

/// The seed of every bootstrap: the same record gives the same figures again.
const SEED: u64 = 104;

/// After a failed attempt it tries again.
const TRIES_AGAIN_S: i64 = 3_600;

/// What a round came to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Round {
    pub made: usize,
    pub failed: usize,
}

/// A fit that is due, and all it needs.
struct Due {
    venue: VenueId,
    of: Of,
    fit: FitId,
    marks: Marks,
    read_before: Day,
}

/// Makes every fit that is missing, stale or was left unfinished: each venue, series and set of
/// groups with data. A fault at one venue does not keep the others waiting, and one that failed
/// is left alone for an hour.
pub async fn refresh(db: &Db, now: Instant) -> Result<Round, ActionError> {
    let venues = weather::venues(&mut *db.read().await?).await?;
    let mut round = Round::default();
    for venue in venues {
        let zone = Zone::named(&venue.zone).unwrap_or_else(Zone::utc);
        match refresh_venue(db, venue.id, now.day(&zone), now, &mut round).await {
            Err(ActionError::Store(StoreError::WritingStopped)) => break,
            Err(error) => {
                round.failed += 1;
                tracing::error!(
                    "the figures of “{}” were not worked out: {error}",
                    venue.name
                );
            }
            Ok(()) => {}
        }
    }
    Ok(round)
}

async fn refresh_venue(
    db: &Db,
    venue: VenueId,
    today: Day,
    now: Instant,
    round: &mut Round,
) -> Result<(), ActionError> {
    let mut reading = db.read().await?;
    // Before anything it stands for is read: a change in between leaves the fit stale, not wrong.
    let marks = marks::of_venue(&mut reading, venue).await?;
    let due = due(db, &mut reading, venue, (today, now)).await?;
    if due.is_empty() {
        return Ok(());
    }
    let sessions = days::of_venue(&mut reading, venue).await?;
    let record = db.weather().of(&mut reading, venue).await?;
    drop(reading);
    let mut wanted = Vec::new();
    let mut writing = db.write().await?;
    for of in due {
        let fit = fits::want(&mut writing, key(venue, &of.params()), now).await?;
        wanted.push((of, fit));
    }
    writing.commit().await?;
    for (of, fit) in wanted {
        let of_set = FishedDays::before(sessions.sessions(of.series, of.groups), today);
        let due = Due {
            venue,
            of,
            fit,
            marks,
            read_before: today,
        };
        let fished = FishedDays::of(of.series, of.groups, sessions.scale, &of_set);
        let mut writing = db.write().await?;
        fits::begin(&mut writing, fit, now).await?;
        writing.commit().await?;
        let made = make(fished, of_set, record.clone()).await;
        match &made {
            Ok(_) => round.made += 1,
            Err(_) => round.failed += 1,
        }
        keep(db, &due, made, now).await?;
    }
    Ok(())
}

/// Which studies of a venue are due.
async fn due(
    db: &Db,
    reading: &mut Connection,
    venue: VenueId,
    (today, now): (Day, Instant),
) -> Result<Vec<Of>, ActionError> {
    let standing = db.studies().standing(reading, venue).await?;
    let sets = days::sets_of_venue(reading, venue).await?;
    let mut due: Vec<Of> = sets
        .into_iter()
        .map(|(series, groups)| Of { series, groups })
        .filter(|of| !standing.iter().any(|(known, _)| known == of))
        .collect();
    for (of, fit) in standing {
        if fit.state == "failed" && (0..TRIES_AGAIN_S).contains(&(now.0 - fit.attempted.0)) {
            continue;
        }
        let whole = fit.revision > 0 && fit.state == "good" && !fit.stale;
        let passed = match fit.read_before {
            Some(before) if whole && before < today => {
                days::fished_between(reading, venue, before, today).await?
            }
            _ => false,
        };
        if !whole || passed {
            due.push(of);
        }
    }
    Ok(due)
}

/// Studies a series away from the threads that answer people; the sentence says why not.
async fn make(
    fished: FishedDays,
    sessions: Vec<FishedSession>,
    record: Arc<WeatherRecord>,
) -> Result<String, String> {
    let made = tokio::task::spawn_blocking(move || {
        let mut generator = ChaCha8Rng::seed_from_u64(SEED);
        let study = SeriesStudy::of(fished, &sessions, &record.weather, &mut generator)
            .map_err(|error| error.to_string())?;
        serde_json::to_string(&study).map_err(|error| error.to_string())
    });
    made.await
        .unwrap_or_else(|error| Err(format!("the working-out broke off: {error}")))
}

async fn keep(
    db: &Db,
    due: &Due,
    made: Result<String, String>,
    now: Instant,
) -> Result<(), ActionError> {
    let result = match made {
        Ok(result) => result,
        Err(reason) => {
            tracing::error!("venue {}, {}: {reason}", due.venue, due.of.params());
            return note_failure(db, due.fit, &reason, now).await;
        }
    };
    let good = Good {
        result: &result,
        read_before: due.read_before,
        topics: topics(due.of.series),
        marks: due.marks,
        at: now,
    };
    let mut writing = db.write().await?;
    fits::keep(&mut writing, due.venue, due.fit, &good).await?;
    Ok(writing.commit().await?)
}

/// Notes that an attempt failed and why; what was good before stays.
pub async fn note_failure(
    db: &Db,
    fit: FitId,
    reason: &str,
    now: Instant,
) -> Result<(), ActionError> {
    let mut writing = db.write().await?;
    fits::fail(&mut writing, fit, reason, now).await?;
    Ok(writing.commit().await?)
}

/// What a study of a series reads.
fn topics(series: Series) -> &'static [Topic] {
    match series {
        Series::Match => &[Topic::Weather, Topic::Sessions, Topic::Matches],
        Series::Report => &[Topic::Weather, Topic::Sessions],
    }
}

fn key(venue: VenueId, params: &str) -> Key<'_> {
    Key {
        venue,
        question: QUESTION,
        params,
        version: METHOD_VERSION,
    }
}
