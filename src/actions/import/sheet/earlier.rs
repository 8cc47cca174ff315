//! A file with the headings of an earlier one begins with what was answered about that.

use super::Plan;
use crate::{
    actions::ActionError,
    domain::{
        imports::{ImportKind, ImportState},
        names::key,
    },
    formats::{csv::Sheet, old_sheets::SheetOf},
    store::{Connection, imports},
};

/// The headings of a sheet, folded, a line each.
pub(super) fn headings(sheet: &Sheet) -> String {
    let folded: Vec<String> = sheet.header.iter().map(|name| key(name)).collect();
    folded.join("\n")
}

impl Plan {
    /// The plan with which a file begins: that of the newest earlier file of its kind with the same
    /// headings, or else a guess. What belongs to one file alone, its day, the name of its matches
    /// and what was said of outings on record, is not taken from a file that is in the record: this
    /// one is then another, where it would else be a mended one.
    pub async fn begun(
        connection: &mut Connection,
        sheet: &Sheet,
        (kind, of): (ImportKind, SheetOf),
    ) -> Result<Self, ActionError> {
        let guessed = Self::guessed(sheet, of);
        let earlier = imports::with_headings(connection, kind, &guessed.headings).await?;
        let Some(earlier) = earlier else {
            return Ok(guessed);
        };
        let Ok(known) = Self::read(&earlier.mapping_json) else {
            return Ok(guessed);
        };
        let unanswered = known.people.is_empty() && known.waters.is_empty();
        if unanswered && known.mapping == guessed.mapping {
            return Ok(guessed);
        }
        let mut plan = Self {
            like: Some(earlier.file_name),
            ..known
        };
        if earlier.state == ImportState::Done {
            plan.mapping.date = None;
            plan.mapping.match_name = guessed.mapping.match_name;
            plan.mapping.same_day = None;
        }
        Ok(plan)
    }
}
