//! The places a sheet gives, beside those its weights give. A disagreement is told: one of the
//! two was mistyped once, and only the club can say which.

use std::collections::BTreeMap;

use super::{PastMatch, Told, lines_named, ranking};
use crate::domain::ids::{EntryId, SectionId};
use crate::domain::matches::{Caught, Placed, place};
use crate::domain::names::key;
use crate::domain::units::quoted;
use crate::statistics::wording;

/// A sentence for each row whose place is neither its overall place nor the one in its section.
/// `not_read` are the lines of the match's rows that cannot be taken: places are wrong without them,
/// which is said once.
pub fn disagreements(past: &PastMatch<'_>, not_read: &[u64]) -> Vec<Told> {
    let mend = match not_read {
        [] => "The weights are taken; check the row if that is wrong.".to_owned(),
        lines => {
            let them = if lines.len() == 1 { "it" } else { "them" };
            wording::sentence(&format!(
                "{} of this match cannot be taken, which may be why: mend {them} before the file is saved, or the result lacks {them}.",
                lines_named(lines)
            ))
        }
    };
    let mut sections: BTreeMap<String, SectionId> = BTreeMap::new();
    let caught: Vec<Caught> = (0_i64..)
        .zip(&past.entries)
        .map(|(at, entry)| {
            let next = SectionId(sections.len() as i64);
            let total = entry.nets.iter().map(|net| net.weight).collect();
            Caught {
                entry: EntryId(at),
                section: entry
                    .section
                    .as_deref()
                    .map(|name| *sections.entry(key(name)).or_insert(next)),
                outcome: entry.outcome,
                raw: total,
                counted: total,
            }
        })
        .collect();
    let weights: Vec<_> = past
        .entries
        .iter()
        .flat_map(|entry| entry.nets.iter().map(|net| net.weight))
        .collect();
    let placed: BTreeMap<i64, Placed> = place(&caught, ranking(weights.iter()))
        .into_iter()
        .map(|placed| (placed.entry.0, placed))
        .collect();
    let mut told: Vec<Told> = (0_i64..)
        .zip(&past.entries)
        .filter_map(|(at, entry)| {
            let (said, placed) = (entry.place?, placed.get(&at)?);
            let overall = placed.overall?;
            let in_section = placed.in_section.map(|place| place.number);
            let agrees = said == overall.number || in_section == Some(said);
            (!agrees).then(|| Told {
                line: entry.line,
                sentence: format!(
                    "The sheet places {} {said}, the weights {overall}.",
                    quoted(&entry.angler.full())
                ),
            })
        })
        .collect();
    let said = match not_read {
        [] => told.len(),
        _ => 1,
    };
    for one in told.iter_mut().take(said) {
        one.sentence = format!("{} {mend}", one.sentence);
    }
    told
}
