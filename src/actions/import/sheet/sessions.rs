//! The sessions a file would make. One that is on record, as a report or in a match, is not
//! made again; another of that day is.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use jiff::civil::Time;

use super::{
    ClubLists, Look, Plan,
    people::Is,
    same_day::{self, Outings},
    words,
};
use crate::{
    domain::{
        dates::{Day, Instant, Zone},
        groups::GroupSet,
        ids::{BaitId, MethodId, PegId, VenueId},
        matches::Outcome,
        names::key,
        sessions::{Caught, spell},
        units::{Minutes, Ranking, Scale, Total, Weight, quoted},
    },
    formats::old_sheets::{Ask, Entry, Field, SameDayRow, Told},
    store::imports::known::Water,
};

/// A session that saving would make.
pub struct SessionToMake {
    pub row: Entry,
    pub angler: Is,
    pub venue: VenueId,
    pub venue_name: String,
    pub zone: Zone,
    pub on: Day,
    pub peg: Option<PegId>,
    /// When it began and ended, where the row says so.
    pub hours: Option<(Instant, Instant)>,
    pub method: Option<MethodId>,
    pub bait: Option<BaitId>,
    /// With the words that stand nowhere else.
    pub remarks: Option<String>,
    pub caught: Vec<Caught>,
}

pub(super) struct Record<'a> {
    pub waters: &'a [Water],
    pub outings: Outings,
    pub rows: HashSet<Vec<u8>>,
    pub lists: &'a ClubLists,
}

/// What tells one row of an angler from another of the same file.
type OfOuting = (
    String,
    VenueId,
    Day,
    Option<PegId>,
    Option<Minutes>,
    Option<(Time, Time)>,
);

pub(super) fn lay(look: &mut Look, plan: &Plan, record: &Record<'_>) {
    let read = look.read.clone();
    let (who, where_fished) = (look.who(), look.where_fished());
    let mut seen: BTreeMap<OfOuting, u64> = BTreeMap::new();
    for row in &read.entries {
        if record.rows.contains(row.row_sha256().as_slice()) {
            look.already += 1;
            continue;
        }
        let angler = who.get(&row.angler.key()).cloned().unwrap_or(Is::Open);
        let venue = where_fished.get(&key(&row.venue)).copied();
        let water = record.waters.iter().find(|water| Some(water.id) == venue);
        let (Some(water), false) = (water, angler == Is::LeftOut) else {
            look.left_out.push(row.line);
            continue;
        };
        let peg = row.peg.as_deref();
        let peg = peg.and_then(|number| water.peg(number, row.day));
        let here = caught(plan, row, water.weighs_in);
        let (mut taken, mut known) = (Some(true), String::new());
        if let Some(beside) = same_day::beside(&record.outings, &angler, water, row, peg) {
            let answer = plan.mapping.same_day;
            let differences = beside.differences(&here);
            look.told.push(Told {
                line: row.line,
                sentence: beside.sentence(row, water, answer, &differences),
            });
            look.differing += usize::from(!differences.is_empty());
            taken = beside.is_another(answer);
            known = beside.on_record(water);
        }
        if peg.is_none() {
            tell_unknown_peg(look, row, water, taken == Some(true));
        }
        match taken {
            Some(true) => {}
            Some(false) => {
                look.already += 1;
                continue;
            }
            None => {
                ask_once(look, row, known);
                continue;
            }
        }
        let own = (
            row.angler.key(),
            water.id,
            row.day,
            peg,
            row.minutes,
            row.times,
        );
        match seen.get(&own) {
            Some(first) => tell_beside(look, row, *first),
            None => {
                seen.insert(own, row.line);
            }
        }
        let hours = hours(look, row, &water.zone);
        if let Some(own) = hours {
            let known = same_day::overlapping(&record.outings, &angler, (water.id, row.day), own);
            tell_overlap(look, row, own, known, &water.zone);
        }
        let method = record.lists.method(row, &plan.mapping);
        let bait = record.lists.bait(row, &plan.mapping);
        look.sessions.push(SessionToMake {
            caught: here,
            angler,
            venue: water.id,
            venue_name: water.name.clone(),
            zone: water.zone.clone(),
            on: row.day,
            peg,
            hours,
            method,
            bait,
            remarks: words::remarks(row, method.is_some(), bait.is_some()),
            row: row.clone(),
        });
    }
}

/// Tells of a row that differs from an earlier one of the file in what was caught or said alone.
fn tell_beside(look: &mut Look, row: &Entry, first: u64) {
    look.told.push(Told {
        line: row.line,
        sentence: format!(
            "Line {first} has the same angler, day, peg and hours, and tells otherwise of the rest. Both are taken, as two outings; take one out if there was only one."
        ),
    });
}

