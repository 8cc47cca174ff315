//! The pairs of names and values that a form would send: of a fresh one, and of a report on record.

use super::choices::Choices;
use crate::domain::{
    dates::{Day, Instant},
    groups::Group,
    ids::PegId,
    names::Name,
    sessions::{Report, Spell, Tally},
    units::{Length, Scale, Weight},
};

/// The pairs of a fresh form.
pub fn fresh(
    day: Day,
    account_name: &str,
    choices: &Choices,
    remembered: Option<&str>,
) -> Vec<(String, String)> {
    let mut pairs = vec![
        pair("date", day.to_string()),
        pair("visibility", remembered.unwrap_or("")),
    ];
    if choices.ask_name
        && let Ok(name) = Name::read(account_name)
    {
        pairs.push(pair("given", name.given()));
        pairs.push(pair("surname", name.surname().unwrap_or("")));
    }
    pairs
}

fn pair(name: impl Into<String>, value: impl Into<String>) -> (String, String) {
    (name.into(), value.into())
}

/// The pairs that would be read as this report.
pub fn pairs_of(report: &Report, choices: &Choices) -> Vec<(String, String)> {
    let zone = &choices.zone;
    let clock = |at: Option<Instant>| at.map(|at| at.clock(zone)).unwrap_or_default();
    let main_peg = main_peg(report);
    let mut pairs = vec![
        pair("venue", report.venue.to_string()),
        pair("date", report.day.to_string()),
        pair("peg", main_peg.map_or("", |peg| choices.peg_number(peg))),
        pair("start", clock(report.start)),
        pair("end", clock(report.end)),
        pair("remarks", report.remarks.clone().unwrap_or_default()),
        pair("visibility", report.visibility.as_str()),
    ];
    let told: Vec<_> = report
        .spells
        .iter()
        .filter(|spell| !spell.uncovered)
        .collect();
    pairs.push(pair("spells", told.len().max(1).to_string()));
    for (place, spell) in told.iter().enumerate() {
        let row = place + 1;
        let mut add = |name: &str, value: String| pairs.push(pair(format!("{name}_{row}"), value));
        // A row in which nothing stands is not read: of a spell known by its peg alone, that is said.
        let bare = **spell
            == Spell {
                minutes: None,
                uncovered: false,
                ..Spell::uncovered(spell.peg, 0.0)
            };
        if bare || spell.peg != main_peg {
            add(
                "peg",
                spell
                    .peg
                    .map_or("", |peg| choices.peg_number(peg))
                    .to_owned(),
            );
        }
        add("from", clock(spell.from));
        add("to", clock(spell.to));
        if let (None, Some(minutes)) = (spell.from, spell.minutes) {
            add("hours", format!("{} min", minutes.round()));
        }
        add(
            "method",
            spell.method.map(|id| id.to_string()).unwrap_or_default(),
        );
        add(
            "bait",
            spell.bait.map(|id| id.to_string()).unwrap_or_default(),
        );
        add("depth", metres(spell.depth));
        add("line", metres(spell.line));
        add("aim", aim_words(spell.aim));
        // One rod is what a box left empty says.
        if spell.rods > 1 {
            add("rods", spell.rods.to_string());
        }
    }
    catch_pairs(report, &mut pairs);
    for (place, fish) in report.named.iter().enumerate() {
        let row = place + 1;
        pairs.push(pair(format!("fish_{row}"), fish.species.to_string()));
        pairs.push(pair(
            format!("fish_weight_{row}"),
            fish.weight.map(weight_words).unwrap_or_default(),
        ));
        pairs.push(pair(format!("fish_time_{row}"), clock(fish.at)));
    }
    pairs.push(pair("named", report.named.len().max(1).to_string()));
    pairs
}

/// The peg that the session's box gives back: that of the time that no spell covers, which is read as
/// fished there where every spell is, or none. A spell without a peg would be given it, so that beside
/// one the box stays empty and each other spell says its own.
fn main_peg(report: &Report) -> Option<PegId> {
    let told = || report.spells.iter().filter(|spell| !spell.uncovered);
    let rest = report.spells.iter().find(|spell| spell.uncovered);
    let first = told().next().map(|spell| spell.peg);
    if told().any(|spell| spell.peg.is_none()) {
        return None;
    }
    match rest {
        Some(rest) if rest.peg.is_some() || told().all(|spell| Some(spell.peg) == first) => {
            rest.peg
        }
        _ => told().find_map(|spell| spell.peg),
    }
}

