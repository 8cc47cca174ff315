//! A file with the headings of an earlier one begins with what was answered about that. Who is meant
//! by a name, which water, and what a word means are the club's own, so every file begins with what
//! the files in the record have of these, whatever their headings.

use super::{Person, Plan, WaterAnswer};
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
        let begun = Self::like_an_earlier(connection, sheet, (kind, of)).await?;
        begun.with_answers_on_record(connection).await
    }

    async fn like_an_earlier(
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

    /// With the answers of every sheet in the record that this plan has none of, the newest first.
    /// What was left out of one file is that file's own matter.
    async fn with_answers_on_record(
        mut self,
        connection: &mut Connection,
    ) -> Result<Self, ActionError> {
        let plans = imports::plans_in_record(connection).await?;
        for (at, json) in plans.iter().enumerate() {
            let Ok(other) = Self::read(json) else {
                continue;
            };
            let says_who = |who: &Person| matches!(who, Person::OnRecord(_) | Person::SameAs(_));
            let people = other.people.into_iter();
            for (key, who) in people.filter(|(_, who)| says_who(who)) {
                self.people.entry(key).or_insert(who);
            }
            let says_where = |water: &WaterAnswer| matches!(water, WaterAnswer::OnRecord(_));
            let waters = other.waters.into_iter();
            for (key, water) in waters.filter(|(_, water)| says_where(water)) {
                self.waters.entry(key).or_insert(water);
            }
            // A meaning may have been taken back since: the newest file alone knows.
            if at > 0 || self.like.is_some() {
                continue;
            }
            for (key, method) in other.mapping.methods {
                self.mapping.methods.entry(key).or_insert(method);
            }
            for (key, bait) in other.mapping.baits {
                self.mapping.baits.entry(key).or_insert(bait);
            }
        }
        Ok(self)
    }
}