/// Tells of a row that is taken though its angler fished elsewhere in the same hours, by the record
/// or by an earlier row of the file.
fn tell_overlap(
    look: &mut Look,
    row: &Entry,
    own: (Instant, Instant),
    known: Option<(Instant, Instant)>,
    zone: &Zone,
) {
    let clock =
        |(from, to): (Instant, Instant)| format!("{} to {}", from.clock(zone), to.clock(zone));
    let name = row.angler.key();
    let mut earlier = look.sessions.iter().filter(|made| {
        made.on == row.day
            && made.row.angler.key() == name
            && made
                .hours
                .is_some_and(|hours| same_day::overlap(hours, own))
    });
    let other = match (known, earlier.next()) {
        (Some(known), _) => format!("a session on record, {}", clock(known)),
        (None, Some(made)) => format!("line {}", made.row.line),
        (None, None) => return,
    };
    look.told.push(Told {
        line: row.line,
        sentence: format!(
            "The hours, {}, overlap those of {other}, and {} can hardly have fished both. It is taken as it stands; mend the hours, or take one of the two out.",
            clock(own),
            row.angler.full()
        ),
    });
}

/// From when to when a row was fished, at the water's own clock. A long one past midnight is told.
fn hours(look: &mut Look, row: &Entry, zone: &Zone) -> Option<(Instant, Instant)> {
    let (from, to) = row.times?;
    let (start, end) = spell::hours(row.day, from, to, zone);
    let minutes = Minutes((end.0 - start.0) / 60);
    if to <= from && minutes.0 > spell::LONG_NIGHT {
        look.told.push(Told {
            line: row.line,
            sentence: format!(
                "Packed up at {} the next day? That makes {}. Mend one of the two times if it is wrong.",
                end.clock(zone),
                minutes.words()
            ),
        });
    }
    Some((start, end))
}

/// Asks about the rows that may be of an outing on record, all together. `known` is what stands on
/// record.
fn ask_once(look: &mut Look, row: &Entry, known: String) {
    let own = SameDayRow {
        line: row.line,
        angler: row.angler.full(),
        day: row.day,
        says: peg_and_hours(row),
        known,
    };
    for ask in &mut look.read.asks {
        if let Ask::SameDay { rows } = ask {
            rows.push(own);
            return;
        }
    }
    look.read.asks.push(Ask::SameDay { rows: vec![own] });
}

/// `peg 8, 07:00 to 12:30`, as far as the row itself says it.
fn peg_and_hours(row: &Entry) -> String {
    let clock = |time: Time| time.strftime("%H:%M").to_string();
    let peg = row.peg.as_ref().map(|number| format!("peg {number}"));
    let times = row.times;
    let times = times.map(|(from, to)| format!("{} to {}", clock(from), clock(to)));
    let length = row.minutes.filter(|_| row.own_hours).map(Minutes::words);
    let parts: Vec<String> = [peg, times.or(length)].into_iter().flatten().collect();
    match parts.is_empty() {
        true => "neither peg nor hours".to_owned(),
        false => parts.join(", "),
    }
}

/// Tells of a peg that the water does not have that day, where the row names one.
fn tell_unknown_peg(look: &mut Look, row: &Entry, water: &Water, taken: bool) {
    let Some(number) = row.peg.as_deref() else {
        return;
    };
    let becomes = match taken {
        true => {
            ". The row is taken without a peg; add the peg to the water first if it should count for it."
        }
        false => {
            ", so the peg tells this row from nothing. Add the peg to the water first, or put its number right in the sheet."
        }
    };
    look.told.push(Told {
        line: row.line,
        sentence: format!(
            "{} has no peg {} on that day{becomes}",
            water.name,
            quoted(number)
        ),
    });
}

/// What is known of each set of groups that the file has a column for.
fn caught(plan: &Plan, row: &Entry, scale: Scale) -> Vec<Caught> {
    let columns = plan.mapping.columns.iter().flatten();
    let sets: BTreeSet<GroupSet> = columns
        .filter(|c| matches!(c.field, Field::Weight | Field::Count))
        .filter_map(|c| plan.mapping.covers(*c))
        .collect();
    let blank = row.outcome == Outcome::Blank;
    sets.into_iter()
        .map(|groups| {
            let count = row.counts.iter().find(|(set, _)| *set == groups);
            Caught {
                groups,
                count: count.map(|(_, n)| *n).or(blank.then_some(0)),
                weight: weight(row, groups, scale).or(blank.then_some(Weight::nothing(scale))),
            }
            .completed(Weight::nothing(scale))
        })
        .collect()
}

/// The nets of a set together, in their own unit where they share one.
fn weight(row: &Entry, groups: GroupSet, scale: Scale) -> Option<Weight> {
    let nets = row.nets.iter().filter(|net| net.groups == groups);
    let weights: Vec<Weight> = nets.map(|net| net.weight).collect();
    let first = weights.first()?;
    let one_unit = weights.iter().all(|w| w.scale() == first.scale());
    let unit = if one_unit { first.scale() } else { scale };
    let total: Total = weights.into_iter().collect();
    Some(total.to(Ranking::of(unit, 1)))
}
