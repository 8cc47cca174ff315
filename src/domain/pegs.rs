//! Pegs: the list an officer types (`1–24, 26–40`), the walking order along a bank, neighbours,
//! and which are closed on a day.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};

use crate::domain::dates::Day;
use crate::domain::ids::{BankId, PegId};
use crate::domain::units::quoted;

/// A numbered place to fish.
#[derive(Clone, Debug, PartialEq)]
pub struct Peg {
    pub id: PegId,
    pub bank: BankId,
    /// As painted on the stake: `14`, `A6`, `12A`.
    pub number: String,
    pub walk_order: i64,
    pub end_peg: bool,
    pub accessible: bool,
    /// Plan coordinates, metres.
    pub at: Option<(f64, f64)>,
    pub valid_from: Day,
    pub valid_to: Option<Day>,
    pub closures: Vec<Closure>,
}

/// Days on which a peg may not be fished, both ends included; open-ended without `to`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Closure {
    pub from: Day,
    pub to: Option<Day>,
    pub reason: String,
}

impl Closure {
    pub fn covers(&self, day: Day) -> bool {
        self.from <= day && self.to.is_none_or(|to| day <= to)
    }

    /// Some day is both of it and from `from` to `to`.
    pub fn meets(&self, (from, to): (Day, Option<Day>)) -> bool {
        to.is_none_or(|to| self.from <= to) && self.to.is_none_or(|to| from <= to)
    }

    /// `Closed from 2 Nov 2025 to 9 Nov 2025: bank works`.
    pub fn words(&self) -> String {
        let short = |day: Day| day.0.strftime("%-d %b %Y").to_string();
        // The page goes on after it, so a full stop of its own is left off.
        let reason = self.reason.trim_end_matches('.');
        let from = short(self.from);
        match self.to {
            Some(to) if to == self.from => format!("Closed on {from}: {reason}"),
            Some(to) => format!("Closed from {from} to {}: {reason}", short(to)),
            None => format!("Closed from {from}: {reason}"),
        }
    }
}

/// Closures that are alike, each with the numbers of the pegs it closes, as first met.
pub fn closed_together<'a>(
    closed: impl IntoIterator<Item = (&'a str, &'a Closure)>,
) -> Vec<(&'a Closure, Vec<&'a str>)> {
    let mut alike: Vec<(&Closure, Vec<&str>)> = Vec::new();
    for (number, closure) in closed {
        match alike.iter_mut().find(|(known, _)| *known == closure) {
            Some((_, numbers)) => numbers.push(number),
            None => alike.push((closure, vec![number])),
        }
    }
    alike
}

impl Peg {
    /// There was such a peg on that day.
    pub fn existed_on(&self, day: Day) -> bool {
        self.valid_from <= day && self.valid_to.is_none_or(|to| day <= to)
    }

    /// Why it may not be fished that day, if so.
    pub fn closed_on(&self, day: Day) -> Option<&Closure> {
        self.closures.iter().find(|closure| closure.covers(day))
    }

    pub fn open_on(&self, day: Day) -> bool {
        self.existed_on(day) && self.closed_on(day).is_none()
    }
}

/// Sorts pegs as one walks the banks: bank by bank in the order of `banks`, then walking order.
pub fn walk(pegs: &mut [Peg], banks: &[BankId]) {
    let order: BTreeMap<BankId, usize> =
        banks.iter().enumerate().map(|(at, id)| (*id, at)).collect();
    pegs.sort_by(|a, b| {
        let at = |peg: &Peg| {
            (
                order.get(&peg.bank).copied().unwrap_or(usize::MAX),
                peg.walk_order,
            )
        };
        at(a)
            .cmp(&at(b))
            .then_with(|| by_number(&a.number, &b.number))
    });
}

/// The pegs before and after `peg` on its own bank, of those that existed on `day`.
pub fn neighbours(pegs: &[Peg], peg: PegId, day: Day) -> (Option<&Peg>, Option<&Peg>) {
    let Some(own) = pegs.iter().find(|p| p.id == peg) else {
        return (None, None);
    };
    let beside = pegs
        .iter()
        .filter(|p| p.id != peg && p.bank == own.bank && p.existed_on(day));
    let before = beside
        .clone()
        .filter(|p| p.walk_order < own.walk_order)
        .max_by_key(|p| p.walk_order);
    let after = beside
        .filter(|p| p.walk_order > own.walk_order)
        .min_by_key(|p| p.walk_order);
    (before, after)
}

