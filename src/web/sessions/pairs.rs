//! The pairs of names and values that a form would send: of a fresh one, and of a report on record.

use super::choices::Choices;
use crate::domain::{
    dates::{Day, Instant},
    groups::Group,
    names::Name,
    sessions::{Report, Tally},
    units::Length,
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
    let main_peg = report.spells.iter().find_map(|spell| spell.peg);
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
        if spell.peg != main_peg {
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
        add("aim", metres(spell.aim));
        add("rods", spell.rods.to_string());
    }
    catch_pairs(report, &mut pairs);
    for (place, fish) in report.named.iter().enumerate() {
        let row = place + 1;
        pairs.push(pair(format!("fish_{row}"), fish.species.to_string()));
        pairs.push(pair(
            format!("fish_weight_{row}"),
            fish.weight.map(|w| w.typed()).unwrap_or_default(),
        ));
        pairs.push(pair(format!("fish_time_{row}"), clock(fish.at)));
    }
    pairs.push(pair("named", report.named.len().max(1).to_string()));
    pairs
}

fn metres(length: Option<Length>) -> String {
    length
        .map(|length| length.metres().to_string())
        .unwrap_or_default()
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
                Some(weight) => pairs.push(pair(format!("{slug}_weight"), weight.typed())),
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
