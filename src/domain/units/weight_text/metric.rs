//! Kilograms and grams.

use super::{Bare, Read, SURELY_GRAMS, WeightReading, plain, question, sized, tokens::Number};
use crate::domain::units::{quoted, weight::Scale};

pub(super) fn bare_grams(text: &str, n: &Number, bare: Bare) -> Read<WeightReading> {
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

pub(super) fn kilograms(text: &str, n: &Number) -> Read<WeightReading> {
    match n.times(1000) {
        (grams, true) => sized(text, Scale::Grams, grams),
        _ => Err(format!(
            "{} is finer than a gram. Give kilograms to three places at most, as in 5.670 kg.",
            quoted(text)
        )),
    }
}

pub(super) fn grams(text: &str, n: &Number) -> Read<WeightReading> {
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

pub(super) fn kilograms_and_grams(text: &str, kg: &Number, g: &Number) -> Read<WeightReading> {
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
