//! What was worked out of each series and set at a venue, as it is kept: read once from the
//! record and held in memory until a newer result is kept.

use std::{
    collections::HashMap,
    sync::{Arc, Mutex, PoisonError},
};

use serde::{Deserialize, Serialize};
use sqlx::SqliteConnection;

use crate::{
    domain::{
        dates::{Day, Instant},
        groups::GroupSet,
        ids::{FitId, VenueId},
    },
    statistics::{
        fished_days::Series,
        series_study::{METHOD_VERSION, QUESTION, SeriesStudy},
    },
    store::{
        StoreError,
        fits::{self, Standing},
    },
};

/// Results held in memory at one time; when full all are forgotten.
const ROOM: usize = 64;

/// What a study is of: the parameters of its fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Of {
    pub series: Series,
    pub groups: GroupSet,
}

impl Of {
    /// The parameters as the record keeps them.
    pub fn params(self) -> String {
        let (groups, series) = (self.groups.bits(), self.series.slug());
        format!(r#"{{"groups":{groups},"series":"{series}"}}"#)
    }

    pub fn from_params(params: &str) -> Option<Self> {
        serde_json::from_str(params).ok()
    }
}

/// A study, and how its fit stands.
#[derive(Clone, Debug)]
pub struct Kept {
    pub of: Of,
    pub standing: Standing,
    /// The last good one; absent until there has been one.
    pub study: Option<Arc<SeriesStudy>>,
}

impl Kept {
    /// Days behind the last good study.
    fn days(&self) -> usize {
        let study = self.study.as_ref();
        study.map_or(0, |study| study.days.behind.days)
    }

    /// When the figures were made, where something they read has changed since.
    pub fn out_of_date(&self) -> Option<Instant> {
        self.standing.fitted.filter(|_| self.standing.stale)
    }

    /// Whether the study read nothing dated `day` or later.
    pub fn looks_ahead_to(&self, day: Day) -> bool {
        self.standing
            .read_before
            .is_some_and(|before| before <= day)
    }
}

/// Results in memory, by fit and revision.
#[derive(Clone, Debug, Default)]
pub struct Studies(Arc<Mutex<HashMap<FitId, Made>>>);

/// The revision of a result, and the result.
type Made = (i64, Arc<SeriesStudy>);

impl Studies {
    /// How every study of a venue stands: matches first, the widest sets first.
    pub async fn standing(
        &self,
        connection: &mut SqliteConnection,
        venue: VenueId,
    ) -> Result<Vec<(Of, Standing)>, StoreError> {
        let found = fits::of_venue(connection, venue, QUESTION, METHOD_VERSION).await?;
        let mut found: Vec<_> = found
            .into_iter()
            .filter_map(|standing| Some((Of::from_params(&standing.params)?, standing)))
            .collect();
        found.sort_by_key(|(of, _)| {
            let width = of.groups.groups().count();
            (of.series, std::cmp::Reverse(width), of.groups)
        });
        Ok(found)
    }

    /// The study of a fit that stands as said.
    pub async fn of(
        &self,
        connection: &mut SqliteConnection,
        of: Of,
        standing: Standing,
    ) -> Result<Kept, StoreError> {
        let study = match standing.revision {
            0 => None,
            revision => match self.held(standing.id, revision) {
                Some(study) => Some(study),
                None => self.read(connection, &standing).await?,
            },
        };
        Ok(Kept {
            of,
            standing,
            study,
        })
    }

    /// The study that a water's pegs are told from on every page: of its matches, of the set of
    /// groups with the most days behind it, the widest of those. `None` before one is wanted.
    pub async fn of_pegs(
        &self,
        connection: &mut SqliteConnection,
        venue: VenueId,
    ) -> Result<Option<Kept>, StoreError> {
        let mut most: Option<Kept> = None;
        for (of, standing) in self.standing(connection, venue).await? {
            if of.series != Series::Match {
                continue;
            }
            let kept = self.of(connection, of, standing).await?;
            if most.as_ref().is_none_or(|most| kept.days() > most.days()) {
                most = Some(kept);
            }
        }
        Ok(most)
    }

    fn held(&self, fit: FitId, revision: i64) -> Option<Arc<SeriesStudy>> {
        let held = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let (of_revision, study) = held.get(&fit)?;
        (*of_revision == revision).then(|| study.clone())
    }

    async fn read(
        &self,
        connection: &mut SqliteConnection,
        standing: &Standing,
    ) -> Result<Option<Arc<SeriesStudy>>, StoreError> {
        let Some(json) = fits::result(connection, standing.id).await? else {
            return Ok(None);
        };
        let study: SeriesStudy = match serde_json::from_str(&json) {
            Ok(study) => study,
            Err(error) => {
                tracing::error!("fit {} cannot be read back: {error}", standing.id);
                return Ok(None);
            }
        };
        let study = Arc::new(study);
        let mut held = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if held.len() >= ROOM {
            held.clear();
        }
        held.insert(standing.id, (standing.revision, study.clone()));
        Ok(Some(study))
    }
}
