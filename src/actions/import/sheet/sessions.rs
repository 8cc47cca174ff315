//! The sessions a file would make. One that is on record, as a report or in a match, is not
//! made again; another of that day is.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use super::{
    Look, Plan,
    people::Is,
    same_day::{self, Outings},
};
use crate::{
    actions::ActionError,
    domain::{
        dates::{Day, Zone},
        groups::GroupSet,
        ids::{MethodId, PegId, VenueId},
        matches::Outcome,
        names::key,
        sessions::Caught,
        units::{Ranking, Scale, Total, Weight, quoted},
    },
    formats::old_sheets::{Ask, Entry, Field, Told},
    store::{Connection, imports::known::Water, sessions::choices},
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
    pub method: Option<MethodId>,
    pub caught: Vec<Caught>,
}

pub(super) struct Record<'a> {
    pub waters: &'a [Water],
    pub outings: Outings,
    pub rows: HashSet<Vec<u8>>,
    pub methods: Methods,
}

/// Methods by folded name.
pub(super) type Methods = BTreeMap<String, MethodId>;

pub(super) async fn methods(connection: &mut Connection) -> Result<Methods, ActionError> {
    let methods = choices::methods(connection).await?;
    Ok(methods
        .into_iter()
        .map(|method| (key(&method.name), MethodId(method.id)))
        .collect())
}

/// The method a row names. One that is not the club's is told, and the row taken without it.
pub(super) fn method_of(look: &mut Look, row: &Entry, methods: &Methods) -> Option<MethodId> {
    let named = row.method.as_deref()?;
    let method = methods.get(&key(named)).copied();
    if method.is_none() {
        look.told.push(Told {
            line: row.line,
            sentence: format!(
                "“{named}” is not one of the methods on the club’s list. The row is taken without a method."
            ),
        });
    }
    method
}

pub(super) fn lay(look: &mut Look, plan: &Plan, record: &Record<'_>) {
    let read = look.read.clone();
    let (who, where_fished) = (look.who(), look.where_fished());
    for row in &read.entries {
        if record.rows.contains(row.row_sha256().as_slice()) {
            look.already += 1;
            continue;
        }
        let angler = who.get(&row.angler.key()).cloned().unwrap_or(Is::Open);
        let venue = where_fished.get(&key(&row.venue)).copied();
        let water = record.waters.iter().find(|water| Some(water.id) == venue);
        let (Some(water), false) = (water, angler == Is::LeftOut) else {
            look.left_out += 1;
            continue;
        };
        let peg = row.peg.as_deref();
        let peg = peg.and_then(|number| water.peg(number, row.day));
        let mut taken = Some(true);
        if let Some(beside) = same_day::beside(&record.outings, &angler, water, row, peg) {
            let answer = plan.mapping.same_day;
            look.told.push(Told {
                line: row.line,
                sentence: beside.sentence(row, water, answer),
            });
            taken = beside.is_another(answer);
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
                ask_once(look, row);
                continue;
            }
        }
        let method = method_of(look, row, &record.methods);
        look.sessions.push(SessionToMake {
            caught: caught(plan, row, water.weighs_in),
            angler,
            venue: water.id,
            venue_name: water.name.clone(),
            zone: water.zone.clone(),
            on: row.day,
            peg,
            method,
            row: row.clone(),
        });
    }
}

/// Asks about the rows that may be of an outing on record, all together.
fn ask_once(look: &mut Look, row: &Entry) {
    for ask in &mut look.read.asks {
        if let Ask::SameDay { rows, .. } = ask {
            *rows += 1;
            return;
        }
    }
    look.read.asks.push(Ask::SameDay {
        line: row.line,
        angler: row.angler.full(),
        rows: 1,
    });
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
