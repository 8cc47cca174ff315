//! A column without a heading beside a weight: its ounces, where a spreadsheet merged the heading of
//! the two, or other figures, such as places and points.

use super::Field;
use super::parts::{is_some_of, is_whole, without_noughts};
use super::reading::is_total_name;
use crate::domain::matches::Outcome;
use crate::domain::units::is_gap;
use crate::formats::csv::{Row, Sheet};

pub(super) fn is_nameless(sheet: &Sheet, at: usize) -> bool {
    sheet.headed && sheet.header[at] == format!("Column {}", at + 1)
}

/// All that it holds is ounces beside whole pounds.
pub(super) fn holds_ounces(sheet: &Sheet, whole: usize, at: usize) -> bool {
    let pairs = pairs(sheet, whole, at);
    let is_figure = |c: char| c.is_numeric() || matches!(c, '.' | ',');
    let fits = |cell: &str| is_some_of(cell, Field::Ounces) && cell.chars().all(is_figure);
    let nothing = |cell: &str| is_gap(cell) || without_noughts(cell) == "0";
    pairs.iter().any(|(_, own)| fits(own))
        && pairs
            .iter()
            .all(|(weight, own)| nothing(own) || (fits(own) && is_whole(weight)))
        && !are_places(&pairs)
}

/// Most of what it holds might be ounces beside whole pounds, which would be lost.
pub(super) fn may_hold_ounces(sheet: &Sheet, whole: usize, at: usize) -> bool {
    let pairs = pairs(sheet, whole, at);
    let few = |cell: &str| without_noughts(cell).parse::<u32>().is_ok_and(|n| n < 16);
    let written = pairs.iter().filter(|(_, own)| !is_gap(own)).count();
    let ounces = pairs
        .iter()
        .filter(|(weight, own)| is_whole(weight) && few(own))
        .count();
    let lost = pairs
        .iter()
        .any(|(weight, own)| is_whole(weight) && is_some_of(own, Field::Ounces));
    lost && ounces * 2 > written && !are_places(&pairs)
}

/// The cells of the weight and of the column, row by row: not of lines of totals, nor where a word
/// says what became of the angler.
fn pairs(sheet: &Sheet, whole: usize, at: usize) -> Vec<(&str, &str)> {
    let rows = sheet.rows.iter().filter(|row| !is_total(row, whole, at));
    rows.map(|row| (row.cell(whole).trim(), row.cell(at).trim()))
        .filter(|(weight, own)| !is_outcome(weight) && !is_outcome(own))
        .collect()
}

/// Another cell says that it is a total, or none says anything.
fn is_total(row: &Row, whole: usize, at: usize) -> bool {
    let cells = row.cells.iter().enumerate();
    let mut rest = cells
        .filter(|(n, cell)| *n != whole && *n != at && !is_gap(cell.trim()))
        .map(|(_, cell)| cell.trim())
        .peekable();
    rest.peek().is_none() || rest.any(is_total_name)
}

fn is_outcome(cell: &str) -> bool {
    Outcome::from_sheet(cell).is_some() || Outcome::is_unclear(cell)
}

/// Places or points down the rows of each match, some match of three or more: 1, 2, 3; or 10, 9, 8.
fn are_places(pairs: &[(&str, &str)]) -> bool {
    let weighed = pairs.iter().filter(|(weight, own)| {
        let some = weight.chars().any(|c| matches!(c, '1'..='9'));
        some && !is_gap(own)
    });
    let figures: Option<Vec<u32>> = weighed
        .map(|(_, own)| without_noughts(own).parse().ok())
        .collect();
    let figures = figures.unwrap_or_default();
    let rising: Vec<&[u32]> = figures
        .chunk_by(|a, b| a.checked_add(1) == Some(*b))
        .collect();
    let falling: Vec<&[u32]> = figures
        .chunk_by(|a, b| b.checked_add(1) == Some(*a))
        .collect();
    let some_long = |runs: &[&[u32]]| runs.iter().any(|run| run.len() > 2);
    let places = some_long(&rising) && rising.iter().all(|run| run.first() == Some(&1));
    let points = some_long(&falling) && falling.iter().all(|run| run.len() > 1);
    places || points
}
