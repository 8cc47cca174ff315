//! A report in words.

use super::{choices::Choices, pairs::tally_words};
use crate::{
    domain::{
        groups::Group,
        sessions::{NamedFish, Report, Spell},
        units::{Length, Minutes, Scale, Weight},
    },
    web::figures::weights_held,
};

/// A report in a few lines, for a session's page and for two versions side by side.
pub struct Told {
    pub hours: String,
    pub spells: Vec<String>,
    /// What was caught, a sentence for each group of fish.
    pub caught: Vec<String>,
    pub named: Vec<String>,
    /// Fish in each hour, a sentence for each group of fish.
    pub tallies: Vec<String>,
    pub remarks: Option<String>,
    pub visibility: &'static str,
    /// It has no hours, and so enters no rate.
    pub no_rate: bool,
    pub uncovered: bool,
}

impl Told {
    pub fn new(report: &Report, choices: &Choices) -> Self {
        let zone = &choices.zone;
        let hours = match (report.start, report.end) {
            (Some(start), Some(end)) => {
                let day = if end.day(zone) == report.day {
                    ""
                } else {
                    " the next day"
                };
                format!("{} to {}{day}", start.clock(zone), end.clock(zone))
            }
            _ => without_times(&report.spells),
        };
        Self {
            hours,
            spells: report
                .spells
                .iter()
                .map(|spell| spell_words(spell, choices))
                .collect(),
            caught: report
                .caught
                .iter()
                .map(|caught| weights_held(&caught.sentence()))
                .collect(),
            named: report
                .named
                .iter()
                .map(|fish| fish_words(fish, choices))
                .collect(),
            tallies: Group::ALL
                .into_iter()
                .filter_map(|group| {
                    let of: Vec<_> = report.tallies.iter().filter(|t| t.group == group).collect();
                    let start = report.start.filter(|_| !of.is_empty())?;
                    Some(format!("{}: {}", group.name(), tally_words(&of, start.0)))
                })
                .collect(),
            remarks: report.remarks.clone(),
            visibility: report.visibility.words(),
            no_rate: report.rod_hours().is_none(),
            uncovered: report
                .spells
                .iter()
                .any(|s| s.uncovered && s.minutes.is_some()),
        }
    }
}

/// How long was fished where nobody said from when to when, as far as every spell has its length.
fn without_times(spells: &[Spell]) -> String {
    let minutes: Option<f64> = spells.iter().map(|spell| spell.minutes).sum();
    match minutes.filter(|minutes| *minutes >= 1.0) {
        Some(minutes) => {
            let length = Minutes(minutes.round() as i64).words();
            format!("{length}, clock times not known")
        }
        None => "hours not known".to_owned(),
    }
}

/// A weight kept in grams, to the unit of the scales that showed it.
pub fn scales_words(grams: f64, scale: Scale) -> String {
    let unit = Weight::new(1, scale).map_or(1.0, Weight::as_grams);
    let weight = Weight::new((grams / unit).round() as i64, scale);
    weight.map_or(String::new(), |weight| weights_held(&weight.words()))
}

fn spell_words(spell: &Spell, choices: &Choices) -> String {
    let mut words = Vec::new();
    match (spell.from, spell.to, spell.minutes) {
        (Some(from), Some(to), _) => {
            words.push(format!(
                "{} to {}",
                from.clock(&choices.zone),
                to.clock(&choices.zone)
            ));
        }
        (_, _, Some(minutes)) => words.push(Minutes(minutes.round() as i64).words()),
        _ => words.push("hours not known".to_owned()),
    }
    match spell.method {
        Some(method) => words.push(choices.method_name(method.0).to_lowercase()),
        None => words.push("method unknown".to_owned()),
    }
    if let Some(bait) = spell.bait {
        words.push(choices.bait_name(bait.0).to_lowercase());
    }
    if let Some(line) = spell.line {
        words.push(format!("at {}", line.words()));
    }
    if let Some(aim) = spell.aim.filter(|aim| aim.mm() != 0) {
        let side = if aim.mm() < 0 { "left" } else { "right" };
        let length = Length::millimetres(aim.mm().abs());
        words.push(format!("{} {side} of straight out", length.words()));
    }
    if let Some(depth) = spell.depth {
        words.push(format!("{} deep", depth.words()));
    }
    if spell.rods > 1 {
        words.push(format!("{} rods", spell.rods));
    }
    if let Some(peg) = spell.peg {
        words.push(format!("peg {}", choices.peg_number(peg)));
    }
    words.join(", ")
}

fn fish_words(fish: &NamedFish, choices: &Choices) -> String {
    let name = choices
        .fish
        .iter()
        .find(|f| f.id == fish.species)
        .map_or("Fish", |f| &f.name);
    let mut words = name.to_owned();
    if let Some(weight) = fish.weight {
        words.push_str(&format!(", {}", weights_held(&weight.words())));
    }
    if let Some(at) = fish.at {
        words.push_str(&format!(", at {}", at.clock(&choices.zone)));
    }
    words
}
