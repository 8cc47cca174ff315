//! Keeping, changing and taking back an angler's own report of a session.

use super::{
    ActionError, By,
    report_in_match::{joinable, must_agree, must_agree_anew},
    tokens::{new_pid, random},
};
use crate::{
    domain::{dates::Instant, ids::*, names::Name, sessions::Report},
    store::{
        Db, Writing, anglers, audit,
        matches::sessions::{self, GivenByMatch},
        sessions::{
            keeping::{self, NewSession},
            overlapping::{self, Overlapping},
            reading::{self, Head},
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
    let account = by.account().ok_or(ActionError::NotAllowed)?;
    let mut writing = db.write().await?;
    if let Some(before) = submissions::by_key(&mut writing, sent.key).await? {
        let same = before.body_sha256 == sent.body_sha256;
        return match Pid::parse(&before.answer_json) {
            Some(pid) if before.owner == account && same => Ok(Kept::Already(pid)),
            Some(pid) if before.owner == account => Ok(Kept::OtherWords(pid)),
            _ => Ok(Kept::OfAnother),
        };
    }
    let angler = the_angler(&mut writing, by, account, (sent.name, sent.another_person)).await?;
    let report = sent.report;
    if !sent.another {
        if let Some(other) = in_those_hours(&mut writing, angler.id, None, report).await? {
            return Ok(Kept::Overlaps(other));
        }
        if let Some(pid) = sent_before(&mut writing, now, account, &sent).await? {
            return Ok(Kept::SentBefore(pid));
        }
    }
    let joined = joinable(&mut writing, angler.id, report).await?;
    let pid = match &joined {
        Some(session) if session.has_report => return Ok(Kept::Reported(session.pid.clone())),
        Some(session) => session.pid.clone(),
        None => new_pid(),
    };
    must_agree_anew(&mut writing, angler.id, joined.as_ref(), report).await?;
    let accepted = Accepted {
        key: sent.key,
        owner: account,
        kind: "report",
        body_sha256: &sent.body_sha256,
        answer_json: pid.as_str(),
        received: now,
    };
    submissions::insert(&mut writing, &accepted).await?;
    match joined {
        Some(session) => {
            keeping::update(&mut writing, session.id, report).await?;
            keeping::replace_parts(&mut writing, session.id, report).await?;
            sessions::fill_gaps(&mut writing, session.id, session.entry).await?;
            refresh_catches(&mut writing, session.id).await?;
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
            let id = keeping::insert(&mut writing, &new, report).await?;
            keeping::add_parts(&mut writing, id, report).await?;
            work_out_catches(&mut writing, id).await?;
        }
    }
    // The latest answer stands chosen next time.
    let answer = report.visibility.as_str();
    if angler.default_visibility.as_deref() != Some(answer) {
        anglers::set_default_visibility(&mut writing, angler.id, answer).await?;
    }
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "reported a session",
        Some(pid.as_str()),
        "",
    )
    .await?;
    writing.commit().await?;
    Ok(Kept::Saved(pid))
}

/// Another session of the angler's in the hours of a report, where it has hours.
async fn in_those_hours(
    writing: &mut Writing,
    angler: AnglerId,
    but: Option<SessionId>,
    report: &Report,
) -> Result<Option<Overlapping>, ActionError> {
    let Some(hours) = report.start.zip(report.end) else {
        return Ok(None);
    };
    let of_those = (report.venue, report.day, hours);
    Ok(overlapping::first(writing, angler, but, of_those).await?)
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

/// The session, when it is this person's own report.
async fn own(writing: &mut Writing, by: &By, session: &Pid) -> Result<Head, ActionError> {
    let head = reading::by_pid(writing, session)
        .await?
        .ok_or(ActionError::NotFound)?;
    if by.angler() != Some(head.angler) || !head.has_report {
        return Err(ActionError::NotFound);
    }
    Ok(head)
}

/// Puts a changed report in place of the one of version `ver`. Where its date or hours now fall
/// in a match of the angler's, the report becomes that entry's session.
///
/// Errors: `Changed` when the record has moved on since, unless it already says the same.
/// Otherwise it is `Kept::Saved`; `Kept::Reported` where that match has a report already; or
/// `Kept::Overlaps` where its hours were moved into those of another session, unless `another`
/// says that both are right.
pub async fn change(
    db: &Db,
    now: Instant,
    by: &By,
    session: &Pid,
    ver: i64,
    (report, another): (&Report, bool),
) -> Result<Kept, ActionError> {
    let mut writing = db.write().await?;
    let head = own(&mut writing, by, session).await?;
    if head.ver != ver {
        let saved = reading::report(&mut writing, &head).await?;
        return if saved == *report {
            Ok(Kept::Saved(head.pid))
        } else {
            Err(ActionError::Changed)
        };
    }
    if head.entry.is_some() && head.day != report.day {
        return Err(ActionError::refused(
            "date",
            format!(
                "This is your report of a match on {}. Keep that date.",
                head.day.long()
            ),
        ));
    }
    let moved = (head.day, head.start, head.end) != (report.day, report.start, report.end);
    if moved && !another {
        let other = in_those_hours(&mut writing, head.angler, Some(head.id), report).await?;
        if let Some(other) = other {
            return Ok(Kept::Overlaps(other));
        }
    }
    let joined = match head.entry {
        Some(_) => None,
        None => joinable(&mut writing, head.angler, report).await?,
    };
    if let Some(session) = joined.as_ref().filter(|session| session.has_report) {
        return Ok(Kept::Reported(session.pid.clone()));
    }
    must_agree(&mut writing, head.angler, Some(&head), report).await?;
    let given = sessions::given_by_match(&mut writing, head.id).await?;
    keeping::update(&mut writing, head.id, report).await?;
    keeping::replace_parts(&mut writing, head.id, report).await?;
    match (head.entry, joined) {
        (Some(entry), _) => {
            let given = still_given(given, &head, report);
            sessions::mark_given(&mut writing, head.id, given).await?;
            sessions::fill_gaps(&mut writing, head.id, entry).await?;
        }
        (None, Some(session)) => {
            sessions::delete(&mut writing, session.id).await?;
            sessions::attach(&mut writing, head.id, session.entry).await?;
        }
        (None, None) => {}
    }
    refresh_catches(&mut writing, head.id).await?;
    if head.visibility != report.visibility.as_str() {
        let answer = report.visibility.as_str();
        anglers::set_default_visibility(&mut writing, head.angler, answer).await?;
    }
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "changed a session",
        Some(session.as_str()),
        "",
    )
    .await?;
    writing.commit().await?;
    Ok(Kept::Saved(head.pid))
}

/// What the match gave and a form only gave back stays the match's.
fn still_given(given: GivenByMatch, head: &Head, report: &Report) -> GivenByMatch {
    let on = |peg: &PegId| report.spells.iter().all(|spell| spell.peg == Some(*peg));
    let same_hours = (head.start, head.end) == (report.start, report.end);
    let same_minutes = match report.spells.as_slice() {
        [spell] => spell.minutes == given.minutes,
        _ => false,
    };
    GivenByMatch {
        peg: given.peg.filter(on),
        hours: given.hours && same_hours && same_minutes,
        ..given
    }
}

/// Takes a report back: hidden everywhere. What a match recorded of the day stays.
pub async fn take_back(
    db: &Db,
    now: Instant,
    by: &By,
    session: &Pid,
    ver: i64,
) -> Result<(), ActionError> {
    let mut writing = db.write().await?;
    let head = own(&mut writing, by, session).await?;
    if head.ver != ver {
        return Err(ActionError::Changed);
    }
    match head.entry {
        Some(_) => keeping::detach_report(&mut writing, head.id).await?,
        None => keeping::remove(&mut writing, head.id, now).await?,
    }
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "took a session back",
        Some(session.as_str()),
        "",
    )
    .await?;
    Ok(writing.commit().await?)
}
