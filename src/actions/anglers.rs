//! Anglers on the club's list: added, renamed, joined to the account they sign in with.

use super::{
    ActionError, By,
    tokens::{new_pid, random},
};
use crate::{
    domain::{dates::Instant, ids::Pid, names::Name},
    store::{Db, accounts, anglers, audit},
};

/// Adds an angler, who needs no account.
pub async fn add(
    db: &Db,
    now: Instant,
    by: &By,
    name: &Name,
    is_junior: bool,
) -> Result<Pid, ActionError> {
    by.must_be_officer()?;
    let pid = new_pid();
    let mut writing = db.write().await?;
    anglers::insert(
        &mut writing,
        &pid,
        name.given(),
        name.surname(),
        &random::<16>(),
        is_junior,
        None,
    )
    .await?;
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "added an angler",
        Some(pid.as_str()),
        "",
    )
    .await?;
    writing.commit().await?;
    Ok(pid)
}

/// Changes a name and the junior flag. What was recorded while the flag stood keeps it.
pub async fn change(
    db: &Db,
    now: Instant,
    by: &By,
    angler: &Pid,
    name: &Name,
    is_junior: bool,
) -> Result<(), ActionError> {
    by.must_be_officer()?;
    let mut writing = db.write().await?;
    let angler = anglers::by_pid(&mut writing, angler)
        .await?
        .ok_or(ActionError::NotFound)?;
    if angler.merged_into.is_some() {
        return Err(ActionError::NotFound);
    }
    if angler.given.is_none() {
        return Err(ActionError::refused(
            "given",
            "This name was erased at the angler’s wish. Add the angler anew under the new name.",
        ));
    }
    anglers::rename(&mut writing, angler.id, name.given(), name.surname()).await?;
    anglers::set_junior(&mut writing, angler.id, is_junior).await?;
    if is_junior && !angler.is_junior {
        // The flag may come late: what is on record already is a junior's too, from now on for ever.
        anglers::mark_was_junior(&mut writing, angler.id).await?;
    }
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "changed an angler",
        Some(angler.pid.as_str()),
        "",
    )
    .await?;
    Ok(writing.commit().await?)
}

/// Joins an account to the angler it reports for; `None` parts them.
pub async fn join(
    db: &Db,
    now: Instant,
    by: &By,
    account: &Pid,
    angler: Option<&Pid>,
) -> Result<(), ActionError> {
    by.must_be_administrator()?;
    let mut writing = db.write().await?;
    let account = accounts::by_pid(&mut writing, account)
        .await?
        .ok_or(ActionError::NotFound)?;
    let chosen = match angler {
        Some(pid) => Some(
            anglers::by_pid(&mut writing, pid)
                .await?
                .filter(|angler| angler.merged_into.is_none())
                .ok_or_else(|| ActionError::refused("angler", "Choose an angler from the list."))?,
        ),
        None => None,
    };
    if chosen
        .as_ref()
        .is_some_and(|angler| angler.account.is_some_and(|other| other != account.id))
    {
        return Err(ActionError::refused(
            "angler",
            "That angler belongs to another account. Part the two there first.",
        ));
    }
    for joined in anglers::all(&mut writing)
        .await?
        .iter()
        .filter(|angler| angler.account == Some(account.id))
    {
        anglers::set_account(&mut writing, joined.id, None).await?;
    }
    if let Some(angler) = &chosen {
        anglers::set_account(&mut writing, angler.id, Some(account.id)).await?;
    }
    let verb = if chosen.is_some() {
        "joined an angler to an account"
    } else {
        "parted an angler from an account"
    };
    let detail = chosen
        .map(|angler| angler.pid.to_string())
        .unwrap_or_default();
    audit::add(
        &mut writing,
        now,
        by.pid(),
        verb,
        Some(account.pid.as_str()),
        &detail,
    )
    .await?;
    Ok(writing.commit().await?)
}
