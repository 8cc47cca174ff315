//! Puts entries on their pegs, in their sections and teams, and marks who withdrew.

use super::{ActionError, By, open_match::open_match};
use crate::{
    domain::{
        dates::Instant,
        ids::{EntryId, MatchId},
        matches::EntryStatus,
    },
    store::{
        Db, StoreError, audit,
        matches::{
            self,
            entries::{self, Placing},
        },
    },
};

/// Where an entry is to stand.
pub struct Placed {
    pub entry: EntryId,
    pub placing: Placing,
    pub withdrawn: bool,
}

/// Places all of `placed`, or none; nothing happens where nobody is named. Pegs may change hands among
/// them. The session of an entry that fished follows when the result is posted.
///
/// Errors: `Changed` when `version` is old; `Refused` when the result is final, when a peg would
/// be given twice, or when somebody withdraws who has an outcome.
pub async fn place_entries(
    db: &Db,
    now: Instant,
    by: &By,
    (id, version): (MatchId, i64),
    placed: &[Placed],
) -> Result<(), ActionError> {
    let (mut writing, the_match) =
        open_match(db, by, id, "The result is final, so pegs stay as they are.").await?;
    if placed.is_empty() {
        return Ok(());
    }
    if !matches::step(&mut writing, id, version, the_match.state).await? {
        return Err(ActionError::Changed);
    }
    let known = entries::of_match(&mut writing, id).await?;
    let find = |id: EntryId| {
        let entry = known.iter().find(|entry| entry.id == id);
        entry.ok_or(ActionError::NotFound)
    };
    // Every peg is let go first, so that two anglers can change pegs in one save.
    for one in placed {
        if find(one.entry)?.peg != one.placing.peg {
            entries::clear_peg(&mut writing, one.entry).await?;
        }
    }
    for one in placed {
        let entry = find(one.entry)?;
        if one.withdrawn {
            if entry.outcome.is_some() {
                return Err(ActionError::refused(
                    "",
                    "An angler with an outcome cannot withdraw. Mark absent on the weigh sheet instead.",
                ));
            }
            entries::set_status(&mut writing, one.entry, EntryStatus::Withdrawn).await?;
            continue;
        }
        entries::place(&mut writing, one.entry, one.placing)
            .await
            .map_err(taken)?;
    }
    let detail = format!("{} entries", placed.len());
    let subject = Some(the_match.pid.as_str());
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "placed entries",
        subject,
        &detail,
    )
    .await?;
    Ok(writing.commit().await?)
}

fn taken(error: StoreError) -> ActionError {
    if error.is_taken("entries.peg_id") {
        ActionError::refused(
            "",
            "A peg is given to two anglers. Check the numbers against the draw.",
        )
    } else {
        error.into()
    }
}
