//! What was typed about a water, read: every problem is noted at its field.

use super::{Typed, TypedBank};
use crate::{
    actions::venues::{BankSetup, PegSetup, Setup},
    domain::{
        dates::{Day, Zone},
        ids::BankId,
        names::{
            key,
            text::{clean_line, clean_words},
        },
        pegs::read_peg_list,
        units::{Scale, quoted},
        venues::{CloseSeason, MonthDay, WaterKind},
        weather::compass::Compass,
    },
    web::forms::Problems,
};

impl Typed {
    /// Reads everything, noting every problem at its field.
    pub fn read(&self, problems: &mut Problems) -> Option<Setup> {
        let name = problems.take(
            "name",
            clean_line(&self.name, "the name", 80).and_then(|n| {
                if n.is_empty() {
                    Err("Enter the water’s name, as members say it.".to_owned())
                } else {
                    Ok(n)
                }
            }),
        );
        let kind = problems.take(
            "kind",
            WaterKind::parse(&self.kind).ok_or("Choose what kind of water it is."),
        );
        let scale = problems.take(
            "scale",
            Scale::parse(&self.scale).ok_or("Choose what the scales show here."),
        );
        let zone = problems.take(
            "zone",
            Zone::named(&self.zone)
                .ok_or("That is no time zone that is known. In Britain it is Europe/London."),
        );
        let position = self.position(problems);
        let rules = problems.take("rules", clean_words(&self.rules, "the rules", 10_000));
        let emergency = problems.take(
            "emergency",
            clean_words(&self.emergency, "the emergency words", 2_000),
        );
        let close_season = self.close_season(problems);
        let banks = self.read_banks(problems);
        if !problems.is_empty() {
            return None;
        }
        let some = |text: String| (!text.is_empty()).then_some(text);
        Some(Setup {
            name: name?,
            kind: kind?,
            zone: zone?,
            position,
            weighs_in: scale?,
            rules: some(rules?),
            emergency: some(emergency?),
            close_season,
            banks,
        })
    }

    fn position(&self, problems: &mut Problems) -> Option<(f64, f64)> {
        match (self.lat.is_empty(), self.lon.is_empty()) {
            (true, true) => return None,
            (true, false) => problems.add("lat", "Enter the latitude too, or leave both out."),
            (false, true) => problems.add("lon", "Enter the longitude too, or leave both out."),
            (false, false) => {}
        }
        let mut degrees = |field: &str, text: &str, most: f64, sentence: &str| {
            let read = text
                .replace(',', ".")
                .replace('−', "-")
                .parse::<f64>()
                .ok()
                .filter(|d| d.abs() <= most);
            if read.is_none() && !text.is_empty() {
                problems.add(field, sentence);
            }
            read
        };
        let lat = degrees(
            "lat",
            &self.lat,
            90.0,
            "Enter degrees north between -90 and 90, for example 53.41.",
        );
        let lon = degrees(
            "lon",
            &self.lon,
            180.0,
            "Enter degrees east between -180 and 180; west is negative, for example -2.15.",
        );
        lat.zip(lon)
    }

    fn close_season(&self, problems: &mut Problems) -> Option<CloseSeason> {
        if self.close_from.is_empty() && self.close_to.is_empty() {
            return None;
        }
        let mut end = |field: &str, label: &str, text: &str| {
            let read = MonthDay::read(text);
            if read.is_none() {
                let sentence = match text {
                    "" => format!(
                        "{label}: enter a day and a month, for example 15 March, or leave the other end empty too."
                    ),
                    _ => format!(
                        "{label}: {} cannot be read as one day of the year. Write it like 15 March.",
                        quoted(text)
                    ),
                };
                problems.add(field, sentence);
            }
            read
        };
        let (from, to) = (
            end("close_from", "Close season from", &self.close_from),
            end("close_to", "Close season to", &self.close_to),
        );
        Some(CloseSeason {
            from: from?,
            to: to?,
        })
    }

    fn read_banks(&self, problems: &mut Problems) -> Vec<BankSetup> {
        let mut banks: Vec<BankSetup> = Vec::new();
        for (n, row) in self
            .banks
            .iter()
            .enumerate()
            .filter(|(_, row)| !row.is_empty())
        {
            let field = |part: &str| format!("bank{n}_{part}");
            let Some(bank) = read_bank(row, &field, problems) else {
                continue;
            };
            if banks
                .iter()
                .any(|other| key(&other.name) == key(&bank.name))
            {
                problems.add(
                    field("name"),
                    format!("Two banks are called {}. Give one another name.", bank.name),
                );
            }
            for peg in &bank.pegs {
                if let Some(other) = banks
                    .iter()
                    .find(|other| other.pegs.iter().any(|p| p.number == peg.number))
                {
                    problems.add(field("pegs"), format!("Peg {} is on {} too. A number stands once on a water: write A{0} and B{0} where two banks repeat it.", peg.number, other.name));
                    break;
                }
            }
            banks.push(bank);
        }
        if banks.is_empty()
            && !(0..self.banks.len()).any(|n| {
                !problems.at(&format!("bank{n}_pegs")).is_empty()
                    || !problems.at(&format!("bank{n}_name")).is_empty()
            })
        {
            problems.add(
                "bank0_name",
                "Name at least one bank and its pegs, for example Long Reach, 1–24.",
            );
        }
        banks
    }
}

fn read_bank(
    row: &TypedBank,
    field: &impl Fn(&str) -> String,
    problems: &mut Problems,
) -> Option<BankSetup> {
    let name = match clean_line(&row.name, "the bank’s name", 60) {
        Ok(name) if name.is_empty() => {
            problems.add(field("name"), "Name this bank, for example Long Reach.");
            None
        }
        other => problems.take(&field("name"), other),
    };
    let facing_deg = match row.facing.as_str() {
        "" => None,
        text => problems
            .take(
                &field("facing"),
                Compass::parse(text).ok_or("Choose the way an angler on this bank looks."),
            )
            .map(Compass::degrees),
    };
    let pegs = problems
        .take(
            &field("pegs"),
            read_peg_list(&row.pegs).map_err(|all| all.join(" ")),
        )?
        .numbers;
    let mut some = |part: &str, text: &str| {
        if text.is_empty() {
            return Vec::new();
        }
        let numbers = problems
            .take(
                &field(part),
                read_peg_list(text).map_err(|all| all.join(" ")),
            )
            .map_or_else(Vec::new, |list| list.numbers);
        if let Some(stranger) = numbers.iter().find(|number| !pegs.contains(number)) {
            problems.add(field(part), format!("Peg {stranger} is not among this bank’s pegs. Add it there or leave it out here."));
        }
        numbers
    };
    let (ends, accessible) = (some("ends", &row.ends), some("accessible", &row.accessible));
    Some(BankSetup {
        id: row.id.parse().ok().map(BankId),
        name: name?,
        facing_deg,
        pegs: pegs
            .into_iter()
            .map(|number| PegSetup {
                end_peg: ends.contains(&number),
                accessible: accessible.contains(&number),
                number,
            })
            .collect(),
    })
}

/// Reads a day as a date field sends it.
pub fn read_day(text: &str) -> Result<Day, String> {
    Day::parse(text)
        .ok_or_else(|| "Enter a date as year-month-day, for example 2026-03-29.".to_owned())
}
