//! Reads a weight as it is typed: `12-8`, `12 lb 8 oz`, `12-8-4`, `12-8¼`, `8 oz`, `5.67 kg`,
//! `5,67kg`, `5670 g`. What could be two weights is a question, never a guess: `12.8` in pounds may be
//! 12 lb 8 oz or 12.8 lb. What cannot be read is a sentence that says how to mend it.

mod imperial;
mod metric;
mod tokens;

use super::quoted;
use super::weight::{DRAMS_PER_OUNCE, DRAMS_PER_POUND, Scale, Weight};
use imperial::{
    bare_pounds, imperial, ounces_after_point, point_in_pounds, pounds_point_ounces,
    pounds_to_drams,
};
use metric::{bare_grams, grams, kilograms, kilograms_and_grams};
use tokens::{Number, Token, Unit, tokens};

/// What is made of a number without a unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bare {
    /// As scales of the expected unit show it: whole pounds, or grams, or kilograms with a point.
    /// A point in pounds is asked about, and so is a number of grams too small to be sure.
    AsScales,
    /// Always asked about.
    Ask,
    /// Answered once for a file: `12.8` is 12 lb 8 oz. Where a spreadsheet may have dropped a
    /// nought, `12.1` could be 12 lb 10 oz and is asked about.
    PoundsPointOunces { noughts_kept: bool },
    /// Answered once for a file: `12.8` is twelve pounds and eight tenths.
    DecimalPounds,
    /// Answered once for a file: ounces.
    Ounces,
    /// Answered once for a file: kilograms.
    Kilograms,
    /// Answered once for a file: grams.
    Grams,
}

/// What was made of what was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WeightReading {
    Understood(Weight),
    /// It could be any of these; `asks` is the sentence that puts the question.
    Question {
        asks: String,
        choices: Vec<Choice>,
    },
    /// A sentence that says how to mend it.
    Problem(String),
}

/// One of the weights that an unclear text may mean.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    pub weight: Weight,
    /// `12 lb 8 oz`, or `12.8 lb, which is 12 lb 12 oz 12 dr`.
    pub words: String,
}

impl WeightReading {
    pub fn understood(&self) -> Option<Weight> {
        match self {
            Self::Understood(weight) => Some(*weight),
            _ => None,
        }
    }
}

/// The heaviest weight believed in one net: 2,000 lb or 1,000 kg.
const MOST_DRAMS: i64 = 2_000 * DRAMS_PER_POUND;
const MOST_GRAMS: i64 = 1_000_000;

/// From this many on, a bare whole number where grams are expected is grams: a net of that many
/// kilograms is not believed. Below it, it is asked about.
const SURELY_GRAMS: i64 = 200;

/// The longest text looked at; the longest sensible weight is half of it.
const LONGEST: usize = 60;

/// Reads `typed` where scales of unit `expected` are in use.
///
/// The weight comes back in the unit that was typed, which need not be the expected one: a net
/// of `12 lb 8 oz` in a metric match stays 3200 dr.
pub fn read_weight(typed: &str, expected: Scale, bare: Bare) -> WeightReading {
    let text = typed.trim();
    if text.is_empty() {
        return problem("Enter a weight, for example 12-8, 12 lb 8 oz, 5.67 kg or 5670 g.");
    }
    if text.chars().count() > LONGEST {
        return problem(format!(
            "{} is too long for a weight. Enter one weight, for example 12-8 or 5.67 kg.",
            quoted(text)
        ));
    }
    match tokens(text).and_then(|tokens| read_tokens(text, &tokens, expected, bare)) {
        Ok(reading) => reading,
        Err(sentence) => WeightReading::Problem(sentence),
    }
}

type Read<T> = Result<T, String>;

fn problem(sentence: impl Into<String>) -> WeightReading {
    WeightReading::Problem(sentence.into())
}

fn read_tokens(text: &str, tokens: &[Token], expected: Scale, bare: Bare) -> Read<WeightReading> {
    use Token::{Dash, Month, Number};
    match tokens {
        [Dash, ..] => Err(format!(
            "{} begins with a minus. A weight is nothing or more: for a pound and four ounces write 1-4, for four ounces 4 oz.",
            quoted(text)
        )),
        [Number(n)] => read_bare(text, n, expected, bare),
        [Number(lb), Dash, Number(oz)] => imperial(text, &[lb, oz]),
        [Number(lb), Dash, Number(oz), Dash, Number(dr)] => imperial(text, &[lb, oz, dr]),
        [Number(a), Number(b)] => apart(text, &[a, b], expected),
        [Number(a), Number(b), Number(c)] => apart(text, &[a, b, c], expected),
        [Number(n), Dash, Month(m)] | [Number(n), Month(m)] => Ok(turned_into_a_date(text, n, *m)),
        [Month(m), Dash, Number(n)] | [Month(m), Number(n)] => Ok(turned_into_a_date(text, n, *m)),
        _ => with_units(text, tokens),
    }
}

/// Numbers with spaces between: pounds, ounces and drams, or the thousands of grams.
fn apart(text: &str, parts: &[&Number], expected: Scale) -> Read<WeightReading> {
    if expected == Scale::Drams {
        return imperial(text, parts);
    }
    let thousands = parts.len() == 2
        && parts.iter().all(|n| n.point.is_none())
        && parts[0].whole.len() <= 3
        && parts[1].whole.len() == 3;
    if thousands {
        let grams = format!("{}{}", parts[0].whole, parts[1].whole);
        return sized(text, Scale::Grams, grams.parse().unwrap_or(i64::MAX));
    }
    Err(format!(
        "{} could be more than one weight. Write 12 lb 8 oz, 5.67 kg or 5670 g.",
        quoted(text)
    ))
}

