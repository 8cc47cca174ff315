//! Invites, roles, accounts disabled and let in again.

use super::{
    ActionError, By,
    one_time_links::DAY,
    tokens::{Token, new_pid},
};
use crate::{
    domain::{
        accounts::{Role, folded_name},
        dates::Instant,
        ids::{AccountId, Pid},
    },
    store::{Db, Writing, accounts, audit, sign_ins},
};

/// Makes an account and the invite to it, good for seven days. The secret is shown once.
pub async fn invite(
    db: &Db,
    now: Instant,
    by: &By,
    name: &str,
    role: Role,
) -> Result<(AccountId, String), ActionError> {
    by.must_be_administrator()?;
    let name = name.trim();
    if name.is_empty() || name.chars().count() > 60 {
        return Err(ActionError::refused(
            "name",
            "Enter a sign-in name of 1 to 60 characters.",
        ));
    }
    let token = Token::new();
    let pid = new_pid();
    let mut writing = db.write().await?;
    let made = accounts::insert(&mut writing, &pid, name, &folded_name(name), role, now).await;
    let id = match made {
        Err(e) if e.is_taken("accounts.name_key") => {
            return Err(ActionError::refused(
                "name",
                "That sign-in name is in use. Choose another, for example with a middle initial.",
            ));
        }
        other => other?,
    };
    accounts::insert_link(
        &mut writing,
        &token.sha256,
        "invite",
        Some(id),
        now,
        now.plus_seconds(7 * DAY),
    )
    .await?;
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "invited",
        Some(pid.as_str()),
        role.as_str(),
    )
    .await?;
    writing.commit().await?;
    Ok((id, token.secret))
}

/// Changes a role. The last administrator who can sign in stays one; every sign-in of the account ends.
pub async fn set_role(
    db: &Db,
    now: Instant,
    by: &By,
    account: &Pid,
    role: Role,
) -> Result<(), ActionError> {
    by.must_be_administrator()?;
    let mut writing = db.write().await?;
    let account = accounts::by_pid(&mut writing, account)
        .await?
        .ok_or(ActionError::NotFound)?;
    accounts::set_role(&mut writing, account.id, role).await?;
    keep_an_administrator(&mut writing, account.role == Role::Administrator).await?;
    sign_ins::delete_all(&mut writing, account.id).await?;
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "changed a role",
        Some(account.pid.as_str()),
        role.as_str(),
    )
    .await?;
    Ok(writing.commit().await?)
}

/// Disables an account or lets it in again.
pub async fn set_disabled(
    db: &Db,
    now: Instant,
    by: &By,
    account: &Pid,
    disabled: bool,
) -> Result<(), ActionError> {
    by.must_be_administrator()?;
    let mut writing = db.write().await?;
    let account = accounts::by_pid(&mut writing, account)
        .await?
        .ok_or(ActionError::NotFound)?;
    accounts::set_disabled(&mut writing, account.id, disabled.then_some(now)).await?;
    keep_an_administrator(&mut writing, account.role == Role::Administrator).await?;
    if disabled {
        sign_ins::delete_all(&mut writing, account.id).await?;
    }
    let verb = if disabled {
        "disabled an account"
    } else {
        "enabled an account"
    };
    audit::add(
        &mut writing,
        now,
        by.pid(),
        verb,
        Some(account.pid.as_str()),
        "",
    )
    .await?;
    Ok(writing.commit().await?)
}

async fn keep_an_administrator(
    writing: &mut Writing,
    was_administrator: bool,
) -> Result<(), ActionError> {
    if was_administrator && accounts::able_administrators(writing).await? == 0 {
        return Err(ActionError::refused(
            "role",
            "The club needs one administrator who can sign in. Make another first.",
        ));
    }
    Ok(())
}
