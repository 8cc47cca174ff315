//! Signing in and out.
//!
//! An unknown name and a wrong password are told apart by nobody: same words, same work.

use super::{
    ActionError, By,
    passwords::{Hasher, Verdict},
    tokens::{Token, hash},
};
use crate::{
    domain::{accounts::folded_name, dates::Instant, ids::SignInId, throttle},
    store::{Db, accounts, audit, sign_ins},
};

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
