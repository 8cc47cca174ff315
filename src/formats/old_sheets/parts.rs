//! Weights written in two or three columns, a unit each: pounds, then the ounces and drams that
//! belong to them; kilograms, then grams.

use std::collections::BTreeMap;

use super::nameless::{holds_ounces, is_nameless};
use super::{Column, Field, Mapping};
use crate::domain::groups::Group;
use crate::domain::names::key;
use crate::domain::units::is_gap;
use crate::formats::csv::Sheet;

mod left_out;

pub(super) use left_out::left_out;

/// Words of headings. Common practice, no source; so are those of the parts.
const POUNDS: [&str; 4] = ["lb", "lbs", "pound", "pounds"];
const KILOGRAMS: [&str; 6] = ["kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"];

impl Field {
    /// Belongs to the weight to its left.
    pub fn is_part(self) -> bool {
        self.whole().is_some()
    }

    /// Figures of what was caught.
    pub(super) fn is_figures(self) -> bool {
        self.may_repeat() || self.is_part()
    }

    /// The unit of the weight that it is a part of.
    fn whole(self) -> Option<&'static str> {
        match self {
            Self::Ounces | Self::Drams => Some("lb"),
            Self::Grams => Some("kg"),
            _ => None,
        }
    }

    /// How many of it make one of the next larger unit.
    fn most(self) -> u32 {
        match self {
            Self::Grams => 1000,
            _ => 16,
        }
    }
}

fn says(words: &[&str], list: &[&str]) -> bool {
    words.iter().any(|word| list.contains(word))
}

/// The largest of the parts that a heading names; `None` where it names the whole as well.
fn part_named(words: &[&str]) -> Option<Field> {
    let mut parts = [Field::Ounces, Field::Drams, Field::Grams].into_iter();
    match says(words, &POUNDS) || says(words, &KILOGRAMS) {
        true => None,
        false => parts.find(|part| says(words, part.headings())),
    }
}

/// A column headed like a weight, as its parts are looked for to its right.
pub(super) struct Whole {
    at: usize,
    /// `None` where it is a total that is not taken: nor are its parts.
    group: Option<Option<Group>>,
    unit: Option<&'static str>,
    /// Its heading names a part as well: `Weight (lb-oz)`.
    complete: bool,
    total: bool,
    parts: Vec<Field>,
}

impl Whole {
    /// The column of a weight headed `words`; `taken` is what it holds, if anything.
    pub(super) fn headed(at: usize, words: &[&str], taken: Option<Column>) -> Self {
        Self {
            at,
            group: taken.map(|column| column.group),
            unit: match (says(words, &POUNDS), says(words, &KILOGRAMS)) {
                (true, _) => Some("lb"),
                (false, true) => Some("kg"),
                (false, false) => None,
            },
            complete: [Field::Ounces, Field::Drams, Field::Grams]
                .iter()
                .any(|part| says(words, part.headings())),
            total: words.contains(&"total"),
            parts: Vec::new(),
        }
    }

    /// A column of this part, headed `words`, may be of it wherever it stands.
    fn may_lack(&self, part: Field, words: &[&str]) -> bool {
        part.whole() == Some(self.unit.unwrap_or("lb")) && self.is_open(words)
    }

    /// The same where a heading without a unit may stand over kilograms as well.
    fn may_have_lost(&self, part: Field, words: &[&str]) -> bool {
        let unit = self.unit.is_none() || part.whole() == self.unit;
        unit && self.is_open(words)
    }

    fn is_open(&self, words: &[&str]) -> bool {
        (self.total || !words.contains(&"total")) && !self.complete
    }

    /// A weight in pounds, by its heading.
    pub(super) fn is_pounds(&self) -> bool {
        self.unit == Some("lb")
    }

    /// The part of it that a column headed `words` holds, if it is one; within that `None` where the
    /// whole is not taken.
    pub(super) fn part(
        &mut self,
        at: usize,
        words: &[&str],
        group: Option<Group>,
    ) -> Option<Option<Field>> {
        let part = part_named(words)?;
        let beside = at == self.at + self.parts.len() + 1;
        let near = self.unit.is_some() || beside;
        let in_turn = match self.parts.last() {
            None => part != Field::Drams,
            Some(last) => (*last, part) == (Field::Ounces, Field::Drams),
        };
        let of_it = group.is_none() || self.group.is_none_or(|own| own == group);
        if !self.may_lack(part, words) || !near || !in_turn || !of_it {
            return None;
        }
        self.parts.push(part);
        Some(self.group.map(|_| part))
    }

    /// Does its heading stand over the next column too, as a spreadsheet merges the two? That one
    /// has no heading of its own, and ounces beside whole pounds.
    pub(super) fn stands_over(&self, sheet: &Sheet, at: usize) -> bool {
        let beside = at == self.at + 1 && self.group.is_some();
        beside
            && is_nameless(sheet, at)
            && self.may_lack(Field::Ounces, &[])
            && holds_ounces(sheet, self.at, at)
    }
}

/// Does a heading name a part of a weight, and not the whole?
pub(super) fn names_part(words: &[&str]) -> bool {
    part_named(words).is_some()
}

