//! What a mapping says against itself: a column twice, none that is needed, fish counted twice.

use super::reading::place_of;
use super::{Column, Field, Mapping, SheetOf, parts};
use crate::domain::groups::GroupSet;

/// A sentence for each.
pub(super) fn contradictions(mapping: &Mapping) -> Vec<String> {
    let mut problems = Vec::new();
    let columns = || mapping.columns.iter().flatten();
    for column in Column::all(mapping.of) {
        let once = !column.field.is_figures() || column.field == Field::Count;
        if once && columns().filter(|own| **own == column).count() > 1 {
            problems.push(format!(
                "Two columns are said to hold the {}. Choose one.",
                column.words()
            ));
        }
    }
    let has = |field| place_of(mapping, field).is_some();
    if !has(Field::Angler) {
        problems.push("No column is said to hold the angler. Say which one does.".to_owned());
    }
    let enough = match mapping.of {
        SheetOf::Matches => has(Field::Weight) || has(Field::Outcome),
        SheetOf::Sessions => has(Field::Weight) || has(Field::Count),
    };
    if !enough {
        problems.push(match mapping.of {
            SheetOf::Matches => {
                "No column is said to hold a weight or an outcome. Say which one does.".to_owned()
            }
            SheetOf::Sessions => {
                "No column is said to hold a weight or a number of fish. Say which one does."
                    .to_owned()
            }
        });
    }
    let sets: Vec<GroupSet> = columns()
        .filter(|c| c.field.may_repeat())
        .filter_map(|c| mapping.covers(*c))
        .collect();
    if sets
        .iter()
        .any(|a| sets.iter().any(|b| a != b && a.overlaps(*b)))
    {
        problems.push("Weights and numbers do not cover the same fish: one column is of a single group, another of that group with others. Give both of one kind, or leave one out.".to_owned());
    }
    if columns().any(|c| c.field.may_repeat() && mapping.covers(*c).is_none()) {
        problems.push("One column holds fish of several groups, but every group that counts has a column of its own. Say which groups it counts, or leave it out if it is a total.".to_owned());
    }
    problems.extend(parts::contradictions(mapping));
    problems
}
