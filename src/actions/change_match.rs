//! Changes a match that was made, calls it off, and puts it on again. What stands posted of it
//! follows with the next posting only.

use super::{ActionError, By, make_match::kinds_stand, open_match::match_to_change};
use crate::{
    domain::{
        dates::{Instant, Zone},
        ids::{MatchId, MatchTeamId, SectionId},
        matches::MatchState,
    },
    store::{
        Db, StoreError, Writing, audit,
        matches::{self, Match, NewMatch, changing, entries, publications, weights},
    },
};

/// What a match is to be.
pub struct MatchChange {
    /// The match as it would be made today; its sections and teams are those to add, and its
    /// identifier is not read.
    pub head: NewMatch,
    /// Sections on record under the names they are to have; an empty name takes one out.
    pub sections: Vec<(SectionId, String)>,
    pub teams: Vec<(MatchTeamId, String)>,
}

const WHEN_FINAL: &str = "The result is final, so the match stays as it is.";

/// May the scales and the fish that count still be changed: nobody has a weight, nothing is posted?
pub fn weighing_is_open(the_match: &Match, nets: &[weights::Net]) -> bool {
    !the_match.state.is_posted() && nets.iter().all(|net| net.weight.is_none())
}

/// Changes the match. The venue stays once anybody was entered; scales and counted fish once
/// somebody has a weight.
///
/// Errors: `Changed` when `version` is old; `Refused` when the result is final, when a match with
/// an outcome would be on a day still to come, when a section or team to take out is in use, and
/// when two would have one name.
pub async fn change_match(
    db: &Db,
    now: Instant,
    by: &By,
    (id, version): (MatchId, i64),
    change: &MatchChange,
) -> Result<(), ActionError> {
    let (mut writing, was) = match_to_change(db, by, id, WHEN_FINAL).await?;
    if !changing::set_head(&mut writing, (id, version), &change.head).await? {
        return Err(ActionError::Changed);
    }
    if change.head.venue != was.venue && changing::anybody(&mut writing, id).await? {
        return Err(ActionError::refused(
            "venue",
            "Somebody is entered on pegs of that venue, so it stays. Call this match off and make another.",
        ));
    }
    fished_by_then(&mut writing, now, &was, &change.head).await?;
    set_weighing(&mut writing, &was, &change.head).await?;
    set_names(&mut writing, id, change).await?;
    let subject = Some(was.pid.as_str());
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "changed a match",
        subject,
        &changed(&was, &change.head).join(", "),
    )
    .await?;
    Ok(writing.commit().await?)
}

/// Refuses to move a match in which anybody has an outcome to a day still to come.
async fn fished_by_then(
    writing: &mut Writing,
    now: Instant,
    was: &Match,
    head: &NewMatch,
) -> Result<(), ActionError> {
    let zone = Zone::named(&head.zone).unwrap_or_else(Zone::utc);
    let ahead = head.on != was.on && head.on > now.day(&zone);
    if ahead && anybody_has_an_outcome(writing, was.id).await? {
        return Err(ActionError::refused(
            "on",
            format!(
                "{} is still to come, and somebody has an outcome in this match already. Enter the day it was fished, or take the outcomes out at “Enter weights” first.",
                head.on.long()
            ),
        ));
    }
    Ok(())
}

async fn anybody_has_an_outcome(writing: &mut Writing, id: MatchId) -> Result<bool, StoreError> {
    let entered = entries::of_match(writing, id).await?;
    Ok(entered.iter().any(|entry| entry.outcome.is_some()))
}

async fn set_weighing(
    writing: &mut Writing,
    was: &Match,
    head: &NewMatch,
) -> Result<(), ActionError> {
    let kinds = matches::net_kinds(writing, was.id).await?;
    let mut wanted = head.net_kinds.clone();
    wanted.sort();
    if head.ranking == was.ranking() && wanted == kinds {
        return Ok(());
    }
    kinds_stand(&head.net_kinds)?;
    let nets = weights::of_match(writing, was.id).await?;
    if !weighing_is_open(was, &nets) {
        return Err(ActionError::refused(
            "ranking",
            "Somebody has a weight already, so the scales and the fish that count stay.",
        ));
    }
    Ok(changing::set_weighing(writing, was.id, head).await?)
}

