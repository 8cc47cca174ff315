//! A file with the headings of an earlier one begins with what was answered about that. Who is meant
//! by a name, which water, and what a word means are the club's own, so every file begins with what
//! the files in the record have of these, whatever their headings.

use sha2::{Digest, Sha256};

use super::{Person, Plan, WaterAnswer};
use crate::{
    actions::ActionError,
    domain::{
        imports::{ImportKind, ImportState},
        names::key,
    },
    formats::{
        csv::Sheet,
        old_sheets::{Mapping, SheetOf},
    },
    statistics::wording,
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

fn is_new(who: &Person) -> bool {
    matches!(who, Person::New { .. })
}

/// What was answered `before` and is empty `after`, by the names of its boxes.
fn emptied(before: &Mapping, after: &Mapping) -> Vec<String> {
    let all = [
        (
            before.match_name.is_some() && after.match_name.is_none(),
            "the name of the matches",
        ),
        (before.date.is_some() && after.date.is_none(), "the date"),
        (
            before.day_order.is_some() && after.day_order.is_none(),
            "what comes first in its dates",
        ),
        (
            before.bare.is_some() && after.bare.is_none(),
            "what weights without a unit are",
        ),
        (
            before.same_day.is_some() && after.same_day.is_none(),
            "what is done where an angler has a session there that day",
        ),
    ];
    let all = all.into_iter().filter(|(emptied, _)| *emptied);
    all.map(|(_, what)| what.to_owned()).collect()
}

impl Plan {
    /// The plan with which a file begins: that of the newest earlier file of its kind with the same
    /// headings, or else a guess. What belongs to one file alone is not taken from a file that is in
    /// the record: this one is then another, where it would else be a mended one. That is its day,
    /// the name of its matches, how its dates and bare weights are written, what was said of outings
    /// on record, and who was new, because they are on the list since, perhaps under another name.
    ///
    /// The very same file in the record is no other one: all that was answered of it holds.
    pub async fn begun(
        connection: &mut Connection,
        (sheet, content): (&Sheet, &[u8]),
        (kind, of): (ImportKind, SheetOf),
    ) -> Result<Self, ActionError> {
        let begun = Self::like_an_earlier(connection, (sheet, content), (kind, of)).await?;
        begun.with_answers_on_record(connection).await
    }

    /// `Not filled in, because it may be otherwise in this file: the date.`
    pub fn not_filled_in(&self) -> String {
        match self.own.as_slice() {
            [] => String::new(),
            own => format!(
                "Not filled in, because it may be otherwise in this file: {}.",
                wording::list(own)
            ),
        }
    }

    async fn like_an_earlier(
        connection: &mut Connection,
        (sheet, content): (&Sheet, &[u8]),
        (kind, of): (ImportKind, SheetOf),
    ) -> Result<Self, ActionError> {
        let guessed = Self::guessed(sheet, of);
        let sha256: [u8; 32] = Sha256::digest(content).into();
        if let Some(twin) = imports::same_file(connection, &sha256).await?
            && let Some(twin) = imports::by_id(connection, twin).await?
            && twin.kind == kind
            && let Ok(mut plan) = Self::read(&twin.mapping_json)
        {
            plan.people.retain(|_, who| !is_new(who));
            plan.own.clear();
            plan.like = Some(twin.file_name);
            return Ok(plan);
        }
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
        plan.own.clear();
        if earlier.state == ImportState::Done {
            let before = plan.mapping.clone();
            plan.mapping.date = None;
            plan.mapping.match_name = guessed.mapping.match_name.clone();
            plan.mapping.same_day = None;
            plan.mapping.day_order = None;
            plan.mapping.bare = guessed.mapping.bare;
            plan.own = emptied(&before, &plan.mapping);
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
