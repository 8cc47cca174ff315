//! The made-up anglers' own reports, of matches and of days by themselves.

use super::{ActionError, Scene, new_pid, to_the_ounce};
use crate::{
    demo::{Approach, Catch, DemoReport, Entry, Fished},
    domain::{
        dates::{Day, Instant},
        groups::Group,
        ids::{BaitId, MethodId, PegId},
        sessions::{Caught, NamedFish, Report, Spell, Tally, Visibility},
        units::{Length, Scale, Weight},
    },
    store::{
        Writing,
        sessions::keeping::{self, NewSession},
    },
};

pub(super) async fn write(writing: &mut Writing, scene: &Scene<'_>) -> Result<(), ActionError> {
    for planned in &scene.venue.reports {
        let start = planned
            .day
            .at(jiff::civil::time(planned.start_hour, 0, 0, 0), scene.zone);
        let end = start.plus_seconds(i64::from(planned.hours) * 3_600);
        let report = alone(scene, (start, end), planned);
        let pid = new_pid();
        let new = NewSession {
            pid: &pid,
            angler: scene.people[planned.angler],
            zone: scene.zone.name(),
            entered_by: None,
            entered: end.plus_seconds(3_600),
            was_junior: scene.club.anglers[planned.angler].is_junior,
            submission_key: None,
        };
        let id = keeping::insert(writing, &new, &report).await?;
        keeping::add_parts(writing, id, &report).await?;
    }
    Ok(())
}

/// A report of a day by itself; without its hours where they were not written down.
fn alone(scene: &Scene<'_>, hours: (Instant, Instant), planned: &DemoReport) -> Report {
    let peg = scene.pegs[planned.peg];
    let told = Told {
        hours: planned.timed.then_some(hours),
        peg,
        fished: &planned.fished,
    };
    Report {
        venue: scene.id,
        day: planned.day,
        start: told.hours.map(|hours| hours.0),
        end: told.hours.map(|hours| hours.1),
        spells: told.spells(),
        caught: caught(&planned.catch, true),
        named: told.named(scene),
        tallies: told.tallies(),
        remarks: None,
        visibility: if planned.private {
            Visibility::Private
        } else {
            Visibility::Club
        },
    }
}

/// An angler's report of a match: numbers and how it was fished; the weights are the match's.
pub(super) fn of_match(
    scene: &Scene<'_>,
    day: Day,
    (start, finish): (Instant, Instant),
    entry: &Entry,
    own: &Fished,
) -> Report {
    let told = Told {
        hours: Some((start, finish)),
        peg: scene.pegs[entry.peg],
        fished: own,
    };
    Report {
        venue: scene.id,
        day,
        start: Some(start),
        end: Some(finish),
        spells: told.spells(),
        caught: caught(&entry.catch, false),
        named: told.named(scene),
        tallies: told.tallies(),
        remarks: None,
        visibility: Visibility::Club,
    }
}

fn drams(amount: u32) -> Option<Weight> {
    Weight::new(i64::from(to_the_ounce(amount)), Scale::Drams)
}

fn caught(catch: &Catch, weighed: bool) -> Vec<Caught> {
    [
        (Group::Carp, catch.carp, catch.carp_dr),
        (Group::Silvers, catch.silvers, catch.silvers_dr),
    ]
    .into_iter()
    .map(|(group, count, amount)| Caught {
        groups: group.into(),
        count: Some(i64::from(count)),
        weight: drams(amount).filter(|_| weighed || count == 0),
    })
    .collect()
}

/// What an angler writes of one session.
struct Told<'a> {
    hours: Option<(Instant, Instant)>,
    peg: PegId,
    fished: &'a Fished,
}

impl Told<'_> {
    fn spell(&self, approach: &Approach, hours: Option<(Instant, Instant)>) -> Spell {
        Spell {
            peg: Some(self.peg),
            method: Some(MethodId(approach.method as i64 + 1)),
            bait: Some(BaitId(approach.bait as i64 + 1)),
            depth: approach.depth_m.map(Length::from_metres),
            line: Some(Length::from_metres(approach.line_m)),
            aim: None,
            from: hours.map(|hours| hours.0),
            to: hours.map(|hours| hours.1),
            minutes: hours.map(|(from, to)| to.minutes_since(from)),
            rods: 1,
            uncovered: false,
        }
    }

    fn spells(&self) -> Vec<Spell> {
        let (opening, later) = (&self.fished.opening, &self.fished.later);
        let (Some((start, end)), Some((share, changed))) = (self.hours, later) else {
            return vec![self.spell(opening, self.hours)];
        };
        let minutes = (end.minutes_since(start) * share / 5.0).round() * 5.0;
        let turn = start.plus_seconds(60 * minutes as i64);
        vec![
            self.spell(opening, Some((start, turn))),
            self.spell(changed, Some((turn, end))),
        ]
    }

    /// Fish of each hour, where they and the hours were written down.
    fn tallies(&self) -> Vec<Tally> {
        let (Some((start, _)), Some(list)) = (self.hours, &self.fished.by_hour) else {
            return Vec::new();
        };
        let mut tallies = Vec::new();
        for (hour, (silvers, carp)) in list.iter().enumerate() {
            let from = start.plus_seconds(3_600 * hour as i64);
            for (group, count) in [(Group::Carp, *carp), (Group::Silvers, *silvers)] {
                tallies.push(Tally {
                    group,
                    from,
                    to: from.plus_seconds(3_600),
                    count: i64::from(count),
                });
            }
        }
        tallies
    }

    /// The biggest carp, at its time where the hours are known.
    fn named(&self, scene: &Scene<'_>) -> Vec<NamedFish> {
        let biggest = self.fished.biggest.map(|(amount, minute)| NamedFish {
            species: scene.carp,
            group: Group::Carp,
            weight: drams(amount),
            at: self
                .hours
                .map(|(start, _)| start.plus_seconds(60 * i64::from(minute))),
        });
        biggest.into_iter().collect()
    }
}
