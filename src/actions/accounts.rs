//! Signing in and out, invites, resets, roles.
//!
//! An unknown name and a wrong password are told apart by nobody: same words, same work.

use super::{
    ActionError, By,
    passwords::{Hasher, Verdict},
    tokens::{Token, hash, new_pid},
};
use crate::{
    domain::{
        accounts::{Role, folded_name},
        dates::Instant,
        ids::{AccountId, Pid, SignInId},
        passwords::judge as judge_password,
        throttle,
    },
    store::{Db, Writing, accounts, audit, sign_ins},
};

const HOUR: i64 = 3_600;
const DAY: i64 = 24 * HOUR;

/// What is known of somebody asking to sign in.
pub struct SignInTry<'a> {
    pub name: &'a str,
    pub password: &'a str,
    pub address: &'a str,
    pub device_words: &'a str,
    /// The long-lived cookie of a device that has signed in before.
    pub device_token: Option<&'a str>,
}

/// How it went.
pub enum SignInAnswer {
    /// The token for the cookie, and the device's own if it had none.
    In {
        token: String,
        device: String,
    },
    Wrong,
    /// Too many wrong tries: this many seconds are left to wait.
    Wait {
        seconds: i64,
    },
}

/// Signs somebody in, slowing guesses per name and per address. A device that has signed in to the
/// account before is not made to wait for a stranger's guesses.
pub async fn sign_in(
    db: &Db,
    hasher: &Hasher,
    now: Instant,
    attempt: SignInTry<'_>,
) -> Result<SignInAnswer, ActionError> {
    let key = folded_name(attempt.name);
    let subjects = [("account", hash(&key)), ("address", hash(attempt.address))];
    let mut reading = db.read().await?;
    let account = accounts::by_name_key(&mut reading, &key)
        .await?
        .filter(|a| a.disabled.is_none());
    let known_device = match (&account, attempt.device_token) {
        (Some(account), Some(token)) => {
            accounts::is_known_device(&mut reading, account.id, &hash(token)).await?
        }
        _ => false,
    };
    for (kind, subject) in &subjects {
        if known_device && *kind == "account" {
            continue;
        }
        let seconds = accounts::failures(&mut reading, kind, subject)
            .await?
            .map_or(0, |(failures, last)| {
                throttle::wait_seconds(failures, last, now)
            });
        if seconds > 0 {
            return Ok(SignInAnswer::Wait { seconds });
        }
    }
    drop(reading);

    let phc = account.as_ref().and_then(|a| a.phc.as_deref());
    let verdict = hasher.check(attempt.password, phc).await?;
    let renewed = match verdict {
        Verdict::RightButOld => Some(hasher.hash(attempt.password).await?),
        _ => None,
    };
    let mut writing = db.write().await?;
    let Some(account) = account.filter(|_| verdict != Verdict::Wrong) else {
        for (kind, subject) in &subjects {
            accounts::add_failure(&mut writing, kind, subject, now).await?;
        }
        audit::add(&mut writing, now, None, "sign-in refused", None, "").await?;
        writing.commit().await?;
        return Ok(SignInAnswer::Wrong);
    };
    if let Some(phc) = renewed {
        accounts::set_password(&mut writing, account.id, &phc).await?;
    }
    accounts::forget_failures(&mut writing, "account", &subjects[0].1).await?;
    let token = Token::new();
    sign_ins::insert(
        &mut writing,
        &token.sha256,
        account.id,
        now,
        attempt.device_words,
    )
    .await?;
    let device = attempt
        .device_token
        .map_or_else(|| Token::new().secret, str::to_owned);
    accounts::remember_device(&mut writing, account.id, &hash(&device), now).await?;
    audit::add(&mut writing, now, Some(&account.pid), "signed in", None, "").await?;
    writing.commit().await?;
    Ok(SignInAnswer::In {
        token: token.secret,
        device,
    })
}

/// Gives the password again, for what an officer may do only after a recent one.
pub async fn confirm_password(
    db: &Db,
    hasher: &Hasher,
    now: Instant,
    who: &sign_ins::SignedIn,
    password: &str,
) -> Result<bool, ActionError> {
    let account = accounts::by_id(&mut *db.read().await?, who.account).await?;
    let right = hasher
        .check(password, account.as_ref().and_then(|a| a.phc.as_deref()))
        .await?
        != Verdict::Wrong;
    let mut writing = db.write().await?;
    if right {
        sign_ins::confirm(&mut writing, who.sign_in, now).await?;
    } else {
        accounts::add_failure(&mut writing, "account", &hash(&folded_name(&who.name)), now).await?;
    }
    writing.commit().await?;
    Ok(right)
}

pub async fn sign_out(db: &Db, now: Instant, by: &By, id: SignInId) -> Result<(), ActionError> {
    let mut writing = db.write().await?;
    sign_ins::delete(&mut writing, id).await?;
    audit::add(&mut writing, now, by.pid(), "signed out", None, "").await?;
    Ok(writing.commit().await?)
}

/// Signs out every browser of the account but this one.
pub async fn sign_out_others(
    db: &Db,
    now: Instant,
    by: &By,
    keep: SignInId,
) -> Result<(), ActionError> {
    let account = by.account().ok_or(ActionError::NotAllowed)?;
    let mut writing = db.write().await?;
    sign_ins::delete_others(&mut writing, account, keep).await?;
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "signed out elsewhere",
        None,
        "",
    )
    .await?;
    Ok(writing.commit().await?)
}

/// Notes that a sign-in is in use; once an hour is enough.
pub async fn seen(db: &Db, now: Instant, id: SignInId) -> Result<(), ActionError> {
    let mut writing = db.write().await?;
    sign_ins::touch(&mut writing, id, now).await?;
    Ok(writing.commit().await?)
}

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