/// Is it a part of a weight headed so that the order of the columns does not say of which: several
/// weights in its larger unit stand before the first such part?
pub(super) fn is_of_several(sheet: &Sheet, words: &[&str]) -> bool {
    part_named(words).is_some_and(|part| wholes_before(sheet, part).len() > 1)
}

/// The columns headed as a weight in the larger unit that stand before the first of its parts.
fn wholes_before(sheet: &Sheet, part: Field) -> Vec<usize> {
    let mut found = Vec::new();
    for (at, name) in sheet.header.iter().enumerate() {
        let words = key(name);
        let words: Vec<&str> = words.split(' ').collect();
        let own = part_named(&words);
        if own.is_some_and(|own| own.whole() == part.whole()) {
            return found;
        }
        let headed = Whole::headed(at, &words, None);
        if headed.unit.is_some() && headed.unit == part.whole() && !headed.complete {
            found.push(at);
        }
    }
    found
}

/// The columns that belong to each column of a weight, the larger units first.
pub(super) fn parts(mapping: &Mapping) -> BTreeMap<usize, Vec<(usize, Field)>> {
    let mut found: BTreeMap<usize, Vec<(usize, Field)>> = BTreeMap::new();
    let mut whole = None;
    for (at, column) in mapping.columns.iter().enumerate() {
        match (column.map(|column| column.field), whole) {
            (Some(Field::Weight), _) => whole = Some(at),
            (Some(field), Some(whole)) if field.is_part() => {
                found.entry(whole).or_default().push((at, field));
            }
            _ => {}
        }
    }
    for parts in found.values_mut() {
        parts.sort_by_key(|(_, field)| *field);
    }
    found
}

/// What a mapping says of parts that cannot be, a sentence each.
pub(super) fn contradictions(mapping: &Mapping) -> Vec<String> {
    let mut problems = Vec::new();
    let columns = mapping.columns.iter().flatten();
    let mut before = columns.take_while(|column| column.field != Field::Weight);
    if let Some(part) = before.find(|column| column.field.is_part()) {
        problems.push(format!(
            "A column is said to hold {0}, and no weight of a net stands to its left that the {0} belong to. Choose the column of that weight, or put the {0} after it in the sheet.",
            part.field.slug()
        ));
    }
    for parts in parts(mapping).values() {
        let fields: Vec<Field> = parts.iter().map(|(_, field)| *field).collect();
        if let Some(two) = fields.windows(2).find(|two| two[0] == two[1]) {
            problems.push(format!(
                "Two columns of {} belong to one weight. Say which column holds the weight of the second, or leave one out.",
                two[0].slug()
            ));
        }
        if fields
            .iter()
            .any(|field| field.whole() != fields[0].whole())
        {
            problems.push(
                "One weight is said to have grams beside ounces or drams. Leave one of them out."
                    .to_owned(),
            );
        }
    }
    problems
}

/// Nothing, or a whole number without a unit: a smaller unit may follow it.
pub(super) fn is_whole(cell: &str) -> bool {
    let cell = without_noughts(cell.trim());
    is_gap(cell) || cell.chars().all(|c| c.is_ascii_digit())
}

/// More than nothing, and less than the next larger unit.
pub(super) fn is_some_of(cell: &str, part: Field) -> bool {
    let cell = cell.trim();
    let digits: String = cell.chars().take_while(char::is_ascii_digit).collect();
    let some = cell.chars().any(|c| c.is_numeric() && c != '0');
    let few = digits
        .parse::<u32>()
        .map_or(digits.is_empty(), |n| n < part.most());
    some && few
}

/// `12` for the `12.0` of a program that keeps every number with a point.
pub(super) fn without_noughts(cell: &str) -> &str {
    match cell.split_once(['.', ',']) {
        Some((whole, noughts))
            if !whole.is_empty() && noughts.len() < 3 && noughts.chars().all(|c| c == '0') =>
        {
            whole
        }
        _ => cell,
    }
}

/// The cells of one weight as one text, each with its unit: `12 lb 8 oz`. `None` where nothing is
/// written. A weight that is whole in its own cell stands as it is.
pub(super) fn as_one_text(written: &[(Field, &str)], parts: &[(usize, Field)]) -> Option<String> {
    let whole = parts.iter().find_map(|(_, field)| field.whole())?;
    let (leading, rest) = written.split_first()?;
    let figures = |cell: &str| {
        cell.chars()
            .all(|c| c.is_ascii_digit() || matches!(c, '.' | ','))
    };
    if leading.0 == Field::Weight && rest.is_empty() && !figures(leading.1) {
        return Some(leading.1.to_owned());
    }
    // A minus is refused as that, not taken for a dash between two units.
    let minus = |cell: &str| cell.starts_with(['-', '\u{2010}', '\u{2013}', '\u{2212}']);
    if let Some((_, cell)) = written.iter().find(|(_, cell)| minus(cell)) {
        return Some((*cell).to_owned());
    }
    let mut text = Vec::new();
    if leading.0 != Field::Weight {
        text.push(format!("0 {whole}"));
    }
    for (field, cell) in written {
        let unit = match field {
            Field::Ounces => "oz",
            Field::Drams => "dr",
            Field::Grams => "g",
            _ => whole,
        };
        text.push(match cell.chars().any(char::is_alphabetic) {
            true => (*cell).to_owned(),
            false => format!("{} {unit}", without_noughts(cell)),
        });
    }
    Some(text.join(" "))
}
