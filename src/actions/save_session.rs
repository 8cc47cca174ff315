//! Keeping an angler's own report of a session.

use std::ops::ControlFlow;

use super::{
    ActionError, By,
    report_in_match::{joinable, must_agree_anew},
    tokens::{new_pid, random},
};
use crate::{
    domain::{dates::Instant, ids::*, names::Name, sessions::Report},
    store::{
        Connection, Db, Writing, anglers, audit,
        matches::sessions,
        sessions::{
            keeping::{self, NewSession},
            overlapping::{self, Overlapping},
            reading::{self, MatchSession},
            refresh_catches, work_out_catches,
        },
        submissions::{self, Accepted},
    },
};

/// A report as it was sent.
pub struct Sent<'a> {
    /// The form's own identifier, 16 to 64 characters.
    pub key: &'a str,
    pub body_sha256: [u8; 32],
    pub report: &'a Report,
    /// The zone of its water.
    pub zone: &'a str,
    /// Who the angler is, where the account has none yet.
    pub name: Option<&'a Name>,
    /// They say that they are not the one of that name on the club's list.
    pub another_person: bool,
    /// It was said to be another session than the one reported of the same hours, or in the same words.
    pub another: bool,
}

/// What became of it.
#[derive(Debug, PartialEq)]
pub enum Kept {
    /// Saved as, or joined to, this session.
    Saved(Pid),
    /// The same form was accepted before, with the same words: its answer again.
    Already(Pid),
    /// The same words became this report within the hour, from another form, and no hours tell two
    /// reports apart: nothing was kept.
    SentBefore(Pid),
    /// The same form was accepted before with other words: nothing was changed.
    OtherWords(Pid),
    /// The same form was accepted from another account: nothing was kept.
    OfAnother,
    /// This session of the angler's own, at whatever water, was in the same hours: nothing was kept.
    Overlaps(Overlapping),
    /// This own report tells of the same match: nothing was kept.
    Reported(Pid),
}

/// Keeps a report once. It joins the session of a match that the angler fished there that day in
/// the same hours; the official weights stay, the angler's own figures are kept beside them.
pub async fn keep(db: &Db, now: Instant, by: &By, sent: Sent<'_>) -> Result<Kept, ActionError> {
    let mut writing = db.write().await?;
    let place = match judge(&mut writing, now, by, &sent).await? {
        ControlFlow::Continue(place) => place,
        ControlFlow::Break(kept) => return Ok(kept),
    };
    let pid = put(&mut writing, now, by, &sent, place).await?;
    writing.commit().await?;
    Ok(Kept::Saved(pid))
}

/// What `keep` would answer, with nothing kept: for a report that is only read back.
pub async fn would_keep(
    db: &Db,
    now: Instant,
    by: &By,
    sent: Sent<'_>,
) -> Result<Kept, ActionError> {
    let mut never_committed = db.write().await?;
    Ok(match judge(&mut never_committed, now, by, &sent).await? {
        ControlFlow::Continue(place) => Kept::Saved(place.pid),
        ControlFlow::Break(kept) => kept,
    })
}

/// Where a report that nothing speaks against is to be kept.
struct Place {
    account: AccountId,
    angler: anglers::Angler,
    joined: Option<MatchSession>,
    pid: Pid,
}

/// Whether a report may be kept; makes its angler where the account has none.
async fn judge(
    writing: &mut Writing,
    now: Instant,
    by: &By,
    sent: &Sent<'_>,
) -> Result<ControlFlow<Kept, Place>, ActionError> {
    let account = by.account().ok_or(ActionError::NotAllowed)?;
    if let Some(before) = submissions::by_key(writing, sent.key).await? {
        let same = before.body_sha256 == sent.body_sha256;
        return Ok(ControlFlow::Break(match Pid::parse(&before.answer_json) {
            Some(pid) if before.owner == account && same => Kept::Already(pid),
            Some(pid) if before.owner == account => Kept::OtherWords(pid),
            _ => Kept::OfAnother,
        }));
    }
    let angler = the_angler(writing, by, account, (sent.name, sent.another_person)).await?;
    let report = sent.report;
    if !sent.another {
        if let Some(other) = in_those_hours(writing, angler.id, None, report).await? {
            return Ok(ControlFlow::Break(Kept::Overlaps(other)));
        }
        if let Some(pid) = sent_before(writing, now, account, sent).await? {
            return Ok(ControlFlow::Break(Kept::SentBefore(pid)));
        }
    }
    let joined = joinable(writing, angler.id, report).await?;
    let pid = match &joined {
        Some(session) if session.has_report => {
            return Ok(ControlFlow::Break(Kept::Reported(session.pid.clone())));
        }
        Some(session) => session.pid.clone(),
        None => new_pid(),
    };
    must_agree_anew(writing, angler.id, joined.as_ref(), report).await?;
    Ok(ControlFlow::Continue(Place {
        account,
        angler,
        joined,
        pid,
    }))
}

