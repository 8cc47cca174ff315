//! Reads a weight as it is typed: `12-8`, `12 lb 8 oz`, `12-8-4`, `8 oz`, `5.67 kg`, `5,67kg`,
//! `5670 g`. What could be two weights is a question, never a guess: `12.8` in pounds may be
//! 12 lb 8 oz or 12.8 lb. What cannot be read is a sentence that says how to mend it.

use super::quoted;
use super::weight::{DRAMS_PER_OUNCE, DRAMS_PER_POUND, Scale, Weight};

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

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Unit {
    Pound,
    Ounce,
    Dram,
    Kilogram,
    Gram,
}

#[derive(Clone, Debug, PartialEq)]
enum Token {
    Number(Number),
    Unit(Unit),
    Dash,
    Month(i64),
}

/// Digits, and after a point or comma more digits.
#[derive(Clone, Debug, PartialEq)]
struct Number {
    whole: String,
    point: Option<(char, String)>,
}

impl Number {
    fn whole(&self) -> Option<i64> {
        match self.point {
            None => Some(self.whole.parse().unwrap_or(i64::MAX)),
            Some(_) => None,
        }
    }

    /// The number times `unit`, rounded down; the second is whether that was exact.
    fn times(&self, unit: i64) -> (i64, bool) {
        let after = self.point.as_ref().map_or("", |(_, digits)| digits);
        let digits: i128 = format!("{}{after}", self.whole)
            .parse()
            .unwrap_or(i128::MAX / 1_000_000);
        let scale = 10_i128.pow(after.len() as u32);
        let product = digits.saturating_mul(i128::from(unit));
        (
            i64::try_from(product / scale).unwrap_or(i64::MAX),
            product % scale == 0,
        )
    }

    fn shown(&self) -> String {
        match &self.point {
            None => self.whole.clone(),
            Some((_, digits)) => format!("{}.{digits}", self.whole),
        }
    }
}

fn tokens(text: &str) -> Read<Vec<Token>> {
    let mut found = Vec::new();
    let mut rest = text.chars().peekable();
    while let Some(&c) = rest.peek() {
        if c.is_whitespace() || c == '+' && matches!(found.last(), Some(Token::Unit(_))) {
            rest.next();
        } else if c.is_ascii_digit() || matches!(c, '.' | ',') {
            let mut run = String::new();
            while let Some(c) = rest.next_if(|c| c.is_ascii_digit() || matches!(c, '.' | ',')) {
                run.push(c);
            }
            found.push(Token::Number(number(text, &run)?));
        } else if c.is_ascii_alphabetic() {
            let mut word = String::new();
            while let Some(c) = rest.next_if(char::is_ascii_alphabetic) {
                word.push(c.to_ascii_lowercase());
            }
            let _full_stop = rest.next_if_eq(&'.');
            found.extend(word_token(text, &word)?);
        } else if matches!(c, '-' | '\u{2010}'..='\u{2015}' | '\u{2212}') {
            rest.next();
            found.push(Token::Dash);
        } else {
            return Err(odd_character(text, c));
        }
    }
    Ok(found)
}

fn odd_character(text: &str, c: char) -> String {
    if c.is_numeric() {
        format!(
            "{} has a figure that cannot be read here. Use 0 to 9, and ounces for parts of a pound: 4 lb 8 oz.",
            quoted(text)
        )
    } else if super::is_unseen(c) || c.is_control() {
        format!(
            "{} holds a character that cannot be seen. Type the weight again, for example 12-8 or 5.67 kg.",
            quoted(text)
        )
    } else {
        format!(
            "{} cannot be read because of “{c}”. Write a weight like 12-8, 12 lb 8 oz, 5.67 kg or 5670 g.",
            quoted(text)
        )
    }
}