async fn set_names(
    writing: &mut Writing,
    id: MatchId,
    change: &MatchChange,
) -> Result<(), ActionError> {
    let in_use = changing::sections_in_use(writing, id).await?;
    if takes_out(&change.sections, &in_use) {
        return Err(ActionError::refused(
            "sections",
            "Somebody is in a section that has no name now. Move them first, or give it a name.",
        ));
    }
    let in_use = changing::teams_in_use(writing, id).await?;
    if takes_out(&change.teams, &in_use) {
        return Err(ActionError::refused(
            "teams",
            "Somebody fishes for a team that has no name now. Move them first, or give it a name.",
        ));
    }
    changing::set_sections(writing, id, &change.sections, &change.head.sections)
        .await
        .map_err(|error| named_twice(error, "sections"))?;
    changing::set_teams(writing, id, &change.teams, &change.head.teams)
        .await
        .map_err(|error| named_twice(error, "teams"))
}

/// Is any that is in use without a name?
fn takes_out<I: PartialEq>(named: &[(I, String)], in_use: &[I]) -> bool {
    named
        .iter()
        .any(|(id, name)| name.is_empty() && in_use.contains(id))
}

fn named_twice(error: StoreError, field: &'static str) -> ActionError {
    if error.is_taken("name") {
        ActionError::refused(field, "A name is given twice. Give each name once.")
    } else {
        error.into()
    }
}

/// Which parts are otherwise now: their names, not their words.
fn changed(was: &Match, is: &NewMatch) -> Vec<&'static str> {
    [
        ("name", was.name != is.name),
        ("venue", was.venue != is.venue),
        ("date", was.on != is.on),
        ("meeting place", was.meet_place != is.meet_place),
        (
            "times",
            (was.meet, was.start, was.finish) != (is.meet, is.start, is.finish),
        ),
        ("pegs", was.pegs_allotted != is.pegs_allotted),
        ("scales", was.ranking() != is.ranking),
    ]
    .into_iter()
    .filter_map(|(part, other)| other.then_some(part))
    .collect()
}

/// Calls a match off that has no result.
///
/// Errors: `Changed` when `version` is old; `Refused` once a result was posted.
pub async fn call_off(
    db: &Db,
    now: Instant,
    by: &By,
    (id, version): (MatchId, i64),
) -> Result<(), ActionError> {
    let (mut writing, the_match) = match_to_change(db, by, id, WHEN_FINAL).await?;
    let posted = publications::of_match(&mut writing, id).await?;
    if the_match.state.is_posted() || !posted.is_empty() {
        return Err(ActionError::refused(
            "",
            "The result of this match is published, so it was fished and cannot be called off.",
        ));
    }
    step(
        writing,
        (now, by),
        (&the_match, version),
        MatchState::Abandoned,
    )
    .await
}

/// Puts a match on again that was called off: as fished when anybody has an outcome, else as planned.
///
/// Errors: `Changed` when `version` is old, and when the match is not called off.
pub async fn put_on_again(
    db: &Db,
    now: Instant,
    by: &By,
    (id, version): (MatchId, i64),
) -> Result<(), ActionError> {
    let (mut writing, the_match) = match_to_change(db, by, id, WHEN_FINAL).await?;
    if the_match.state != MatchState::Abandoned {
        return Err(ActionError::Changed);
    }
    let state = match anybody_has_an_outcome(&mut writing, id).await? {
        true => MatchState::Fished,
        false => MatchState::Planned,
    };
    step(writing, (now, by), (&the_match, version), state).await
}

async fn step(
    mut writing: Writing,
    (now, by): (Instant, &By),
    (the_match, version): (&Match, i64),
    state: MatchState,
) -> Result<(), ActionError> {
    if !matches::step(&mut writing, the_match.id, version, state).await? {
        return Err(ActionError::Changed);
    }
    let verb = match state {
        MatchState::Abandoned => "called a match off",
        _ => "put a match on again",
    };
    let subject = Some(the_match.pid.as_str());
    audit::add(&mut writing, now, by.pid(), verb, subject, "").await?;
    Ok(writing.commit().await?)
}