/// Puts the report into the record.
async fn put(
    writing: &mut Writing,
    now: Instant,
    by: &By,
    sent: &Sent<'_>,
    place: Place,
) -> Result<Pid, ActionError> {
    let Place {
        account,
        angler,
        joined,
        pid,
    } = place;
    let report = sent.report;
    let accepted = Accepted {
        key: sent.key,
        owner: account,
        kind: "report",
        body_sha256: &sent.body_sha256,
        answer_json: pid.as_str(),
        received: now,
    };
    submissions::insert(writing, &accepted).await?;
    match joined {
        Some(session) => {
            keeping::update(writing, session.id, report).await?;
            keeping::replace_parts(writing, session.id, report).await?;
            sessions::fill_gaps(writing, session.id, session.entry).await?;
            refresh_catches(writing, session.id).await?;
        }
        None => {
            let new = NewSession {
                pid: &pid,
                angler: angler.id,
                zone: sent.zone,
                entered_by: Some(account),
                entered: now,
                was_junior: angler.is_junior,
                submission_key: Some(sent.key),
            };
            let id = keeping::insert(writing, &new, report).await?;
            keeping::add_parts(writing, id, report).await?;
            work_out_catches(writing, id).await?;
        }
    }
    // The latest answer stands chosen next time.
    let answer = report.visibility.as_str();
    if angler.default_visibility.as_deref() != Some(answer) {
        anglers::set_default_visibility(writing, angler.id, answer).await?;
    }
    audit::add(
        writing,
        now,
        by.pid(),
        "reported a session",
        Some(pid.as_str()),
        "",
    )
    .await?;
    Ok(pid)
}

/// Another session of the angler's in the hours of a report, where it has hours.
pub(super) async fn in_those_hours(
    connection: &mut Connection,
    angler: AnglerId,
    but: Option<SessionId>,
    report: &Report,
) -> Result<Option<Overlapping>, ActionError> {
    let Some(hours) = report.start.zip(report.end) else {
        return Ok(None);
    };
    let of_those = (report.venue, report.day, hours);
    Ok(overlapping::first(connection, angler, but, of_those).await?)
}

/// The same of a report that is not to be kept yet, for a form that shows at once all that has to
/// be mended; none of a form that was accepted before.
pub async fn overlaps(
    db: &Db,
    by: &By,
    key: &str,
    report: &Report,
) -> Result<Option<Overlapping>, ActionError> {
    let Some(angler) = by.angler() else {
        return Ok(None);
    };
    let mut reading = db.read().await?;
    if submissions::by_key(&mut reading, key).await?.is_some() {
        return Ok(None);
    }
    in_those_hours(&mut reading, angler, None, report).await
}

/// The report that the same words became within the hour, where no hours tell two reports apart:
/// whoever goes back to a form whose answer was lost sends it from a fresh page, with a fresh key;
/// whoever fished twice, and caught the same, may say so.
async fn sent_before(
    writing: &mut Writing,
    now: Instant,
    account: AccountId,
    sent: &Sent<'_>,
) -> Result<Option<Pid>, ActionError> {
    if sent.report.start.is_some() {
        return Ok(None);
    }
    let since = now.plus_seconds(-3_600);
    let answer = submissions::same_words(writing, account, &sent.body_sha256, since).await?;
    let Some(pid) = answer.and_then(|answer| Pid::parse(&answer)) else {
        return Ok(None);
    };
    let head = reading::by_pid(writing, &pid).await?;
    Ok(head.filter(|head| head.has_report).map(|head| head.pid))
}

/// The account's angler, made from `name` where it has none.
///
/// Errors: `Refused` at `given` when somebody of that name is on the list without an account, who
/// may be the same person, unless `another` says not.
async fn the_angler(
    writing: &mut Writing,
    by: &By,
    account: AccountId,
    (name, another): (Option<&Name>, bool),
) -> Result<anglers::Angler, ActionError> {
    // Read again here: two first reports may be under way at once, and one makes the angler.
    if let Some(angler) = anglers::speaking_for(writing, account).await? {
        return Ok(angler);
    }
    let id = match (by.angler(), name) {
        (Some(id), _) => id,
        (None, Some(name)) => {
            let list = anglers::all(writing).await?;
            let may_be = |one: &anglers::Angler| one.account.is_none() && one.is_called(name);
            if !another && list.iter().any(may_be) {
                return Err(ActionError::refused(
                    "given",
                    format!(
                        "{} is on the club’s list already. Ask an officer to join your account to it before you report, or tick that you are another person.",
                        name.full()
                    ),
                ));
            }
            let salt = random::<16>();
            let id = anglers::insert(
                writing,
                &new_pid(),
                name.given(),
                name.surname(),
                &salt,
                false,
                None,
            )
            .await?;
            anglers::set_account(writing, id, Some(account)).await?;
            id
        }
        (None, None) => {
            return Err(ActionError::refused(
                "given",
                "Enter your first name, so that the report is yours.",
            ));
        }
    };
    anglers::by_id(writing, id)
        .await?
        .ok_or(ActionError::NotFound)
}