/// A link with which an account chooses a new password, good for a day. Older ones stop working.
pub async fn offer_reset(
    db: &Db,
    now: Instant,
    by: &By,
    account: &Pid,
) -> Result<String, ActionError> {
    by.must_be_administrator()?;
    let mut writing = db.write().await?;
    let account = accounts::by_pid(&mut writing, account)
        .await?
        .ok_or(ActionError::NotFound)?;
    let token = Token::new();
    let (kind, days) = if account.phc.is_some() {
        ("reset", 1)
    } else {
        ("invite", 7)
    };
    accounts::cancel_links(&mut writing, Some(account.id), "reset", now).await?;
    accounts::cancel_links(&mut writing, Some(account.id), "invite", now).await?;
    accounts::insert_link(
        &mut writing,
        &token.sha256,
        kind,
        Some(account.id),
        now,
        now.plus_seconds(days * DAY),
    )
    .await?;
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "offered a new password",
        Some(account.pid.as_str()),
        kind,
    )
    .await?;
    writing.commit().await?;
    Ok(token.secret)
}

/// The link for the very first administrator, while there is none who can sign in.
pub async fn first_administrator_link(
    db: &Db,
    now: Instant,
) -> Result<Option<String>, ActionError> {
    let mut writing = db.write().await?;
    if accounts::able_administrators(&mut writing).await? > 0 {
        return Ok(None);
    }
    let token = Token::new();
    accounts::cancel_links(&mut writing, None, "first administrator", now).await?;
    accounts::insert_link(
        &mut writing,
        &token.sha256,
        "first administrator",
        None,
        now,
        now.plus_seconds(7 * DAY),
    )
    .await?;
    writing.commit().await?;
    Ok(Some(token.secret))
}

/// A demonstration sign-in: opening it signs in at once. Only the demo club makes these.
pub async fn demo_link(db: &Db, now: Instant, account: AccountId) -> Result<String, ActionError> {
    let token = Token::new();
    let mut writing = db.write().await?;
    accounts::insert_link(
        &mut writing,
        &token.sha256,
        "demo",
        Some(account),
        now,
        now.plus_seconds(7 * DAY),
    )
    .await?;
    writing.commit().await?;
    Ok(token.secret)
}

/// What a one-time link is good for. Looking does not spend it.
pub struct LinkInView {
    pub kind: String,
    /// The sign-in name it belongs to; the first administrator chooses one.
    pub name: Option<String>,
}

/// Looks at a link; `None` for every link that is used, expired, unknown or overtaken.
pub async fn look_at_link(
    db: &Db,
    now: Instant,
    secret: &str,
) -> Result<Option<LinkInView>, ActionError> {
    let mut reading = db.read().await?;
    let Some(link) = accounts::link(&mut reading, &hash(secret)).await? else {
        return Ok(None);
    };
    if link.used.is_some() || link.expires <= now {
        return Ok(None);
    }
    let name = match link.account_id {
        None => None,
        Some(id) => match accounts::by_id(&mut reading, id)
            .await?
            .filter(|a| a.disabled.is_none())
        {
            None => return Ok(None),
            Some(account) => Some(account.name),
        },
    };
    Ok(Some(LinkInView {
        kind: link.kind,
        name,
    }))
}

/// Uses a link: sets the password (but for a demonstration link) and signs in. Every other sign-in of the account ends.
pub async fn use_link(
    db: &Db,
    hasher: &Hasher,
    now: Instant,
    secret: &str,
    chosen_name: Option<&str>,
    password: Option<&str>,
    device_words: &str,
) -> Result<SignInAnswer, ActionError> {
    let view = look_at_link(db, now, secret)
        .await?
        .ok_or(ActionError::NotFound)?;
    let demo = view.kind == "demo";
    let name = view
        .name
        .as_deref()
        .or(chosen_name)
        .unwrap_or("")
        .trim()
        .to_owned();
    if name.is_empty() || name.chars().count() > 60 {
        return Err(ActionError::refused(
            "name",
            "Enter a sign-in name of 1 to 60 characters.",
        ));
    }
    let phc = if demo {
        None
    } else {
        let password = password.unwrap_or("");
        judge_password(password, &name)
            .map_err(|sentence| ActionError::refused("password", sentence))?;
        Some(hasher.hash(password).await?)
    };
    let mut writing = db.write().await?;
    if !accounts::spend_link(&mut writing, &hash(secret), now).await? {
        return Err(ActionError::NotFound);
    }
    let account = match accounts::by_name_key(&mut writing, &folded_name(&name)).await? {
        Some(account) if view.name.is_some() => account,
        Some(_) => {
            return Err(ActionError::refused(
                "name",
                "That sign-in name is in use. Choose another.",
            ));
        }
        None => {
            let id = accounts::insert(
                &mut writing,
                &new_pid(),
                &name,
                &folded_name(&name),
                Role::Administrator,
                now,
            )
            .await?;
            accounts::by_id(&mut writing, id)
                .await?
                .ok_or(ActionError::NotFound)?
        }
    };
    if let Some(phc) = phc {
        accounts::set_password(&mut writing, account.id, &phc).await?;
        sign_ins::delete_all(&mut writing, account.id).await?;
    }
    let token = Token::new();
    let device = Token::new();
    sign_ins::insert(&mut writing, &token.sha256, account.id, now, device_words).await?;
    accounts::remember_device(&mut writing, account.id, &device.sha256, now).await?;
    audit::add(
        &mut writing,
        now,
        Some(&account.pid),
        "used a one-time link",
        None,
        &view.kind,
    )
    .await?;
    writing.commit().await?;
    Ok(SignInAnswer::In {
        token: token.secret,
        device: device.secret,
    })
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
