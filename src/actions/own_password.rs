//! Changing one's own password: the present one is asked, and every other browser is signed out.

use super::{
    ActionError,
    guesses::{Claim, Guess},
    passwords::{Hasher, Verdict},
    tokens::Token,
};
use crate::{
    domain::{accounts::folded_name, dates::Instant, passwords::judge},
    store::{
        Db, accounts, audit, settings,
        sign_ins::{self, SignedIn},
    },
};

/// What the form brings.
pub struct Change<'a> {
    pub current: &'a str,
    pub new: &'a str,
    pub address: &'a str,
    pub device_words: &'a str,
}

/// Changes the password and gives the token of the one sign-in that is left, this browser's own
/// under a new number. Links for a new password that lie about stop working.
pub async fn change(
    db: &Db,
    hasher: &Hasher,
    now: Instant,
    who: &SignedIn,
    change: Change<'_>,
) -> Result<String, ActionError> {
    let mut reading = db.read().await?;
    let account = accounts::by_id(&mut reading, who.account)
        .await?
        .ok_or(ActionError::NotFound)?;
    let club = settings::club(&mut reading).await?;
    drop(reading);
    judge(change.new, &account.name, &club.name)
        .map_err(|sentence| ActionError::refused("new", sentence))?;
    let key = folded_name(&account.name);
    let guess = match Guess::claim(db, now, &key, change.address, true).await? {
        Claim::Wait(_) => {
            return Err(ActionError::refused(
                "current",
                "Too many wrong tries. Wait a quarter of an hour and try again.",
            ));
        }
        Claim::Counted(guess) => guess,
    };
    let phc = account.phc.as_deref();
    if hasher.check(change.current, phc).await? == Verdict::Wrong {
        return Err(ActionError::refused(
            "current",
            "That is not your password now. Capitals matter.",
        ));
    }
    let phc = hasher.hash(change.new).await?;
    let mut writing = db.write().await?;
    guess.was_right(&mut writing).await?;
    accounts::set_password(&mut writing, account.id, &phc).await?;
    for kind in ["reset", "invite"] {
        accounts::cancel_links(&mut writing, Some(account.id), kind, now).await?;
    }
    sign_ins::delete_all(&mut writing, account.id).await?;
    let token = Token::new();
    sign_ins::insert(
        &mut writing,
        &token.sha256,
        account.id,
        now,
        change.device_words,
    )
    .await?;
    let by = Some(&account.pid);
    audit::add(&mut writing, now, by, "changed own password", None, "").await?;
    writing.commit().await?;
    Ok(token.secret)
}
