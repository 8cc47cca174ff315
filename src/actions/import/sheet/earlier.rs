//! A file with the headings of an earlier one begins with what was answered about that.

use super::{Person, Plan};
use crate::{
    actions::ActionError,
    domain::{
        imports::{ImportKind, ImportState},
        names::key,
    },
    formats::{csv::Sheet, old_sheets::SheetOf},
    store::{Connection, imports},
};

/// The headings of a sheet, folded, a line each; empty where it has none, as numbers of columns tell
/// no sheet from another.
pub(super) fn headings(sheet: &Sheet) -> String {
    if !sheet.headed {
        return String::new();
    }
    let folded: Vec<String> = sheet.header.iter().map(|name| key(name)).collect();
    folded.join("\n")
}

impl Plan {
    /// The plan with which a file begins: that of the newest earlier file of its kind with the same
    /// headings, or else a guess. What belongs to one file alone is not taken from a file that is in
    /// the record: this one is then another, where it would else be a mended one. That is its day,
    /// the name of its matches, how its dates and bare weights are written, what was said of outings
    /// on record, and who was new, because they are on the list since, perhaps under another name.
    pub async fn begun(
        connection: &mut Connection,
        sheet: &Sheet,
        (kind, of): (ImportKind, SheetOf),
    ) -> Result<Self, ActionError> {
        let guessed = Self::guessed(sheet, of);
        if guessed.headings.is_empty() {
            return Ok(guessed);
        }
        let earlier = imports::with_headings(connection, kind, &guessed.headings).await?;
        let Some(earlier) = earlier else {
            return Ok(guessed);
        };
        let Ok(mut plan) = Self::read(&earlier.mapping_json) else {
            return Ok(guessed);
        };
        if earlier.state == ImportState::Done {
            plan.mapping.date = None;
            plan.mapping.match_name = guessed.mapping.match_name.clone();
            plan.mapping.same_day = None;
            plan.mapping.day_order = None;
            plan.mapping.bare = guessed.mapping.bare;
            let is_new = |who: &Person| matches!(who, Person::New { .. });
            plan.people.retain(|_, who| !is_new(who));
        }
        plan.like = None;
        if plan != guessed {
            plan.like = Some(earlier.file_name);
        }
        Ok(plan)
    }
}
