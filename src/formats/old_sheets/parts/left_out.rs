//! Parts of weights that a mapping would lose, or join to a weight of another unit.

use super::{
    KILOGRAMS, POUNDS, Whole, is_some_of, is_whole, part_named, parts, says, wholes_before,
};
use crate::domain::names::key;
use crate::domain::units::quoted;
use crate::formats::csv::Sheet;
use crate::formats::old_sheets::nameless::{is_nameless, may_hold_ounces};
use crate::formats::old_sheets::{BareWeights, Column, Field, Mapping};

/// Columns headed like a part of a weight whose figures would be lost: the sentences that say how to
/// take them. A column that repeats a whole weight in small units is none.
pub(in crate::formats::old_sheets) fn left_out(sheet: &Sheet, mapping: &Mapping) -> Vec<String> {
    let taken = parts(mapping);
    let mut problems = Vec::new();
    for (at, name) in sheet.header.iter().enumerate() {
        let words = key(name);
        let words: Vec<&str> = words.split(' ').collect();
        if column(mapping, at).is_some() {
            continue;
        }
        let nameless = is_nameless(sheet, at) && !is_not_pounds(mapping);
        let Some(part) = part_named(&words).or(nameless.then_some(Field::Ounces)) else {
            continue;
        };
        let wholes = wholes_before(sheet, part);
        if !nameless && wholes.len() > 1 {
            if loses(sheet, mapping, (at, part), &wholes) {
                problems.push(of_which(sheet, (at, part)));
            }
            continue;
        }
        let Some(whole) = whole_of(sheet, mapping, at) else {
            continue;
        };
        let own = taken.get(&whole).map_or(&[][..], Vec::as_slice);
        if own.iter().any(|(_, own)| *own >= part) {
            continue;
        }
        let heading = key(&sheet.header[whole]);
        let heading: Vec<&str> = heading.split(' ').collect();
        let headed = Whole::headed(whole, &heading, None);
        let near = headed.unit.is_some() || at == whole + own.len() + 1;
        let fits = near && headed.may_have_lost(part, &words);
        if nameless {
            if fits && at == whole + 1 && may_hold_ounces(sheet, whole, at) {
                problems.push(sentence(sheet, (at, part), whole));
            }
            continue;
        }
        if fits && loses(sheet, mapping, (at, part), &[whole]) {
            problems.push(sentence(sheet, (at, part), whole));
        }
    }
    problems.extend(not_in_pounds(sheet, mapping));
    problems
}

/// Some weight of these columns would be too small without the part.
fn loses(sheet: &Sheet, mapping: &Mapping, (at, part): (usize, Field), wholes: &[usize]) -> bool {
    let is_weight = |at: usize| column(mapping, at).is_some_and(|c| c.field == Field::Weight);
    wholes.iter().any(|whole| {
        let mut rows = sheet.rows.iter();
        is_weight(*whole)
            && rows.any(|row| is_whole(row.cell(*whole)) && is_some_of(row.cell(at), part))
    })
}

/// Weights without a unit are said to be in another than pounds.
fn is_not_pounds(mapping: &Mapping) -> bool {
    use BareWeights::{Grams, Kilograms, Ounces};
    matches!(mapping.bare, Some(Ounces | Kilograms | Grams))
}

/// Ounces and drams of weights that are said to be in another unit than pounds, a sentence each.
fn not_in_pounds(sheet: &Sheet, mapping: &Mapping) -> Vec<String> {
    let Some(bare) = mapping.bare.filter(|_| is_not_pounds(mapping)) else {
        return Vec::new();
    };
    let mut problems = Vec::new();
    for (whole, parts) in parts(mapping) {
        let name = sheet.header.get(whole).map_or("", String::as_str);
        let words = key(name);
        let words: Vec<&str> = words.split(' ').collect();
        let of_pounds = parts.iter().find(|(_, part)| part.whole() == Some("lb"));
        let Some((at, part)) =
            of_pounds.filter(|_| Whole::headed(whole, &words, None).unit.is_none())
        else {
            continue;
        };
        let own = sheet.header.get(*at).map_or("", String::as_str);
        problems.push(format!(
            "Weights without a unit are said to be {0}, and the column {1} to hold {2} of the weight in {3}, which is then in pounds. Give another answer, take nothing from {1}, or head {3} with its unit in the sheet.",
            bare.slug(),
            quoted(own),
            part.slug(),
            quoted(name)
        ));
    }
    problems
}

fn of_which(sheet: &Sheet, (at, part): (usize, Field)) -> String {
    format!(
        "Nothing is taken from the column {0}, which is headed like the {1} of a weight: several weights stand before it, and their order does not say of which it is. Put the {1} of each weight in the column to its right in the sheet.",
        quoted(&sheet.header[at]),
        part.slug()
    )
}

fn sentence(sheet: &Sheet, (at, part): (usize, Field), whole: usize) -> String {
    let (own, weight) = (quoted(&sheet.header[at]), quoted(&sheet.header[whole]));
    let first = match at < whole {
        true => format!("Put it to the right of {weight} in the sheet, and say"),
        false => "Say".to_owned(),
    };
    let like = match is_nameless(sheet, at) {
        true => "has no heading and holds figures like",
        false => "is headed like",
    };
    format!(
        "Nothing is taken from the column {own}, which {like} the {0} of the weight in {weight}: without it weights would be too small, and some no weight at all. {first} that it holds {0}, or take it out of the sheet.",
        part.slug()
    )
}

fn column(mapping: &Mapping, at: usize) -> Option<Column> {
    mapping.columns.get(at).copied().flatten()
}

/// The weight that a column which is not taken would be a part of: the nearest to its left, unless
/// that is a total that is not taken; else the nearest to its right.
fn whole_of(sheet: &Sheet, mapping: &Mapping, at: usize) -> Option<usize> {
    for left in (0..at).rev() {
        let words = key(&sheet.header[left]);
        let words: Vec<&str> = words.split(' ').collect();
        match column(mapping, left) {
            Some(held) if held.field == Field::Weight => return Some(left),
            None if says(&words, &POUNDS) || says(&words, &KILOGRAMS) => return None,
            _ => {}
        }
    }
    let mut right = at + 1..sheet.header.len();
    right.find(|right| column(mapping, *right).is_some_and(|c| c.field == Field::Weight))
}