/// A spreadsheet shows a typed 12-8 as 12-Aug, or as 8-Dec where months come first.
fn turned_into_a_date(text: &str, number: &Number, month: i64) -> WeightReading {
    let day = number.whole().filter(|day| (1..=31).contains(day));
    let Some(day) = day else {
        return problem(format!(
            "{} looks like a date. Write the weight as 12 lb 8 oz or 5.67 kg.",
            quoted(text)
        ));
    };
    let mut choices = vec![plain(
        Scale::Drams,
        day * DRAMS_PER_POUND + month * DRAMS_PER_OUNCE,
    )];
    if day <= 15 && day != month {
        choices.push(plain(
            Scale::Drams,
            month * DRAMS_PER_POUND + day * DRAMS_PER_OUNCE,
        ));
    }
    WeightReading::Question {
        asks: format!(
            "{} looks like a weight that a spreadsheet turned into a date. Which did the scales say?",
            quoted(text)
        ),
        choices,
    }
}

fn plain(scale: Scale, amount: i64) -> Choice {
    let weight = Weight::new(amount, scale).unwrap_or(Weight::nothing(scale));
    Choice {
        weight,
        words: weight.words(),
    }
}

/// A number of units of `scale` is a weight when anyone could believe it.
fn sized(text: &str, scale: Scale, amount: i64) -> Read<WeightReading> {
    let most = match scale {
        Scale::Drams => MOST_DRAMS,
        Scale::Grams => MOST_GRAMS,
    };
    match Weight::new(amount, scale) {
        Some(weight) if amount <= most => Ok(WeightReading::Understood(weight)),
        _ => Err(format!(
            "{} is more than {}. Check it and its unit, and type it again.",
            quoted(text),
            match scale {
                Scale::Drams => "2,000 lb",
                Scale::Grams => "1,000 kg",
            }
        )),
    }
}

fn read_bare(text: &str, n: &Number, expected: Scale, bare: Bare) -> Read<WeightReading> {
    if n.times(1_000_000) == (0, true) {
        return Ok(WeightReading::Understood(Weight::nothing(expected)));
    }
    match (bare, expected) {
        (Bare::PoundsPointOunces { noughts_kept }, _) => pounds_point_ounces(text, n, noughts_kept),
        (Bare::DecimalPounds, _) => sized(text, Scale::Drams, n.times(DRAMS_PER_POUND).0),
        (Bare::Ounces, _) => sized(text, Scale::Drams, n.times(DRAMS_PER_OUNCE).0),
        (Bare::Kilograms, _) => kilograms(text, n),
        (Bare::Grams, _) => grams(text, n),
        (Bare::AsScales | Bare::Ask, Scale::Drams) => bare_pounds(text, n, bare),
        (Bare::AsScales | Bare::Ask, Scale::Grams) => bare_grams(text, n, bare),
    }
}

fn question(text: &str, choices: Vec<Choice>) -> WeightReading {
    let asks = match choices.len() {
        1 => format!(
            "{} has no unit. Is this what the scales said?",
            quoted(text)
        ),
        _ => format!(
            "{} could be two weights. Which did the scales say?",
            quoted(text)
        ),
    };
    WeightReading::Question { asks, choices }
}

/// Numbers with their units, largest first; the unit after the last may be left out after pounds.
fn with_units(text: &str, tokens: &[Token]) -> Read<WeightReading> {
    let mut pairs: Vec<(&Number, Unit)> = Vec::new();
    let mut rest = tokens
        .iter()
        .filter(|token| **token != Token::Dash)
        .peekable();
    while let Some(token) = rest.next() {
        let Token::Number(number) = token else {
            return Err(unreadable(text));
        };
        let unit = match rest.next() {
            Some(Token::Unit(unit)) => *unit,
            // `4 lb 1/2` may be four and a half pounds, `8 oz 1/2` eight and a half ounces.
            None if number.is_fraction_alone() => return Err(tokens::without_unit(text)),
            None if pairs.len() == 1 && pairs[0].1 == Unit::Pound => Unit::Ounce,
            None if pairs.last().is_some_and(|pair| pair.1 == Unit::Ounce) => Unit::Dram,
            _ => return Err(unreadable(text)),
        };
        pairs.push((number, unit));
    }
    match pairs.as_slice() {
        [(n, Unit::Kilogram)] => kilograms(text, n),
        [(n, Unit::Gram)] => grams(text, n),
        [(kg, Unit::Kilogram), (g, Unit::Gram)] => kilograms_and_grams(text, kg, g),
        [(n, Unit::Pound)] => match n.whole() {
            Some(lb) => sized(text, Scale::Drams, lb.saturating_mul(DRAMS_PER_POUND)),
            None if n.is_fraction() => Err(format!(
                "{} has a part of a pound. Use 0 to 9 and write it in ounces: 4 lb 8 oz, or 4 lb 8¼ oz.",
                quoted(text)
            )),
            None if ounces_after_point(n).is_some() => point_in_pounds(text, n),
            None => sized(text, Scale::Drams, n.times(DRAMS_PER_POUND).0),
        },
        pairs => pounds_to_drams(text, pairs),
    }
}

fn unreadable(text: &str) -> String {
    format!(
        "{} cannot be read as one weight. Write it like 12-8, 12 lb 8 oz, 5.67 kg or 5670 g.",
        quoted(text)
    )
}