/// `11 m`, `33 yd`: in the unit it was typed in.
fn metres(length: Option<Length>) -> String {
    length.map(Length::typed).unwrap_or_default()
}

/// `2 m left`, `1.5 m right`, `0`.
pub(super) fn aim_words(aim: Option<Length>) -> String {
    let Some(aim) = aim else {
        return String::new();
    };
    let length = Length::millimetres(aim.mm().abs()).words();
    match aim.mm() {
        0 => "0".to_owned(),
        ..0 => format!("{length} left"),
        _ => format!("{length} right"),
    }
}

/// As it may be typed: `12 lb 8 oz`, `3.4 kg`, `850 g`.
fn weight_words(weight: Weight) -> String {
    match (weight.scale(), weight.amount()) {
        (Scale::Grams, grams @ 1000..) => format!("{} kg", grams as f64 / 1000.0),
        _ => weight.typed(),
    }
}

fn catch_pairs(report: &Report, pairs: &mut Vec<(String, String)>) {
    for group in Group::ALL {
        let slug = group.slug();
        if let Some(caught) = report.caught.iter().find(|c| c.groups == group.into()) {
            match caught.count {
                Some(count) => pairs.push(pair(format!("{slug}_number"), count.to_string())),
                None => pairs.push(pair(format!("{slug}_number_unknown"), "on")),
            }
            match caught.weight {
                Some(weight) => pairs.push(pair(format!("{slug}_weight"), weight_words(weight))),
                None => pairs.push(pair(format!("{slug}_weight_unknown"), "on")),
            }
        }
        let tallies: Vec<_> = report.tallies.iter().filter(|t| t.group == group).collect();
        if let (false, Some(start)) = (tallies.is_empty(), report.start) {
            pairs.push(pair(
                format!("{slug}_tally"),
                tally_words(&tallies, start.0),
            ));
        }
    }
}

/// `2 - 1 3`: one number for each hour since the start.
pub fn tally_words(tallies: &[&Tally], start: i64) -> String {
    let last = tallies
        .iter()
        .map(|t| (t.from.0 - start) / 3_600)
        .max()
        .unwrap_or(0);
    (0..=last)
        .map(|hour| {
            let at = start + 3_600 * hour;
            let found = tallies.iter().find(|t| t.from.0 == at);
            found.map_or("-".to_owned(), |t| t.count.to_string())
        })
        .collect::<Vec<_>>()
        .join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::units::{Bare, read_aim, read_metres, read_weight};

    #[test]
    fn what_an_edit_gives_back_is_said_as_people_say_it_and_reads_as_the_same() {
        for (typed, back) in [
            ("6 ft", "6 ft"),
            ("4.5 feet", "4.5 ft"),
            ("33 yards", "33 yd"),
            ("25 yd", "25 yd"),
            ("11", "11 m"),
            ("1.83", "1.83 m"),
            ("0", "0 m"),
        ] {
            let length = read_metres(typed, "the line", 200).ok();
            assert_eq!(metres(length), back);
            assert_eq!(read_metres(back, "the line", 200).ok(), length);
        }
        for (typed, back) in [
            ("2 left", "2 m left"),
            ("1.5 right", "1.5 m right"),
            ("0", "0"),
        ] {
            let aim = read_aim(typed).ok();
            assert_eq!(aim_words(aim), back);
            assert_eq!(read_aim(back).ok(), aim);
        }
        for (typed, back) in [
            ("3.4kg", "3.4 kg"),
            ("850 g", "850 g"),
            ("12-8", "12 lb 8 oz"),
        ] {
            let read = |words| read_weight(words, Scale::Grams, Bare::AsScales).understood();
            let weight = read(typed).expect("a plain weight");
            assert_eq!(weight_words(weight), back);
            assert_eq!(read(back), Some(weight));
        }
    }
}
