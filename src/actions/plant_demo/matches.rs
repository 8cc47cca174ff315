//! The made-up matches: made, entered, weighed in and posted as an organiser would.

use super::{ActionError, Scene, new_pid, reports, to_the_ounce};
use crate::{
    actions::publish_results,
    demo::{Catch, DemoComing, DemoMatch, Entry, MATCH_HOURS},
    domain::{
        dates::{Day, Instant},
        groups::{Group, GroupSet},
        ids::{EntryId, MatchId, MatchTeamId, NetId, SectionId},
        matches::{MatchState, PegsAllotted},
        units::{Ranking, Scale, Weight},
    },
    store::{
        Writing,
        matches::{
            self, NewMatch,
            entries::{self, Placing},
            sessions, weights,
        },
        sessions::keeping,
    },
};

pub(super) async fn write(writing: &mut Writing, scene: &Scene<'_>) -> Result<(), ActionError> {
    for the_match in &scene.venue.matches {
        fished(writing, scene, the_match).await?;
    }
    for coming in &scene.venue.coming {
        book(writing, scene, coming).await?;
    }
    Ok(())
}

/// A match with the numbers of its sections and teams.
struct Made {
    id: MatchId,
    sections: Vec<SectionId>,
    teams: Vec<MatchTeamId>,
}

async fn make(
    writing: &mut Writing,
    scene: &Scene<'_>,
    (name, day): (&str, Day),
    (sections, teams): (&[&str], &[&str]),
) -> Result<Made, ActionError> {
    let at = |hour| Some(day.at(jiff::civil::time(hour, 0, 0, 0), scene.zone));
    let owned = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect();
    let new = NewMatch {
        pid: new_pid(),
        name: name.to_owned(),
        venue: scene.id,
        on: day,
        zone: scene.zone.name().to_owned(),
        meet_place: Some("the hut".to_owned()),
        meet: at(8),
        start: at(START_HOUR),
        finish: at(START_HOUR + MATCH_HOURS as i8),
        pegs_allotted: PegsAllotted::Bag,
        ranking: Ranking::of(Scale::Drams, 16),
        net_kinds: vec![Group::Carp.into(), Group::Silvers.into()],
        sections: owned(sections),
        teams: owned(teams),
    };
    let id = matches::insert(writing, &new, scene.by.account()).await?;
    let sections = matches::sections(writing, id).await?;
    let mut known = matches::teams(writing, id).await?;
    known.sort_by_key(|team| team.id);
    Ok(Made {
        id,
        sections: sections.into_iter().map(|section| section.id).collect(),
        teams: known.into_iter().map(|team| team.id).collect(),
    })
}

const START_HOUR: i8 = 10;

/// A match to come: anglers booked, no pegs drawn yet.
async fn book(
    writing: &mut Writing,
    scene: &Scene<'_>,
    coming: &DemoComing,
) -> Result<(), ActionError> {
    let named = (coming.name.as_str(), coming.day);
    let made = make(writing, scene, named, (coming.sections, coming.teams)).await?;
    for (place, angler) in coming.anglers.iter().enumerate() {
        let placing = Placing {
            team: made.teams.get(place % made.teams.len().max(1)).copied(),
            ..Placing::default()
        };
        entries::insert(writing, made.id, scene.people[*angler], placing).await?;
    }
    Ok(())
}

