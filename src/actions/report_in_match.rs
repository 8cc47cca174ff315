//! The match that a report tells of, and in what the two contradict each other. A match's hours and
//! its draw are the match's, before its result is posted as after.

use super::{ActionError, By};
use crate::{
    domain::{
        dates::Zone,
        ids::AnglerId,
        sessions::{Report, match_part::Against},
    },
    store::{
        Connection, Db,
        sessions::{
            booked::{self, MatchEntry},
            reading::{self, Head, MatchSession},
        },
    },
};

/// The session of a match that the angler fished there that day in the report's hours.
pub(super) async fn joinable(
    connection: &mut Connection,
    angler: AnglerId,
    report: &Report,
) -> Result<Option<MatchSession>, ActionError> {
    Ok(
        reading::match_sessions(connection, angler, report.venue, report.day)
            .await?
            .into_iter()
            .find(|session| report.overlaps(session.start, session.end)),
    )
}

/// The angler's entry in a match of that day, there and in the report's hours, whose result is not
/// posted yet.
pub async fn awaited(
    connection: &mut Connection,
    angler: AnglerId,
    report: &Report,
) -> Result<Option<MatchEntry>, ActionError> {
    let of_day = booked::entries_not_posted(connection, angler, report.venue, report.day).await?;
    Ok(of_day
        .into_iter()
        .find(|entry| report.overlaps(entry.start, entry.finish)))
}

/// The match that a report of this angler's belongs to: the one it is part of already, or would join.
async fn of_report(
    connection: &mut Connection,
    angler: AnglerId,
    head: Option<&Head>,
    report: &Report,
) -> Result<Option<MatchEntry>, ActionError> {
    if let Some(entry) = head.and_then(|head| head.entry) {
        let of_day = reading::match_sessions(connection, angler, report.venue, report.day).await?;
        let own = of_day.iter().find(|session| session.entry == entry);
        return Ok(own.map(MatchEntry::from));
    }
    match joinable(connection, angler, report).await? {
        Some(session) => Ok(Some(MatchEntry::from(&session))),
        None => awaited(connection, angler, report).await,
    }
}

/// Refuses a report that would rewrite the peg or the hours of the match it is part of.
pub(super) async fn must_agree(
    connection: &mut Connection,
    angler: AnglerId,
    head: Option<&Head>,
    report: &Report,
) -> Result<(), ActionError> {
    let entry = of_report(connection, angler, head, report).await?;
    agreed(entry, report)
}

/// The same of a report that is new; `joined`: the session that it joins.
pub(super) async fn must_agree_anew(
    connection: &mut Connection,
    angler: AnglerId,
    joined: Option<&MatchSession>,
    report: &Report,
) -> Result<(), ActionError> {
    let entry = match joined {
        Some(session) => Some(MatchEntry::from(session)),
        None => awaited(connection, angler, report).await?,
    };
    agreed(entry, report)
}

fn agreed(entry: Option<MatchEntry>, report: &Report) -> Result<(), ActionError> {
    match entry.and_then(|entry| contradictions(report, &entry).into_iter().next()) {
        Some((field, sentence)) => Err(ActionError::refused(field, sentence)),
        None => Ok(()),
    }
}

/// Everything in which a report contradicts its match, by field: for a form that shows at once all
/// that has to be mended. `head`: the report that is being changed.
pub async fn all_against(
    db: &Db,
    by: &By,
    head: Option<&Head>,
    report: &Report,
) -> Result<Vec<(&'static str, String)>, ActionError> {
    let Some(angler) = by.angler() else {
        return Ok(Vec::new());
    };
    let mut reading = db.read().await?;
    let entry = of_report(&mut reading, angler, head, report).await?;
    let told = entry.map(|entry| contradictions(report, &entry));
    Ok(told.unwrap_or_default())
}

fn contradictions(report: &Report, entry: &MatchEntry) -> Vec<(&'static str, String)> {
    let (part, name) = (entry.part(), &entry.match_name);
    let zone = Zone::named(&entry.zone).unwrap_or(Zone::utc());
    let hours = || {
        format!(
            "{name} {}. Report what you fished before or after it as a session of its own.",
            part.hours_words(&zone)
        )
    };
    let told = |against| match against {
        Against::Start => ("start", hours()),
        Against::End => ("end", hours()),
        Against::Peg => (
            "peg",
            format!(
                "You drew peg {} in {name}. Leave the peg empty, or ask the organiser to put the draw right.",
                entry.drawn_number.as_deref().unwrap_or("")
            ),
        ),
    };
    report.against(&part).into_iter().map(told).collect()
}
