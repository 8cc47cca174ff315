//! Pounds, ounces and drams.

use super::{
    Bare, Choice, MOST_DRAMS, Read, WeightReading, plain, question, sized,
    tokens::{Number, Unit, without_unit},
    unreadable,
};
use crate::domain::units::{
    quoted,
    weight::{DRAMS_PER_OUNCE, DRAMS_PER_POUND, Scale, Weight},
};

/// Pounds, ounces and drams, each a whole number; ounces without drams may have quarters, which
/// is as fine as scales of ounces show.
pub(super) fn imperial(text: &str, parts: &[&Number]) -> Read<WeightReading> {
    // `5-½` may be five and a half, or 5 lb and half an ounce.
    if parts.iter().skip(1).any(|n| n.is_fraction_alone()) {
        return Err(without_unit(text));
    }
    let numbers = match parts {
        [lb, oz] => lb.whole().zip(oz.quarters()).map(|(lb, quarters)| {
            let drams = quarters % 4 * (DRAMS_PER_OUNCE / 4);
            (lb, quarters / 4, drams)
        }),
        [lb, oz, dr] => match (lb.whole(), oz.whole(), dr.whole()) {
            (Some(lb), Some(oz), Some(dr)) => Some((lb, oz, dr)),
            _ => None,
        },
        _ => None,
    };
    let Some((lb, oz, dr)) = numbers else {
        return Err(format!(
            "{} mixes a dash with a point. Write 12-8 for 12 lb 8 oz, 12-8¼ or 12-8.25 where there are quarters of an ounce, and 12-8-4 where there are odd drams.",
            quoted(text)
        ));
    };
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

pub(super) fn bare_pounds(text: &str, n: &Number, bare: Bare) -> Read<WeightReading> {
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
pub(super) fn point_in_pounds(text: &str, n: &Number) -> Read<WeightReading> {
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
pub(super) fn ounces_after_point(n: &Number) -> Option<i64> {
    let (_, digits) = n.point.as_ref().filter(|_| !n.is_fraction())?;
    let ounces: i64 = digits.parse().ok()?;
    (digits.len() <= 2 && ounces <= 15).then_some(ounces)
}

pub(super) fn pounds_point_ounces(
    text: &str,
    n: &Number,
    noughts_kept: bool,
) -> Read<WeightReading> {
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

/// Falling units of pounds, ounces and drams. Only the last may have a part, rounded down.
pub(super) fn pounds_to_drams(text: &str, pairs: &[(&Number, Unit)]) -> Read<WeightReading> {
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
