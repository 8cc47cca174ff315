//! The reed lines of a water: what each peg adds in drawn matches, bank by bank.

use std::collections::BTreeMap;

use super::like_days::notes;
use crate::{
    domain::{
        dates::Day,
        ids::{BankId, PegId},
        pegs::Peg,
        venues::{Bank as Shore, Venue},
    },
    statistics::{
        peg_effect::{FEWEST_MATCHES, PegEffect, Standing},
        wording,
    },
    store::statistics::studies::Kept,
    web::pictures::{Adds, Bank, Reed, ReedLine},
};

/// What the kept study of a water's matches says of its pegs.
pub struct Found {
    pub effects: BTreeMap<PegId, PegEffect>,
    /// Matches are on record, and nothing was worked out of them yet.
    pub awaited: bool,
    /// What stands behind it; empty where there is nothing.
    pub behind: String,
    /// That it is out of date, or that the last attempt at it failed.
    pub notes: Vec<String>,
}

impl Found {
    /// `matches`: whether any is on record.
    pub fn of(kept: Option<&Kept>, matches: bool, venue: &Venue) -> Self {
        let made = kept.and_then(|kept| Some((kept.of.groups, kept.study.as_ref()?)));
        Self {
            effects: made.map_or_else(BTreeMap::new, |(_, study)| {
                study.pegs.iter().copied().collect()
            }),
            awaited: matches && made.is_none(),
            behind: made.map_or_else(String::new, |(groups, study)| {
                format!(
                    "Matches, {}: {}.",
                    groups.within(),
                    study.days.behind.words()
                )
            }),
            notes: kept.map_or_else(Vec::new, |kept| notes(kept, venue)),
        }
    }
}

/// One peg's multiplier as pages show it; `None` under five drawn matches, and where none of
/// them gave anything.
pub fn adds(effect: &PegEffect) -> Option<Adds> {
    let (low, high) = effect.limits?;
    Some(Adds {
        ratio: effect.multiplier(),
        low: low.exp(),
        high: high.exp(),
        clear: matches!(
            effect.standing(),
            Some(Standing::Adds | Standing::TakesAway)
        ),
    })
}

/// Where a peg stands, in words.
pub fn standing(effect: Option<&PegEffect>) -> String {
    let Some(effect) = effect.filter(|effect| effect.matches > 0) else {
        return "no drawn match yet".to_owned();
    };
    let matches = wording::count(effect.matches, "drawn match", "drawn matches");
    match effect.standing() {
        None if effect.matches >= FEWEST_MATCHES => {
            format!("nothing in {matches}: cannot tell")
        }
        None => format!("{matches}, fewer than {}", wording::number(FEWEST_MATCHES)),
        Some(Standing::Adds) => "adds, clear of chance".to_owned(),
        Some(Standing::TakesAway) => "takes away, clear of chance".to_owned(),
        Some(Standing::LuckOfTheDraw) => {
            "cannot tell: could still be the luck of the draw".to_owned()
        }
        Some(Standing::CannotTell) => "cannot tell".to_owned(),
    }
}

/// The reeds of one bank in walking order.
fn reeds(
    pegs: &[&Peg],
    effects: &BTreeMap<PegId, PegEffect>,
    today: Day,
    address: &dyn Fn(&str) -> String,
) -> Vec<Reed> {
    pegs.iter()
        .map(|peg| {
            let effect = effects.get(&peg.id);
            let closure = peg.closed_on(today);
            Reed {
                number: peg.number.clone(),
                href: address(&peg.number),
                adds: effect.and_then(adds),
                closed: closure.is_some(),
                matches: effect.map_or(0, |e| e.matches as i64),
                words: closure.map_or_else(|| standing(effect), |closure| closure.words()),
            }
        })
        .collect()
}

/// One line a bank; `pegs` in walking order. None while they are being worked out, and none for a
/// bank of which no peg has a figure: rings alone would say less than a sentence does.
pub fn lines(
    banks: &[Shore],
    pegs: &[Peg],
    found: &Found,
    today: Day,
    address: &dyn Fn(&str) -> String,
) -> Vec<(BankId, ReedLine)> {
    if found.awaited {
        return Vec::new();
    }
    banks
        .iter()
        .filter_map(|bank| {
            let on_it: Vec<&Peg> = pegs
                .iter()
                .filter(|peg| peg.bank == bank.id && peg.existed_on(today))
                .collect();
            let reeds = reeds(&on_it, &found.effects, today, address);
            if reeds.iter().all(|reed| reed.adds.is_none()) {
                return None;
            }
            let line = ReedLine::new(Bank {
                id: format!("reeds-{}", bank.id),
                name: bank.name.clone(),
                summary: finding(&reeds),
                reeds,
                begins: String::new(),
            });
            Some((bank.id, line))
        })
        .collect()
}

