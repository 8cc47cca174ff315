//! One-time links: to choose a password, and to be the first administrator.
//!
//! A link is kept as a hash, and whoever makes it never learns the password that is chosen with it.

use super::{
    ActionError, By,
    passwords::Hasher,
    sign_in::SignInAnswer,
    tokens::{Token, hash, new_pid},
};
use crate::{
    domain::{
        accounts::{Role, folded_name},
        dates::Instant,
        ids::{AccountId, Pid},
        passwords::judge as judge_password,
    },
    store::{
        Db,
        accounts::{self, OneTimeLink},
        audit, settings, sign_ins,
    },
};

pub(super) const DAY: i64 = 86_400;

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

/// The link for the very first administrator, while none can sign in and none is signed in.
pub async fn first_administrator_link(
    db: &Db,
    now: Instant,
) -> Result<Option<String>, ActionError> {
    let mut writing = db.write().await?;
    if accounts::has_administrator_inside(&mut writing).await? {
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
    /// The account it belongs to and its sign-in name; the first administrator has none yet.
    pub account: Option<AccountId>,
    pub name: Option<String>,
}

/// Looks at a link; `None` for every link that is used, expired, unknown or overtaken.
pub async fn look_at_link(
    db: &Db,
    now: Instant,
    secret: &str,
) -> Result<Option<LinkInView>, ActionError> {
    let mut reading = db.read().await?;
    let found = accounts::link(&mut reading, &hash(secret)).await?;
    let works = |link: &OneTimeLink| link.used.is_none() && link.expires > now && !link.disabled;
    let Some(link) = found.filter(works) else {
        return Ok(None);
    };
    if link.kind == "first administrator" && accounts::able_administrators(&mut reading).await? > 0
    {
        return Ok(None);
    }
    Ok(Some(LinkInView {
        kind: link.kind,
        account: link.account_id,
        name: link.name,
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
        let club = settings::club(&mut *db.read().await?).await?.name;
        judge_password(password, &name, &club)
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
