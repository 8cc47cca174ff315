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
        names::{FORMER_MEMBER, Name},
    },
    store::{
        Db, StoreError, Writing, anglers, audit,
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
/// these, so no version is asked. Who had withdrawn is booked again. Answers the angler of each of
/// `new`, in their order.
///
/// Errors: `Refused` when an angler or a peg is entered twice, or the result is final.
pub async fn enter_match(
    db: &Db,
    now: Instant,
    by: &By,
    id: MatchId,
    new: &[NewEntry],
) -> Result<Vec<AnglerId>, ActionError> {
    let (mut writing, the_match) =
        open_match(db, by, id, "The result is final, so nobody can be added.").await?;
    if !matches::step(&mut writing, id, the_match.version, the_match.state).await? {
        return Err(ActionError::Changed);
    }
    let mut booked = Vec::new();
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
        if let Err(error) = book(&mut writing, id, angler, entry.placing).await {
            return Err(taken(&mut writing, error, angler).await?);
        }
        booked.push(angler);
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
    writing.commit().await?;
    Ok(booked)
}

/// Books an angler; who had withdrawn is booked again.
async fn book(
    writing: &mut Writing,
    id: MatchId,
    angler: AnglerId,
    placing: entries::Placing,
) -> Result<(), StoreError> {
    if entries::rebook(writing, id, angler, placing)
        .await?
        .is_none()
    {
        entries::insert(writing, id, angler, placing).await?;
    }
    Ok(())
}

/// What stood in the way of booking `angler`, by name.
async fn taken(
    writing: &mut Writing,
    error: StoreError,
    angler: AnglerId,
) -> Result<ActionError, StoreError> {
    let angler_twice = error.is_taken("entries.angler_id");
    if !angler_twice && !error.is_taken("entries.peg_id") {
        return Ok(error.into());
    }
    let known = anglers::by_id(writing, angler).await?;
    let name = known.and_then(|known| Some(Name::from_label(known.given?, known.surname)));
    let who = name.map_or_else(|| FORMER_MEMBER.to_owned(), |name| name.full());
    let sentence = match angler_twice {
        true => format!("{who} is entered twice. Leave each angler in one place only."),
        false => format!(
            "The peg of {who} is given to another angler too. Check the numbers against the draw."
        ),
    };
    Ok(ActionError::refused("", sentence))
}
