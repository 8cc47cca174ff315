//! The matches a file would make, compared with those on record. A match that is on record is
//! left as it is: what was published is changed on its own page, with a reason.

use std::collections::{BTreeMap, HashMap, HashSet};

use super::{ClubLists, Look, Plan, people::Is, words};
use crate::{
    domain::{
        dates::{Day, Instant, Zone},
        groups::GroupSet,
        ids::{MatchId, MethodId, PegId, VenueId},
        matches::{Outcome, PegsAllotted},
        names::key,
        units::{Minutes, Ranking, quoted},
    },
    formats::old_sheets::{BadRow, Entry, Field, PastMatch, RowOf, Told, disagreements, ranking},
    store::imports::known::{MatchOnRecord, Water},
};

/// A match that saving would make.
pub struct MatchToMake {
    pub name: String,
    pub venue: VenueId,
    pub venue_name: String,
    pub zone: Zone,
    pub on: Day,
    pub start: Option<Instant>,
    pub finish: Option<Instant>,
    pub pegs_allotted: PegsAllotted,
    pub ranking: Ranking,
    pub net_kinds: Vec<GroupSet>,
    pub sections: Vec<String>,
    pub teams: Vec<String>,
    pub entries: Vec<EntryToMake>,
    pub lacks: Lacks,
}

/// The lines of a match's rows that its result will not have.
#[derive(Clone, Debug, Default)]
pub struct Lacks {
    pub not_read: Vec<u64>,
    /// Left out with the angler, as an officer said.
    pub with_angler: Vec<u64>,
}

pub struct EntryToMake {
    pub row: Entry,
    pub angler: Is,
    pub peg: Option<PegId>,
    pub method: Option<MethodId>,
    /// With the words that stand nowhere else.
    pub remarks: Option<String>,
}

/// Matches on record by water, day and folded name.
type OnRecord = HashMap<(VenueId, Day, String), MatchId>;

pub(super) fn by_name(matches: Vec<MatchOnRecord>) -> OnRecord {
    let own = |m: MatchOnRecord| ((m.venue, m.on, key(&m.name)), m.id);
    matches.into_iter().map(own).collect()
}

pub(super) struct Record<'a> {
    pub waters: &'a [Water],
    pub matches: OnRecord,
    pub rows: HashMap<Vec<u8>, MatchId>,
    pub lists: &'a ClubLists,
}

/// Sorts the rows of a file into matches to make, rows on record, and rows that cannot be taken.
pub(super) fn lay(look: &mut Look, plan: &Plan, record: &Record<'_>) {
    let read = look.read.clone();
    let (who, where_fished) = (look.who(), look.where_fished());
    let mut groups: BTreeMap<(Day, VenueId, String), Vec<&Entry>> = BTreeMap::new();
    for entry in &read.entries {
        match where_fished.get(&key(&entry.venue)) {
            Some(venue) => {
                let own = (entry.day, *venue, key(&entry.match_name));
                groups.entry(own).or_default().push(entry);
            }
            None => look.left_out.push(entry.line),
        }
    }
    for ((day, venue, _), entries) in groups {
        let water = record.waters.iter().find(|water| water.id == venue);
        let (Some(water), Some(first)) = (water, entries.first()) else {
            continue;
        };
        let past = PastMatch {
            day,
            venue: &water.name,
            name: &first.match_name,
            entries,
        };
        let not_read = not_read(&read.problems, &past, venue, &where_fished);
        look.told.extend(disagreements(&past, &not_read));
        let lacks = Lacks {
            not_read,
            ..Lacks::default()
        };
        if let Some(on_record) = on_record(&past, water, record) {
            already(look, &past, on_record, record);
        } else if let Some(made) = to_make(look, plan, (&past, lacks), (water, &who), record) {
            look.matches.push(made);
        }
    }
}

/// The lines that cannot be taken and may be of this match, as far as they can be read.
fn not_read(
    problems: &[BadRow],
    past: &PastMatch<'_>,
    venue: VenueId,
    where_fished: &BTreeMap<String, VenueId>,
) -> Vec<u64> {
    let name = key(past.name);
    let here = |bad: &BadRow| {
        let named = bad.of.venue.as_ref();
        let other = named.and_then(|water| where_fished.get(water));
        other.is_none_or(|own| *own == venue)
    };
    let problems = problems.iter();
    problems
        .filter(|bad| bad.of.may_be(past.day, &name) && here(bad))
        .map(|bad| bad.line)
        .collect()
}

/// The match on record that these rows belong to: of this name, or holding one of the rows.
fn on_record(past: &PastMatch<'_>, water: &Water, record: &Record<'_>) -> Option<MatchId> {
    let own = (water.id, past.day, key(past.name));
    let by_name = record.matches.get(&own).copied();
    let by_row = || {
        let mut rows = past.entries.iter();
        rows.find_map(|entry| record.rows.get(entry.row_sha256().as_slice()).copied())
    };
    by_name.or_else(by_row)
}

