//! Adds anglers to a match with the pegs they drew, several in one save.

use super::{
    ActionError, By,
    open_match::open_match,
    tokens::{new_pid, random},
};
use crate::{
    domain::{
        dates::Instant,
        ids::{AnglerId, MatchId},
        names::Name,
    },
    store::{
        Db, StoreError, anglers, audit,
        matches::{self, entries},
    },
};

/// Somebody on record, or a new name.
pub enum Whom {
    Known(AnglerId),
    New { name: Name, junior: bool },
}

pub struct NewEntry {
    pub whom: Whom,
    pub placing: entries::Placing,
}

/// Adds all of `new`, or none. Others may have added somebody meanwhile: that takes nothing from
/// these, so no version is asked. Who had withdrawn is booked again.
///
/// Errors: `Refused` when an angler or a peg is entered twice, or the result is final.
pub async fn enter_match(
    db: &Db,
    now: Instant,
    by: &By,
    id: MatchId,
    new: &[NewEntry],
) -> Result<(), ActionError> {
    let (mut writing, the_match) =
        open_match(db, by, id, "The result is final, so nobody can be added.").await?;
    if !matches::step(&mut writing, id, the_match.version, the_match.state).await? {
        return Err(ActionError::Changed);
    }
    for entry in new {
        let angler = match &entry.whom {
            Whom::Known(angler) => anglers::standing_for(&mut writing, *angler).await?,
            Whom::New { name, junior } => {
                let salt: [u8; 16] = random();
                let pid = new_pid();
                anglers::insert(
                    &mut writing,
                    &pid,
                    name.given(),
                    name.surname(),
                    &salt,
                    *junior,
                    None,
                )
                .await?
            }
        };
        let again = entries::rebook(&mut writing, id, angler, entry.placing)
            .await
            .map_err(taken)?;
        if again.is_none() {
            entries::insert(&mut writing, id, angler, entry.placing)
                .await
                .map_err(taken)?;
        }
    }
    let detail = format!("{} entries", new.len());
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "added entries",
        Some(the_match.pid.as_str()),
        &detail,
    )
    .await?;
    Ok(writing.commit().await?)
}

fn taken(error: StoreError) -> ActionError {
    if error.is_taken("entries.angler_id") {
        ActionError::refused(
            "",
            "An angler is entered twice. Leave each angler in one row only.",
        )
    } else if error.is_taken("entries.peg_id") {
        ActionError::refused(
            "",
            "A peg is given to two anglers. Check the numbers against the draw.",
        )
    } else {
        error.into()
    }
}