/// Compares peg numbers as a person would: 2 before 10, A2 before A10, 12 before 12A.
pub fn by_number(a: &str, b: &str) -> Ordering {
    let parts = |text: &str| match PegNumber::read(text) {
        Some(n) => (n.before, n.number, n.after),
        None => (text.to_uppercase(), 0, String::new()),
    };
    parts(a).cmp(&parts(b))
}

/// Letters, a number, letters: `A6`, `14`, `12A`.
#[derive(Clone, Debug, PartialEq, Eq)]
struct PegNumber {
    before: String,
    number: u32,
    after: String,
}

impl PegNumber {
    fn read(text: &str) -> Option<Self> {
        let text = text.trim().to_ascii_uppercase();
        let start = text.find(|c: char| c.is_ascii_digit())?;
        let (before, rest) = text.split_at(start);
        let end = rest
            .find(|c: char| !c.is_ascii_digit())
            .unwrap_or(rest.len());
        let (digits, after) = rest.split_at(end);
        let letters = |part: &str| part.len() <= 3 && part.bytes().all(|b| b.is_ascii_uppercase());
        let fits = letters(before) && letters(after) && digits.len() <= 4;
        fits.then(|| Self {
            before: before.to_owned(),
            number: digits.parse().unwrap_or(0),
            after: after.to_owned(),
        })
    }

    fn label(&self) -> String {
        format!("{}{}{}", self.before, self.number, self.after)
    }
}

/// What was made of a typed list of pegs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PegList {
    /// In the order typed, which is the walking order.
    pub numbers: Vec<String>,
    /// Numbers between the lowest and the highest that the list leaves out: shown, not refused.
    pub left_out: Vec<String>,
}

impl PegList {
    /// `39 pegs, 1 to 40. 25 is left out.`
    pub fn echo(&self) -> String {
        let ends = match self.numbers.as_slice() {
            [] => return "No pegs.".to_owned(),
            [one] => return format!("1 peg, {one}."),
            [first, .., last] => format!("{} pegs, {first} to {last}.", self.numbers.len()),
        };
        match self.left_out.as_slice() {
            [] => ends,
            [one] => format!("{ends} {one} is left out."),
            [all @ .., last] if all.len() < 12 => {
                format!("{ends} {} and {last} are left out.", all.join(", "))
            }
            all => format!("{ends} {} numbers between are left out.", all.len()),
        }
    }
}

/// The number on the stake of a peg that is named in full: `Peg 14` is peg 14.
pub fn bare_number(typed: &str) -> &str {
    let typed = typed.trim();
    let named = ["peg ", "pegs "].into_iter().find_map(|word| {
        let start = typed.get(..word.len())?;
        start
            .eq_ignore_ascii_case(word)
            .then(|| typed[word.len()..].trim())
    });
    named.unwrap_or(typed)
}

/// The most pegs one list may name.
const MOST_PEGS: usize = 500;

/// Reads `1–24, 26–40`, `1 to 24`, `A1–A6`, `A1-6`, `12A`; parts are divided by commas, semicolons
/// or line ends. A range may run downwards, which is the way it is then walked.
///
/// Errors: every part that cannot be read and every peg named twice, each as a sentence.
pub fn read_peg_list(typed: &str) -> Result<PegList, Vec<String>> {
    let mut numbers = Vec::new();
    let mut problems = Vec::new();
    if typed.len() > 10_000 {
        return Err(vec![
            "The list of pegs is too long. Write ranges, for example 1–24, 26–40.".to_owned(),
        ]);
    }
    for part in typed
        .split([',', ';', '\n', '\r'])
        .map(str::trim)
        .filter(|part| !part.is_empty())
    {
        match read_part(part) {
            Ok(more) => numbers.extend(more),
            Err(sentence) => problems.push(sentence),
        }
        if numbers.len() > MOST_PEGS {
            return Err(vec![format!(
                "That is more than {MOST_PEGS} pegs. Check the last number of each range."
            )]);
        }
    }
    let mut seen = BTreeSet::new();
    let twice: BTreeSet<String> = numbers
        .iter()
        .map(PegNumber::label)
        .filter(|label| !seen.insert(label.clone()))
        .collect();
    if !twice.is_empty() {
        let list: Vec<_> = twice.iter().take(8).cloned().collect();
        problems.push(match list.as_slice() {
            [one] => format!("Peg {one} is named twice. Take it out of one of the ranges."),
            many => format!(
                "Pegs {} are named twice. Take them out of one of the ranges.",
                many.join(", ")
            ),
        });
    }
    if numbers.is_empty() && problems.is_empty() {
        problems.push("Name the pegs, for example 1–24, 26–40.".to_owned());
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    Ok(PegList {
        left_out: left_out(&numbers),
        numbers: numbers.iter().map(PegNumber::label).collect(),
    })
}

/// Writes pegs as [`read_peg_list`] reads them, runs of neighbours as ranges: `1–24, 26–40`.
pub fn write_peg_list<'a>(numbers: impl IntoIterator<Item = &'a str>) -> String {
    runs(numbers, "–").join(", ")
}