fn number(text: &str, run: &str) -> Read<Number> {
    let seps = run.matches(['.', ',']).count();
    let (whole, point) = match run.find(['.', ',']) {
        None => (run, None),
        Some(at) => (
            &run[..at],
            run[at..].chars().next().map(|c| (c, &run[at + 1..])),
        ),
    };
    if seps > 1 || point.is_some_and(|(_, digits)| digits.is_empty()) {
        return Err(format!(
            "{} has a point or comma too many. Write kilograms with one, as in 5.67 kg, or grams with none, as in 5670 g.",
            quoted(text)
        ));
    }
    if whole.len() > 12 || point.is_some_and(|(_, digits)| digits.len() > 12) {
        return Err(format!(
            "{} has too many figures for a weight. Check it and type it again.",
            quoted(text)
        ));
    }
    Ok(Number {
        whole: if whole.is_empty() { "0" } else { whole }.to_owned(),
        point: point.map(|(c, digits)| (c, digits.to_owned())),
    })
}

const MONTHS: [&str; 12] = [
    "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
];

fn word_token(text: &str, word: &str) -> Read<Option<Token>> {
    let unit = match word {
        "lb" | "lbs" | "pound" | "pounds" => Unit::Pound,
        "oz" | "ozs" | "ounce" | "ounces" => Unit::Ounce,
        "dr" | "drs" | "drm" | "drms" | "dram" | "drams" => Unit::Dram,
        "kg" | "kgs" | "kilo" | "kilos" | "kilogram" | "kilograms" | "kilogramme"
        | "kilogrammes" => Unit::Kilogram,
        "g" | "gr" | "gm" | "gms" | "gram" | "grams" | "gramme" | "grammes" => Unit::Gram,
        "and" => return Ok(None),
        "st" | "stone" | "stones" => {
            return Err(format!(
                "{} is in stones. Give it in pounds: a stone is 14 lb.",
                quoted(text)
            ));
        }
        "blank" | "nil" | "dnw" | "dnf" | "dns" | "dsq" | "dq" | "absent" | "none" => {
            return Err(format!(
                "{} is not a weight. Leave the weight empty and mark what happened instead.",
                quoted(text)
            ));
        }
        "t" | "ton" | "tons" | "tonne" | "tonnes" | "cwt" | "mg" | "d" => {
            return Err(format!(
                "{} is in a unit that scales on the bank do not show. Use pounds and ounces, kilograms or grams.",
                quoted(text)
            ));
        }
        _ => match MONTHS.iter().position(|month| word.starts_with(month)) {
            Some(at) => return Ok(Some(Token::Month(at as i64 + 1))),
            None => {
                return Err(format!(
                    "{} cannot be read as a weight. Write it like 12-8, 12 lb 8 oz, 5.67 kg or 5670 g.",
                    quoted(text)
                ));
            }
        },
    };
    Ok(Some(Token::Unit(unit)))
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

/// Pounds, ounces and drams, each a whole number.
fn imperial(text: &str, parts: &[&Number]) -> Read<WeightReading> {
    let whole: Option<Vec<i64>> = parts.iter().map(|n| n.whole()).collect();
    let Some(whole) = whole else {
        return Err(format!(
            "{} mixes a dash with a point. Write 12-8 for 12 lb 8 oz, and 12-8-4 where there are odd drams.",
            quoted(text)
        ));
    };
    let (lb, oz, dr) = (whole[0], whole[1], whole.get(2).copied().unwrap_or(0));
    if oz > 15 {
        return Err(too_many_ounces(text, lb, oz));
    }
    if dr > 15 {
        return Err(format!(
            "{} has {dr} drams. Drams run from 0 to 15, since 16 make an ounce.",
            quoted(text)
        ));
    }
    sized(
        text,
        Scale::Drams,
        lb.saturating_mul(DRAMS_PER_POUND)
            .saturating_add(oz * DRAMS_PER_OUNCE + dr),
    )
}

fn too_many_ounces(text: &str, lb: i64, oz: i64) -> String {
    let mended = Weight::new(
        lb.saturating_mul(16)
            .saturating_add(oz)
            .saturating_mul(DRAMS_PER_OUNCE),
        Scale::Drams,
    )
    .filter(|weight| oz < 100 && weight.amount() <= MOST_DRAMS)
    .map(|weight| format!(" {oz} oz and {lb} lb together are {}.", weight.words()))
    .unwrap_or_default();
    format!(
        "{} has {} ounces. Ounces run from 0 to 15, since 16 make a pound.{mended}",
        quoted(text),
        if oz < 1_000_000 {
            oz.to_string()
        } else {
            "far too many".to_owned()
        }
    )
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

/// `12.8 lb, which is 12 lb 12 oz 12 dr`: rounded down to the dram.
fn decimal_pounds(n: &Number) -> Choice {
    let (drams, exact) = n.times(DRAMS_PER_POUND);
    let choice = plain(Scale::Drams, drams);
    Choice {
        words: format!(
            "{} lb, which is {}{}",
            n.shown(),
            choice.words,
            if exact { "" } else { ", rounded down" }
        ),
        ..choice
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

fn bare_pounds(text: &str, n: &Number, bare: Bare) -> Read<WeightReading> {
    match n.whole() {
        Some(lb) if bare == Bare::AsScales => {
            sized(text, Scale::Drams, lb.saturating_mul(DRAMS_PER_POUND))
        }
        Some(number) => {
            sized(text, Scale::Drams, number.saturating_mul(DRAMS_PER_POUND))?;
            Ok(question(
                text,
                vec![
                    plain(Scale::Drams, number * DRAMS_PER_POUND),
                    plain(Scale::Drams, number * DRAMS_PER_OUNCE),
                ],
            ))
        }
        None => point_in_pounds(text, n),
    }
}

/// `12.8`: pounds and ounces, or a part of a pound? Asked, unless both come to the same.
fn point_in_pounds(text: &str, n: &Number) -> Read<WeightReading> {
    let (drams, _) = n.times(DRAMS_PER_POUND);
    sized(text, Scale::Drams, drams)?;
    let as_part = decimal_pounds(n);
    let choices = match ounces_after_point(n) {
        Some(oz) => {
            let lb: i64 = n.whole.parse().unwrap_or(0);
            let as_ounces = plain(Scale::Drams, lb * DRAMS_PER_POUND + oz * DRAMS_PER_OUNCE);
            if as_ounces.weight == as_part.weight {
                return Ok(WeightReading::Understood(as_part.weight));
            }
            vec![as_ounces, as_part]
        }
        None => vec![as_part],
    };
    Ok(question(text, choices))
}

/// The figures after the point, where they could be ounces: one or two of them, 0 to 15.
fn ounces_after_point(n: &Number) -> Option<i64> {
    let (_, digits) = n.point.as_ref()?;
    let ounces: i64 = digits.parse().ok()?;
    (digits.len() <= 2 && ounces <= 15).then_some(ounces)
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

fn pounds_point_ounces(text: &str, n: &Number, noughts_kept: bool) -> Read<WeightReading> {
    let lb: i64 = n.whole.parse().unwrap_or(i64::MAX);
    let Some((_, digits)) = &n.point else {
        return sized(text, Scale::Drams, lb.saturating_mul(DRAMS_PER_POUND));
    };
    let Some(oz) = ounces_after_point(n) else {
        return Err(format!(
            "{} cannot be pounds and ounces: after the point come ounces, from 0 to 15. Put it right in the sheet, for example 12-8.",
            quoted(text)
        ));
    };
    sized(text, Scale::Drams, lb.saturating_mul(DRAMS_PER_POUND))?;
    if digits == "1" && !noughts_kept {
        return Ok(question(
            text,
            vec![
                plain(Scale::Drams, lb * DRAMS_PER_POUND + DRAMS_PER_OUNCE),
                plain(Scale::Drams, lb * DRAMS_PER_POUND + 10 * DRAMS_PER_OUNCE),
            ],
        ));
    }
    sized(
        text,
        Scale::Drams,
        lb * DRAMS_PER_POUND + oz * DRAMS_PER_OUNCE,
    )
}

fn bare_grams(text: &str, n: &Number, bare: Bare) -> Read<WeightReading> {
    let Some(number) = n.whole() else {
        let read = kilograms(text, n)?;
        return Ok(match (read, bare) {
            (WeightReading::Understood(weight), Bare::Ask) => {
                question(text, vec![plain(Scale::Grams, weight.amount())])
            }
            (read, _) => read,
        });
    };
    if bare == Bare::AsScales && number >= SURELY_GRAMS {
        return sized(text, Scale::Grams, number);
    }
    sized(text, Scale::Grams, number)?;
    let mut choices = vec![plain(Scale::Grams, number)];
    if number < 1000 {
        choices.push(plain(Scale::Grams, number * 1000));
    }
    Ok(question(text, choices))
}

fn kilograms(text: &str, n: &Number) -> Read<WeightReading> {
    match n.times(1000) {
        (grams, true) => sized(text, Scale::Grams, grams),
        _ => Err(format!(
            "{} is finer than a gram. Give kilograms to three places at most, as in 5.670 kg.",
            quoted(text)
        )),
    }
}

fn grams(text: &str, n: &Number) -> Read<WeightReading> {
    let thousands = n
        .point
        .as_ref()
        .filter(|(_, digits)| digits.len() == 3 && n.whole.len() <= 3);
    match (n.whole(), thousands) {
        (Some(grams), _) => sized(text, Scale::Grams, grams),
        (None, Some((',', digits))) => {
            let grams = format!("{}{digits}", n.whole);
            sized(text, Scale::Grams, grams.parse().unwrap_or(i64::MAX))
        }
        (None, Some((_, digits))) => {
            let grams = format!("{}{digits}", n.whole).parse().unwrap_or(0);
            Ok(WeightReading::Question {
                asks: format!(
                    "{} has a point in a number of grams. Is this what the scales said?",
                    quoted(text)
                ),
                choices: vec![plain(Scale::Grams, grams)],
            })
        }
        (None, None) => Err(format!(
            "{} is a part of a gram. Give whole grams, as in 5670 g, or kilograms, as in 5.67 kg.",
            quoted(text)
        )),
    }
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

fn kilograms_and_grams(text: &str, kg: &Number, g: &Number) -> Read<WeightReading> {
    match (kg.whole(), g.whole()) {
        (Some(kg), Some(g)) if g < 1000 => sized(
            text,
            Scale::Grams,
            kg.saturating_mul(1000).saturating_add(g),
        ),
        _ => Err(format!(
            "{} has too many grams beside its kilograms. Write it like 5.67 kg or 5670 g.",
            quoted(text)
        )),
    }
}

/// Falling units of pounds, ounces and drams. Only the last may have a part, rounded down.
fn pounds_to_drams(text: &str, pairs: &[(&Number, Unit)]) -> Read<WeightReading> {
    let falling = pairs.windows(2).all(|two| two[0].1 < two[1].1);
    let imperial = pairs.iter().all(|(_, unit)| *unit <= Unit::Dram);
    let parts_last = pairs.iter().rev().skip(1).all(|(n, _)| n.point.is_none());
    if pairs.is_empty() || !falling || !imperial || !parts_last {
        return Err(unreadable(text));
    }
    let mut drams = 0_i64;
    for (place, (n, unit)) in pairs.iter().enumerate() {
        let size = match unit {
            Unit::Pound => DRAMS_PER_POUND,
            Unit::Ounce => DRAMS_PER_OUNCE,
            _ => 1,
        };
        let (amount, _) = n.times(size);
        if place > 0 && amount >= 16 * size {
            return Err(match unit {
                Unit::Ounce => too_many_ounces(text, pairs[0].0.whole().unwrap_or(0), n.times(1).0),
                _ => format!(
                    "{} has {} drams. Drams run from 0 to 15, since 16 make an ounce.",
                    quoted(text),
                    n.shown()
                ),
            });
        }
        drams = drams.saturating_add(amount);
    }
    sized(text, Scale::Drams, drams)
}