/// The finding over every peg of a water in use, in plain words.
pub fn of_water(pegs: &[Peg], found: &Found, today: Day) -> String {
    if found.awaited {
        return "What the pegs add is being worked out in the background. Come back in a minute."
            .to_owned();
    }
    let in_use: Vec<&Peg> = pegs.iter().filter(|peg| peg.existed_on(today)).collect();
    finding(&reeds(&in_use, &found.effects, today, &|_| String::new()))
}

/// `Of 40 pegs with five drawn matches or more, three stand clear of chance: 1 and 24 add, 9
/// takes away. By luck alone up to two would.`
fn finding(reeds: &[Reed]) -> String {
    let told: Vec<(&str, Adds)> = reeds
        .iter()
        .filter_map(|reed| Some((reed.number.as_str(), reed.adds?)))
        .collect();
    if told.is_empty() {
        let has_enough = |reed: &Reed| reed.matches >= FEWEST_MATCHES as i64;
        return match reeds.iter().any(has_enough) {
            true => "No peg with five drawn matches has given anything in them, so none can be told from another.",
            false => "No peg has five drawn matches yet, so none can be told from another.",
        }
        .to_owned();
    }
    let named = |clear: &dyn Fn(Adds) -> bool| -> Vec<String> {
        told.iter()
            .filter(|(_, adds)| clear(*adds))
            .map(|(number, _)| (*number).to_owned())
            .collect()
    };
    let (more, less) = (
        named(&|adds| adds.clear && adds.low > 1.0),
        named(&|adds| adds.clear && adds.high < 1.0),
    );
    let pegs = wording::count(told.len(), "peg", "pegs");
    let luck = match (told.len() as f64 * 0.05).round() as usize {
        0 => "By luck alone at most one of twenty would.".to_owned(),
        some => format!("By luck alone up to {} would.", wording::number(some)),
    };
    if more.is_empty() && less.is_empty() {
        return format!("Of {pegs} with five drawn matches or more, none stands clear of chance.");
    }
    let part = |numbers: &[String], one: &str, many: &str| match numbers.len() {
        0 => None,
        1 => Some(format!("{} {one}", numbers[0])),
        _ => Some(format!("{} {many}", wording::list(numbers))),
    };
    let parts: Vec<_> = [
        part(&more, "adds", "add"),
        part(&less, "takes away", "take away"),
    ]
    .into_iter()
    .flatten()
    .collect();
    let clear = more.len() + less.len();
    format!(
        "Of {pegs} with five drawn matches or more, {} {} clear of chance: {}. {luck}",
        wording::number(clear),
        if clear == 1 { "stands" } else { "stand" },
        parts.join("; ")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// So many pegs told of, the first of them clear of chance.
    fn told(pegs: usize) -> Vec<Reed> {
        let reed = |number: usize| Reed {
            number: number.to_string(),
            href: String::new(),
            adds: Some(Adds {
                ratio: 1.5,
                low: 1.2,
                high: 1.9,
                clear: number == 1,
            }),
            closed: false,
            matches: 5,
            words: String::new(),
        };
        (1..=pegs).map(reed).collect()
    }

    #[test]
    fn luck_alone_gives_one_peg_in_twenty_at_most_and_the_finding_says_at_most() {
        for (pegs, luck) in [
            (
                6,
                "stands clear of chance: 1 adds. By luck alone at most one of twenty would.",
            ),
            (20, "By luck alone up to one would."),
            (40, "By luck alone up to two would."),
        ] {
            let words = finding(&told(pegs));
            assert!(words.ends_with(luck), "{words}");
        }
    }

    #[test]
    fn pegs_that_gave_nothing_are_not_said_to_lack_matches() {
        let untold = |matches| Reed {
            adds: None,
            matches,
            ..told(1).remove(0)
        };
        let enough = finding(&[untold(6), untold(0)]);
        assert!(enough.contains("has given anything in them"), "{enough}");
        let few = finding(&[untold(4), untold(0)]);
        assert!(
            few.starts_with("No peg has five drawn matches yet"),
            "{few}"
        );
    }
}
