//! A water on a day: its run-up in words, how boldly to begin by custom, the wind on each bank,
//! and the cautions that the conditions call for.

use crate::{
    domain::{
        cautions::{Called, cautions},
        customs::{Advice, Conditions, RULES, Rule, advise},
        dates::Day,
        units::Speed,
        venues::Bank,
        weather::{bank_wind::BankWind, compass::Compass},
    },
    statistics::run_up_words,
    store::statistics::run_up::WeatherRecord,
    web::strips,
};

/// What the record of the days before says of a day.
pub struct WaterToday {
    /// Any of the ten days before is written down.
    pub any: bool,
    /// The ten days in a sentence.
    pub words: String,
    pub advice: Advice,
    /// The last day's fall, where custom does not say carefully and does not see it.
    pub fall_unseen: Option<String>,
    conditions: Conditions,
    /// Each bank that has a facing, with what the wind of three days does there.
    pub winds: Vec<(String, String)>,
    /// Measured or estimated.
    pub water: Option<String>,
    pub cautions: Vec<Called>,
}

impl WaterToday {
    pub fn of(record: &WeatherRecord, day: Day, banks: &[Bank], speed: Speed) -> Self {
        let run_up = record.run_up(day);
        let usual = record.usual(day);
        let conditions = run_up.conditions(usual);
        let advice = advise(&conditions);
        let from = run_up.wind.and_then(|wind| wind.from_deg);
        Self {
            any: strips::any(record, day),
            words: run_up_words::summary(&run_up, &record.weather, usual, speed),
            fall_unseen: run_up_words::fall_unseen(advice.approach, &record.weather, day),
            advice,
            conditions,
            winds: winds(from, banks),
            water: run_up
                .water
                .map(|water| water.words_beside(day, &record.water)),
            cautions: cautions(&run_up.around()),
        }
    }

    /// The cautions that the conditions call for.
    pub fn called(&self) -> impl Iterator<Item = (&Called, &String)> {
        self.cautions
            .iter()
            .filter_map(|one| Some((one, one.because.as_ref()?)))
    }

    /// Those that hold on any day.
    pub fn of_any_day(&self) -> impl Iterator<Item = &Called> {
        self.cautions.iter().filter(|one| one.because.is_none())
    }

    /// Every custom of the table, and how it stands today.
    pub fn customs(&self) -> Vec<(&'static Rule, &'static str)> {
        RULES
            .iter()
            .map(|rule| {
                let stands = match rule.holds(&self.conditions) {
                    Some(true) => "holds",
                    Some(false) => "does not hold",
                    None => "cannot be told",
                };
                (rule, stands)
            })
            .collect()
    }
}

fn winds(from: Option<f64>, banks: &[Bank]) -> Vec<(String, String)> {
    let Some(from) = from else { return Vec::new() };
    banks
        .iter()
        .filter_map(|bank| {
            let facing = bank.facing_deg?;
            let words = format!(
                "{}; it looks {}",
                BankWind::of(from, facing).words(),
                Compass::of(facing).name()
            );
            Some((bank.name.clone(), words))
        })
        .collect()
}
