//! What an entry in a match says already of the report that will join it.

use super::{choices::Choices, pairs};
use crate::{
    domain::ids::Pid,
    store::sessions::reading,
    web::{errors::PageError, people::Member, state::Site},
};

/// The name of the match that a session of the member's own comes from, and what it says already of
/// a report: the day, the drawn peg and the hours.
pub(super) async fn told(
    site: &Site,
    member: &Member,
    session: &str,
    choices: &Choices,
) -> Result<Option<(String, Vec<(String, String)>)>, PageError> {
    let Some(pid) = Pid::parse(session) else {
        return Ok(None);
    };
    let mut reading = site.db.read().await?;
    let head = reading::by_pid(&mut reading, &pid).await?.filter(|head| {
        member.who.angler == Some(head.angler) && head.venue == choices.water.id && !head.has_report
    });
    let Some(head) = head else {
        return Ok(None);
    };
    let Some(name) = head.match_name.clone() else {
        return Ok(None);
    };
    let entry = reading::report(&mut reading, &head).await?;
    let mut told = pairs::pairs_of(&entry, choices);
    told.retain(|(name, _)| matches!(name.as_str(), "date" | "peg" | "start" | "end"));
    Ok(Some((name, told)))
}