/// Rows of a match on record: known ones are passed over, others are told, and counted apart.
fn already(look: &mut Look, past: &PastMatch<'_>, id: MatchId, record: &Record<'_>) {
    for entry in &past.entries {
        let same = record.rows.get(entry.row_sha256().as_slice()) == Some(&id);
        if same {
            look.already += 1;
        } else {
            look.beside += 1;
            look.told.push(Told {
                line: entry.line,
                sentence: format!(
                    "{} of {} is on record, and this row is not one of those it came from. It is not taken; a change is made on the match’s own page, or undo the earlier file and bring in the mended one.",
                    past.name,
                    past.day.short()
                ),
            });
        }
    }
}

fn to_make(
    look: &mut Look,
    plan: &Plan,
    (past, mut lacks): (&PastMatch<'_>, Lacks),
    (water, who): (&Water, &BTreeMap<String, Is>),
    record: &Record<'_>,
) -> Option<MatchToMake> {
    let mut entries: Vec<EntryToMake> = Vec::new();
    let (mut seen, mut taken) = (HashMap::new(), HashSet::new());
    for row in &past.entries {
        let name = row.angler.key();
        let angler = who.get(&name).cloned().unwrap_or(Is::Open);
        if matches!(angler, Is::LeftOut) {
            look.left_out.push(row.line);
            lacks.with_angler.push(row.line);
            continue;
        }
        let one = match &angler {
            Is::OnRecord(id) => format!("angler {id}"),
            Is::New(key) => format!("new {key}"),
            Is::Open | Is::LeftOut => format!("open {name}"),
        };
        if let Some(first) = seen.insert(one, row.line) {
            look.problems.push(BadRow {
                line: row.line,
                sentences: vec![format!("{} is the same angler as on line {first}, who would be in this match twice. Take out one of the two rows, or answer the names otherwise.", quoted(&row.angler.full()))],
                of: RowOf::entry(row),
            });
            lacks.not_read.push(row.line);
            continue;
        }
        let peg = the_peg(look, row, water, &mut taken);
        let method = record.lists.method(row, &plan.mapping);
        entries.push(EntryToMake {
            row: (*row).clone(),
            angler,
            peg,
            method,
            remarks: words::remarks(row, method.is_some(), false),
        });
    }
    if entries.is_empty() {
        return None;
    }
    let length = entries.iter().filter_map(|entry| entry.row.minutes).max();
    let start = plan
        .mapping
        .start
        .zip(length)
        .map(|(start, _)| past.day.at(start, &water.zone));
    let weights: Vec<_> = entries
        .iter()
        .flat_map(|entry| entry.row.nets.iter().map(|net| net.weight))
        .collect();
    Some(MatchToMake {
        name: past.name.to_owned(),
        venue: water.id,
        venue_name: water.name.clone(),
        zone: water.zone.clone(),
        on: past.day,
        start,
        finish: start
            .zip(length)
            .map(|(start, Minutes(m))| start.plus_seconds(m * 60)),
        pegs_allotted: plan.mapping.pegs_allotted.unwrap_or(PegsAllotted::Unknown),
        ranking: match weights.is_empty() {
            true => Ranking::of(water.weighs_in, 1),
            false => ranking(weights.iter()),
        },
        net_kinds: net_kinds(plan),
        sections: names(&entries, |row| row.section.as_deref()),
        teams: names(&entries, |row| row.team.as_deref()),
        entries,
        lacks,
    })
}

/// The sets weighed apart, one for each column of weights, each once.
fn net_kinds(plan: &Plan) -> Vec<GroupSet> {
    let columns = plan.mapping.columns.iter().flatten();
    let mut kinds: Vec<GroupSet> = columns
        .filter(|column| column.field == Field::Weight)
        .filter_map(|column| plan.mapping.covers(*column))
        .collect();
    kinds.sort_unstable();
    kinds.dedup();
    if kinds.is_empty() {
        kinds.push(plan.mapping.groups.unwrap_or(GroupSet::ALL));
    }
    kinds
}

/// The peg of a row. One that cannot be is told, and the row taken without it.
fn the_peg(
    look: &mut Look,
    row: &Entry,
    water: &Water,
    taken: &mut HashSet<PegId>,
) -> Option<PegId> {
    let number = row.peg.as_deref()?;
    let mut tell = |sentence: String| {
        look.told.push(Told {
            line: row.line,
            sentence,
        })
    };
    let Some(peg) = water.peg(number, row.day) else {
        tell(format!(
            "{} has no peg {} on that day. The row is taken without a peg; add the peg to the water first if it should count for it.",
            water.name,
            quoted(number)
        ));
        return None;
    };
    if row.outcome == Outcome::Absent || taken.insert(peg) {
        return (row.outcome != Outcome::Absent).then_some(peg);
    }
    tell(format!(
        "Peg {number} stands twice in this match. The second row is taken without a peg."
    ));
    None
}

/// Names of sections or teams as first written, each once whatever its capitals.
fn names(entries: &[EntryToMake], of: fn(&Entry) -> Option<&str>) -> Vec<String> {
    let mut names: BTreeMap<String, String> = BTreeMap::new();
    for name in entries.iter().filter_map(|entry| of(&entry.row)) {
        names.entry(key(name)).or_insert_with(|| name.to_owned());
    }
    names.into_values().collect()
}