/// A match that was fished: weighed in, posted the same evening, and put right where a net was
/// read wrongly.
async fn fished(
    writing: &mut Writing,
    scene: &Scene<'_>,
    planned: &DemoMatch,
) -> Result<(), ActionError> {
    let named = (planned.name.as_str(), planned.day);
    let made = make(writing, scene, named, (planned.sections, planned.teams)).await?;
    let evening = planned.day.at(jiff::civil::time(17, 0, 0, 0), scene.zone);
    let mut put_right = None;
    let mut entered = Vec::new();
    for (place, entry) in planned.entries.iter().enumerate() {
        let placing = Placing {
            section: entry.section.map(|at| made.sections[at]),
            team: entry.team.map(|at| made.teams[at]),
            peg: Some(scene.pegs[entry.peg]),
        };
        let angler = scene.people[entry.angler];
        let id = entries::insert(writing, made.id, angler, placing).await?;
        entries::set_outcome(writing, id, Some(entry.outcome)).await?;
        let misread = planned.misread == Some(place);
        if let Some(wrong) = weigh(writing, scene, (id, entry), misread, evening).await? {
            put_right = Some((wrong, entry));
        }
        entered.push((id, entry));
    }
    let by = scene.by;
    matches::step(writing, made.id, 1, MatchState::Fished).await?;
    publish_results::publish_within(writing, evening, by, (made.id, 2), "").await?;
    if let Some((net, entry)) = put_right {
        let later = evening.plus_seconds(40 * 60);
        let right = Weight::drams(to_the_ounce(entry.catch.carp_dr));
        weights::choose(writing, net, Some(right), by.account(), later).await?;
        let reason = format!("peg {}, carp net read wrongly from the card", entry.peg + 1);
        publish_results::publish_within(writing, later, by, (made.id, 3), &reason).await?;
    }
    for (id, entry) in entered {
        own_report(writing, scene, made.id, (id, entry)).await?;
    }
    Ok(())
}

/// Carp in one net, silvers in another, as far as there were any; a great weight of carp in two.
/// Answers with the net that was read a pound too light, where it is to be `misread`.
async fn weigh(
    writing: &mut Writing,
    scene: &Scene<'_>,
    (id, entry): (EntryId, &Entry),
    misread: bool,
    at: Instant,
) -> Result<Option<NetId>, ActionError> {
    let mut wrong = None;
    if !entry.outcome.may_have_weight() {
        return Ok(wrong);
    }
    for (groups, amount) in nets(&entry.catch, misread) {
        let net = weights::add_net(writing, id, groups).await?;
        let misread = misread && wrong.is_none();
        let read = if misread { amount - 256 } else { amount };
        wrong = wrong.or(misread.then_some(net));
        weights::choose(
            writing,
            net,
            Some(Weight::drams(read)),
            scene.by.account(),
            at,
        )
        .await?;
    }
    Ok(wrong)
}

/// Nets of more than 20 lb of carp are divided, as keepnet rules often ask; one to be misread is not.
fn nets(catch: &Catch, whole: bool) -> Vec<(GroupSet, u32)> {
    let carp = match catch.carp_dr {
        0 => Vec::new(),
        much if much > 20 * 256 && !whole => vec![much / 2, much - much / 2],
        some => vec![some],
    };
    let mut nets: Vec<_> = carp
        .into_iter()
        .map(|amount| (GroupSet::from(Group::Carp), to_the_ounce(amount)))
        .collect();
    if catch.silvers_dr > 0 {
        nets.push((Group::Silvers.into(), to_the_ounce(catch.silvers_dr)));
    }
    nets
}

/// Puts an angler's own report on the session of the match, where one was written.
async fn own_report(
    writing: &mut Writing,
    scene: &Scene<'_>,
    the_match: MatchId,
    (id, entry): (EntryId, &Entry),
) -> Result<(), ActionError> {
    let (Some(own), Some(session)) = (&entry.own, sessions::of_entry(writing, id).await?) else {
        return Ok(());
    };
    let the_match = matches::by_id(writing, the_match)
        .await?
        .ok_or(ActionError::NotFound)?;
    let hours = the_match.start.zip(the_match.finish);
    let report = reports::of_match(
        scene,
        the_match.on,
        hours.ok_or(ActionError::NotFound)?,
        entry,
        own,
    );
    keeping::update(writing, session.id, &report).await?;
    keeping::replace_parts(writing, session.id, &report).await?;
    Ok(sessions::fill_gaps(writing, session.id, id).await?)
}
