//! Signing in and out.
//!
//! An unknown name and a wrong password are told apart by nobody: same words, same work.

use super::{
    ActionError, By,
    guesses::{Claim, Guess},
    passwords::{Hasher, Verdict},
    tokens::{Token, hash},
};
use crate::{
    domain::{accounts::folded_name, dates::Instant, ids::SignInId},
    store::{
        Db,
        accounts::{self, Account},
        audit, sign_ins,
    },
};

/// What is known of somebody asking to sign in.
pub struct SignInTry<'a> {
    pub name: &'a str,
    pub password: &'a str,
    pub address: &'a str,
    pub device_words: &'a str,
    /// The long-lived cookie of a device that has signed in before.
    pub device_token: Option<&'a str>,
    /// The sign-in that this browser holds already: it ends when the new one begins.
    pub replaces: Option<SignInId>,
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
    let (account, known_device) = sought(db, &key, attempt.device_token).await?;
    let guess = match Guess::claim(db, now, &key, attempt.address, known_device).await? {
        Claim::Wait(seconds) => return Ok(SignInAnswer::Wait { seconds }),
        Claim::Counted(guess) => guess,
    };
    let phc = account.as_ref().and_then(|a| a.phc.as_deref());
    let verdict = match hasher.check(attempt.password, phc).await {
        Ok(verdict) => verdict,
        Err(error) => {
            guess.taken_back(db).await?;
            return Err(error);
        }
    };
    let Some(account) = account.filter(|_| verdict != Verdict::Wrong) else {
        let mut writing = db.write().await?;
        audit::add(&mut writing, now, None, "sign-in refused", None, "").await?;
        writing.commit().await?;
        return Ok(SignInAnswer::Wrong);
    };
    let renewed = match verdict {
        Verdict::RightButOld => Some(hasher.hash(attempt.password).await?),
        _ => None,
    };
    let mut writing = db.write().await?;
    if let Some(phc) = renewed {
        accounts::set_password(&mut writing, account.id, &phc).await?;
    }
    guess.was_right(&mut writing).await?;
    if let Some(before) = attempt.replaces {
        sign_ins::delete(&mut writing, before).await?;
    }
    let token = Token::new();
    let words = attempt.device_words;
    sign_ins::insert(&mut writing, &token.sha256, account.id, now, words).await?;
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

/// The account of a name, unless it is disabled, and whether this device has signed in to it before.
async fn sought(
    db: &Db,
    name_key: &str,
    device_token: Option<&str>,
) -> Result<(Option<Account>, bool), ActionError> {
    let mut reading = db.read().await?;
    let account = accounts::by_name_key(&mut reading, name_key)
        .await?
        .filter(|a| a.disabled.is_none());
    let known_device = match (&account, device_token) {
        (Some(account), Some(token)) => {
            accounts::is_known_device(&mut reading, account.id, &hash(token)).await?
        }
        _ => false,
    };
    Ok((account, known_device))
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
