//! Records what was weighed and what became of each entry. No figure moves before the result is
//! posted.

use std::collections::BTreeMap;

use super::{ActionError, By, open_match::open_match};
use crate::{
    domain::{
        dates::Instant,
        groups::GroupSet,
        ids::{EntryId, MatchId, NetId},
        matches::{MatchState, Outcome},
        units::Weight,
    },
    store::{
        Db, Writing, audit,
        matches::{self, entries, weights},
    },
};

/// What the sheet says of one entry.
pub struct Weighed {
    pub entry: EntryId,
    pub outcome: Option<Outcome>,
    /// By kind of net; the position in the list is the net's place among those of its kind.
    /// `None` takes a weight out.
    pub nets: Vec<(GroupSet, Vec<Option<Weight>>)>,
}

/// Saves the entries of a sheet that were changed; nothing happens where none was. An unchanged net
/// is left as it is; a changed one gets a new weighing.
///
/// Errors: `Changed` when `version` is old; `Refused` when the result is final, when the match is
/// called off, and when something is typed of a match whose day is still to come.
pub async fn record_weights(
    db: &Db,
    now: Instant,
    by: &By,
    (id, version): (MatchId, i64),
    sheet: &[Weighed],
) -> Result<(), ActionError> {
    let (mut writing, the_match) = open_match(
        db,
        by,
        id,
        "The result is final, so its weights stay as they are.",
    )
    .await?;
    if sheet.is_empty() {
        return Ok(());
    }
    let any = sheet.iter().any(|weighed| weighed.outcome.is_some());
    if any && the_match.on > now.day(&the_match.zone()) {
        return Err(ActionError::refused(
            "",
            format!(
                "This match is on {}, which is still to come. Weights can be saved from that day on. If the day is wrong, change the match first.",
                the_match.on.long()
            ),
        ));
    }
    let state = match the_match.state {
        MatchState::Planned if any => MatchState::Fished,
        state => state,
    };
    if !matches::step(&mut writing, id, version, state).await? {
        return Err(ActionError::Changed);
    }
    let known: BTreeMap<EntryId, entries::Entry> = entries::of_match(&mut writing, id)
        .await?
        .into_iter()
        .map(|entry| (entry.id, entry))
        .collect();
    let nets = weights::of_match(&mut writing, id).await?;
    for weighed in sheet {
        let entry = known.get(&weighed.entry).ok_or(ActionError::NotFound)?;
        let own: Vec<&weights::Net> = nets.iter().filter(|net| net.entry == entry.id).collect();
        save_nets(&mut writing, now, by, weighed, &own).await?;
        entries::set_outcome(&mut writing, entry.id, weighed.outcome).await?;
    }
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "recorded weights",
        Some(the_match.pid.as_str()),
        &format!("{} entries", sheet.len()),
    )
    .await?;
    Ok(writing.commit().await?)
}

async fn save_nets(
    writing: &mut Writing,
    now: Instant,
    by: &By,
    weighed: &Weighed,
    own: &[&weights::Net],
) -> Result<(), ActionError> {
    for (groups, typed) in &weighed.nets {
        let have: Vec<(NetId, Option<Weight>)> = own
            .iter()
            .filter(|net| net.groups == *groups)
            .map(|net| (net.id, net.weight))
            .collect();
        for (place, weight) in typed.iter().enumerate() {
            match (have.get(place), weight) {
                (Some((_, was)), is) if was == is => {}
                (Some((net, _)), is) => {
                    weights::choose(writing, *net, *is, by.account(), now).await?;
                }
                (None, None) => {}
                (None, is) => {
                    let net = weights::add_net(writing, weighed.entry, *groups).await?;
                    weights::choose(writing, net, *is, by.account(), now).await?;
                }
            }
        }
    }
    Ok(())
}
