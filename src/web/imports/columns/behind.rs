//! The rows behind the question about outings on record, shown beside it.

use crate::{actions::import::sheet::Look, formats::old_sheets::SameDayRow};

/// The rows shown in sight; others are folded.
const SHOWN: usize = 12;
/// The most rows shown at all.
const MOST: usize = 500;

pub(super) struct Behind(Vec<SameDayRow>);

impl Behind {
    pub fn of(look: &Result<Look, Vec<String>>) -> Self {
        let rows = look.as_ref().map(|look| look.read.same_day_rows().to_vec());
        Self(rows.unwrap_or_default())
    }

    pub fn first(&self) -> &[SameDayRow] {
        &self.0[..self.0.len().min(SHOWN)]
    }

    pub fn folded(&self) -> &[SameDayRow] {
        &self.0[self.0.len().min(SHOWN)..self.0.len().min(MOST)]
    }

    pub fn unnamed(&self) -> usize {
        self.0.len().saturating_sub(MOST)
    }
}