/// Pegs as a sentence has them: `peg 9`, `pegs 12 to 14 and 99`.
pub fn peg_words<'a>(numbers: impl IntoIterator<Item = &'a str>) -> String {
    let runs = runs(numbers, " to ");
    match runs.as_slice() {
        [] => "no pegs".to_owned(),
        [one] if one.contains(" to ") => format!("pegs {one}"),
        [one] => format!("peg {one}"),
        [first @ .., last] => format!("pegs {} and {last}", first.join(", ")),
    }
}

/// Pegs with each run of neighbours as one range.
fn runs<'a>(numbers: impl IntoIterator<Item = &'a str>, between: &str) -> Vec<String> {
    let mut runs: Vec<(PegNumber, PegNumber, i64)> = Vec::new();
    for number in numbers {
        let Some(peg) = PegNumber::read(number) else {
            continue;
        };
        if let Some((_, last, step)) = runs.last_mut() {
            let by = i64::from(peg.number) - i64::from(last.number);
            let plain = peg.before == last.before && peg.after.is_empty() && last.after.is_empty();
            if plain && by.abs() == 1 && (*step == 0 || *step == by) {
                *last = peg;
                *step = by;
                continue;
            }
        }
        runs.push((peg.clone(), peg, 0));
    }
    runs.iter()
        .map(|(first, last, step)| match step {
            0 => first.label(),
            _ => format!("{}{between}{}", first.label(), last.label()),
        })
        .collect()
}

fn read_part(part: &str) -> Result<Vec<PegNumber>, String> {
    let part = bare_number(part);
    let mend = || {
        format!(
            "{} is not a peg or a range of pegs. Write 14, or 1–24, or A1–A6.",
            quoted(part)
        )
    };
    let plain: String = part
        .replace(" to ", "-")
        .chars()
        .filter(|c| !c.is_whitespace())
        .map(|c| {
            if matches!(c, '\u{2010}'..='\u{2015}' | '\u{2212}') {
                '-'
            } else {
                c
            }
        })
        .collect();
    let ends: Vec<&str> = plain.split('-').collect();
    let read = |text: &str| PegNumber::read(text).ok_or_else(mend);
    let pegs = match ends.as_slice() {
        [one] => vec![read(one)?],
        [first, last] => {
            let first = read(first)?;
            let mut last = read(last)?;
            if last.before.is_empty() {
                last.before.clone_from(&first.before);
            }
            range(part, &first, &last)?
        }
        _ => return Err(mend()),
    };
    match pegs.iter().any(|peg| peg.number == 0) {
        true => Err(format!(
            "{} has a peg 0. Pegs are numbered from 1.",
            quoted(part)
        )),
        false => Ok(pegs),
    }
}

fn range(part: &str, first: &PegNumber, last: &PegNumber) -> Result<Vec<PegNumber>, String> {
    if first.before != last.before || !first.after.is_empty() || !last.after.is_empty() {
        return Err(format!(
            "{} does not run from one letter’s pegs to the same letter’s. Write A1–A6, B1–B6 apart, and 12A on its own.",
            quoted(part)
        ));
    }
    let (low, high) = (first.number.min(last.number), first.number.max(last.number));
    if (high - low) as usize >= MOST_PEGS {
        return Err(format!(
            "{} is more than {MOST_PEGS} pegs. Check its last number.",
            quoted(part)
        ));
    }
    let peg = |number| PegNumber {
        number,
        ..first.clone()
    };
    Ok(if first.number <= last.number {
        (low..=high).map(peg).collect()
    } else {
        (low..=high).rev().map(peg).collect()
    })
}

/// Numbers missing between the lowest and the highest of each letter.
fn left_out(numbers: &[PegNumber]) -> Vec<String> {
    let mut by_letter: BTreeMap<&str, BTreeSet<u32>> = BTreeMap::new();
    for peg in numbers {
        by_letter.entry(&peg.before).or_default().insert(peg.number);
    }
    by_letter
        .iter()
        .flat_map(|(letter, have)| {
            let ends = have.first().copied().zip(have.last().copied());
            ends.into_iter()
                .flat_map(|(low, high)| low..high)
                .filter(|number| !have.contains(number))
                .map(|number| format!("{letter}{number}"))
                .collect::<Vec<_>>()
        })
        .collect()
}
