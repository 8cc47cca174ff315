//! A typed weight taken apart: numbers, units, dashes, and the months a spreadsheet puts in.

use super::Read;
use crate::domain::units::{is_unseen, quoted};

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Unit {
    Pound,
    Ounce,
    Dram,
    Kilogram,
    Gram,
}

#[derive(Clone, Debug, PartialEq)]
pub(super) enum Token {
    Number(Number),
    Unit(Unit),
    Dash,
    Month(i64),
}

/// Digits, and after a point or comma more digits. `3¼` and `3 1/4` stand as 3 and 25 after `¼`;
/// a fraction alone has no digits before it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Number {
    pub(super) whole: String,
    pub(super) point: Option<(char, String)>,
}

impl Number {
    pub(super) fn whole(&self) -> Option<i64> {
        match self.point {
            None => Some(self.whole.parse().unwrap_or(i64::MAX)),
            Some(_) => None,
        }
    }

    /// The number times `unit`, rounded down; the second is whether that was exact.
    pub(super) fn times(&self, unit: i64) -> (i64, bool) {
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

    /// Whether quarters or halves were written as a fraction: no point, so never pounds and ounces.
    pub(super) fn is_fraction(&self) -> bool {
        self.point.as_ref().is_some_and(|(mark, _)| *mark == '¼')
    }

    /// Whether it is a fraction with nothing before it.
    pub(super) fn is_fraction_alone(&self) -> bool {
        self.is_fraction() && self.whole.is_empty()
    }

    /// In quarters, where it is a number of them: `3.25` is 13.
    pub(super) fn quarters(&self) -> Option<i64> {
        let (quarters, exact) = self.times(4);
        exact.then_some(quarters)
    }

    pub(super) fn shown(&self) -> String {
        match &self.point {
            None => self.whole.clone(),
            Some((_, digits)) => format!("{}.{digits}", self.whole),
        }
    }
}

pub(super) fn tokens(text: &str) -> Read<Vec<Token>> {
    let mut found = Vec::new();
    let mut rest = text.chars().peekable();
    while let Some(&c) = rest.peek() {
        if c.is_whitespace() || c == '+' && matches!(found.last(), Some(Token::Unit(_))) {
            rest.next();
        } else if let Some((hundredths, taken)) = fraction(rest.clone())
            // `5-1/4` may be five and a quarter, or 5 lb 1 oz 4 dr.
            .filter(|(_, taken)| *taken == 1 || found.last() != Some(&Token::Dash))
        {
            rest.by_ref().take(taken).for_each(drop);
            let whole = match found.pop() {
                Some(Token::Number(n)) if n.point.is_none() => n.whole,
                before => {
                    found.extend(before);
                    String::new()
                }
            };
            found.push(Token::Number(Number {
                whole,
                point: Some(('¼', hundredths.to_owned())),
            }));
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
    match found.as_slice() {
        [Token::Number(n)] if n.is_fraction() && matches!(n.whole.as_str(), "" | "0") => {
            Err(without_unit(text))
        }
        _ => Ok(found),
    }
}

/// What is said of a fraction that could be of a pound, an ounce or a dram.
pub(super) fn without_unit(text: &str) -> String {
    format!(
        "{} has a fraction without a unit. Write it like 1/4 oz, or 4 lb 8 1/4 oz.",
        quoted(text)
    )
}

/// A quarter, a half or three quarters that begins here: its hundredths, and how many characters
/// it takes. A fraction of longer numbers, as in `11/4`, is none.
fn fraction(rest: impl Iterator<Item = char>) -> Option<(&'static str, usize)> {
    let ahead: Vec<char> = rest.take(4).collect();
    let hundredths = match ahead.as_slice() {
        ['¼', ..] => return Some(("25", 1)),
        ['½', ..] => return Some(("50", 1)),
        ['¾', ..] => return Some(("75", 1)),
        ['1', '/' | '\u{2044}', '4', ..] => "25",
        ['1', '/' | '\u{2044}', '2', ..] | ['2', '/' | '\u{2044}', '4', ..] => "50",
        ['3', '/' | '\u{2044}', '4', ..] => "75",
        _ => return None,
    };
    let longer = |c: &char| c.is_ascii_digit() || matches!(c, '/' | '.' | ',');
    (!ahead.get(3).is_some_and(longer)).then_some((hundredths, 3))
}

fn odd_character(text: &str, c: char) -> String {
    if c.is_numeric() {
        format!(
            "{} has a figure that cannot be read here. Use 0 to 9, and of fractions only ¼, ½ and ¾: 4 lb 8¼ oz.",
            quoted(text)
        )
    } else if is_unseen(c) || c.is_control() {
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
