//! The spells of a report and their hours.

use super::{Reader, rows};
use crate::{
    domain::{
        dates::{Day, Instant},
        ids::{BaitId, MethodId, PegId},
        sessions::{Spell, spell},
        units,
    },
    store::sessions::choices::Choice,
    web::sessions::{choices::Choices, form::MOST_SPELLS, pairs::aim_words},
};

/// Metres of water above which a depth is a slip; common practice, no source.
const DEEPEST: i64 = 30;

impl Reader<'_> {
    pub(super) fn spells(
        &mut self,
        day: (Day, bool),
        peg: Option<PegId>,
        hours: Option<(Instant, Instant)>,
    ) -> Vec<Spell> {
        let count = rows(self.form, "spells", 1, MOST_SPELLS);
        let mut spells: Vec<(usize, Spell)> = Vec::new();
        for row in 1..=count {
            if let Some(spell) = self.spell(row, day, peg, hours) {
                spells.push((row, spell));
            }
        }
        let hours =
            hours.or_else(|| outer_hours(&spells.iter().map(|s| s.1.clone()).collect::<Vec<_>>()));
        self.give_hours(&mut spells, hours);
        self.ask_overlaps(&spells);
        let spells: Vec<_> = spells.into_iter().map(|(_, spell)| spell).collect();
        match hours {
            Some((start, end)) => spell::with_uncovered(spells, start, end, peg),
            None if spells.is_empty() => vec![Spell {
                minutes: None,
                ..Spell::uncovered(peg, 0.0)
            }],
            None => spells,
        }
    }

    /// Asks, at the later of two spells that share time on the clock, whether two rods were out: each
    /// counts its own rod-hours.
    fn ask_overlaps(&mut self, spells: &[(usize, Spell)]) {
        for (place, (row, spell)) in spells.iter().enumerate() {
            let Some((from, to)) = spell.from.zip(spell.to) else {
                continue;
            };
            let shared = spells[..place].iter().find_map(|(earlier, other)| {
                let (start, end) = other.from.zip(other.to)?;
                let minutes = to.min(end).minutes_since(from.max(start));
                (minutes >= 1.0).then_some((*earlier, minutes))
            });
            let Some((earlier, minutes)) = shared else {
                continue;
            };
            let sentence = format!(
                "Spell {row} overlaps spell {earlier} by {}. Were two rods out at once? Tick if so, or mend the hours.",
                units::Minutes(minutes as i64).words()
            );
            let typed = [
                ("from", *row),
                ("to", *row),
                ("from", earlier),
                ("to", earlier),
            ]
            .map(|(name, row)| self.form.get(&format!("{name}_{row}")));
            let about = typed.join(" ");
            self.ask(&format!("from_{row}"), about, sentence);
        }
    }

    /// A single spell without hours fills the session; among several each needs its own, where any has.
    fn give_hours(&mut self, spells: &mut [(usize, Spell)], hours: Option<(Instant, Instant)>) {
        if let ([(_, only)], Some((start, end))) = (&mut *spells, hours)
            && only.minutes.is_none()
        {
            (only.from, only.to) = (Some(start), Some(end));
            only.minutes = Some(end.minutes_since(start));
            return;
        }
        let any = hours.is_some() || spells.iter().any(|(_, spell)| spell.minutes.is_some());
        for (row, spell) in spells.iter() {
            // Times that were typed and not understood are named where they stand.
            let named = ["from", "to", "hours"]
                .iter()
                .any(|name| !self.problems.at(&format!("{name}_{row}")).is_empty());
            if any && spell.minutes.is_none() && !named {
                self.problems.add(
                    format!("from_{row}"),
                    format!("Enter from when to when spell {row} lasted, or how many hours."),
                );
            }
        }
        let total: f64 = spells.iter().filter_map(|(_, s)| s.minutes).sum();
        let loose = spells
            .iter()
            .find(|(_, s)| s.from.is_none() && s.minutes.is_some());
        if let (Some((row, _)), Some((start, end))) = (loose, hours) {
            let rods = spells.iter().map(|(_, s)| s.rods).max().unwrap_or(1) as f64;
            if total > end.minutes_since(start) * rods.max(1.0) {
                let field = format!("hours_{row}");
                self.problems.add(
                    field,
                    "The spells come to more than the session. Check the hours.",
                );
            }
        }
    }

    /// One spell; `None` when its row was left empty. The day comes with whether it was typed.
    fn spell(
        &mut self,
        row: usize,
        (day, dated): (Day, bool),
        peg: Option<PegId>,
        hours: Option<(Instant, Instant)>,
    ) -> Option<Spell> {
        let at = |name: &str| format!("{name}_{row}");
        let filled = [
            "peg", "from", "to", "hours", "method", "bait", "depth", "line", "aim",
        ];
        // One rod is what a spell has where nothing is said of it.
        let unsaid = matches!(self.form.get(&at("rods")), "" | "1");
        if unsaid
            && filled
                .iter()
                .all(|name| self.form.get(&at(name)).is_empty())
        {
            return None;
        }
        let own_peg = self.peg(&at("peg"), day, dated).or(peg);
        let time = self.spell_time(row, day, hours);
        let rods = match self.form.get(&at("rods")) {
            "" => 1,
            typed => self
                .problems
                .take(&at("rods"), units::read_count(typed, "rods", 1, 4))
                .unwrap_or(1),
        };
        let method = self
            .one_of(&at("method"), |choices| &choices.methods)
            .map(MethodId);
        let bait = self
            .one_of(&at("bait"), |choices| &choices.baits)
            .map(BaitId);
        let depth = self.length(&at("depth"), "the depth", DEEPEST);
        let line = self.length(&at("line"), "the line", 200);
        let aim = self.aim(&at("aim"));
        self.ask_aim(row, line, aim);
        Some(Spell {
            peg: own_peg,
            method,
            bait,
            depth,
            line,
            aim,
            from: time.0,
            to: time.1,
            minutes: time.2,
            rods,
            uncovered: false,
        })
    }

    fn length(&mut self, field: &str, what: &str, most: i64) -> Option<units::Length> {
        let typed = self.form.get(field);
        if typed.is_empty() {
            return None;
        }
        let read = units::read_metres(typed, what, most);
        let length = self.problems.take(field, read)?;
        self.echo(field, length.words());
        Some(length)
    }

    fn aim(&mut self, field: &str) -> Option<units::Length> {
        let typed = self.form.get(field);
        if typed.is_empty() {
            return None;
        }
        let aim = self.problems.take(field, units::read_aim(typed))?;
        let words = match aim.mm() {
            0 => "straight out".to_owned(),
            _ => aim_words(Some(aim)),
        };
        self.echo(field, words);
        Some(aim)
    }

    /// Asks about an aim further to the side than the line is out: down the margin it may be right.
    fn ask_aim(&mut self, row: usize, line: Option<units::Length>, aim: Option<units::Length>) {
        let Some((line, aim)) = line.zip(aim) else {
            return;
        };
        if aim.mm().abs() <= line.mm() {
            return;
        }
        let sentence = format!(
            "Spell {row}: an aim of {} is further than the line, {}. Mend one of the two, or tick that it is right.",
            aim_words(Some(aim)),
            line.words()
        );
        let about = ["line", "aim"].map(|name| self.form.get(&format!("{name}_{row}")));
        let about = about.join("/");
        self.ask(&format!("aim_{row}"), about, sentence);
    }

    fn one_of(&mut self, field: &str, list: impl Fn(&Choices) -> &Vec<Choice>) -> Option<i64> {
        let typed = self.form.get(field);
        if typed.is_empty() {
            return None;
        }
        let found = list(self.choices)
            .iter()
            .find(|choice| choice.id.to_string() == typed);
        if found.is_none() {
            self.problems.add(field, "Choose one from the list.");
        }
        found.map(|choice| choice.id)
    }

    /// From, to and minutes of a spell.
    fn spell_time(
        &mut self,
        row: usize,
        day: Day,
        hours: Option<(Instant, Instant)>,
    ) -> (Option<Instant>, Option<Instant>, Option<f64>) {
        let (from_field, to_field) = (format!("from_{row}"), format!("to_{row}"));
        let (from, to) = (
            self.time(&from_field, &format!("Spell {row}, from")),
            self.time(&to_field, &format!("Spell {row}, to")),
        );
        let given = |field: &str| !self.form.get(field).is_empty();
        if given(&from_field) != given(&to_field) {
            let missing = if given(&from_field) {
                &to_field
            } else {
                &from_field
            };
            self.problems
                .add(missing, "Enter both, from and to, or neither.");
        }
        let hours_field = format!("hours_{row}");
        let typed = self.form.get(&hours_field);
        if let (Some(from), Some(to)) = (from, to) {
            let earliest = hours.map_or(day.at(from, &self.choices.zone), |h| h.0);
            let from = spell::next_time(day, from, &self.choices.zone, earliest);
            let to = spell::next_time(
                from.day(&self.choices.zone),
                to,
                &self.choices.zone,
                from.plus_seconds(60),
            );
            if hours.is_some_and(|(start, end)| from < start || to > end) {
                self.problems.add(
                    &*to_field,
                    "The spell reaches beyond the session. Check its times, or when you packed up.",
                );
            } else if self.is_to_come(to) {
                self.problems.add(
                    &*to_field,
                    format!(
                        "Spell {row}, to: that is still to come. Report when you have packed up."
                    ),
                );
            }
            let minutes = to.minutes_since(from);
            let words = units::Minutes(minutes as i64).words();
            let written = self.length_of_time(&hours_field);
            if written.is_some_and(|written| (written - minutes).abs() >= 1.0) {
                self.problems.add(
                    hours_field,
                    format!(
                        "Spell {row}: from and to make {words}. Leave the hours empty, or mend one of them."
                    ),
                );
            }
            self.echo(&to_field, words);
            return (Some(from), Some(to), Some(minutes));
        }
        if typed.is_empty() || given(&from_field) || given(&to_field) {
            return (None, None, None);
        }
        (None, None, self.length_of_time(&hours_field))
    }

    /// The minutes of the hours typed at a field.
    fn length_of_time(&mut self, field: &str) -> Option<f64> {
        let typed = self.form.get(field);
        if typed.is_empty() {
            return None;
        }
        let minutes = self.problems.take(field, units::read_hours(typed, 24))?;
        self.echo(field, minutes.words());
        Some(minutes.0 as f64)
    }
}

/// From the first spell's beginning to the last one's end, where every spell has its place in the day.
pub(super) fn outer_hours(spells: &[Spell]) -> Option<(Instant, Instant)> {
    let placed: Option<Vec<_>> = spells.iter().map(|s| s.from.zip(s.to)).collect();
    let placed = placed?;
    Some((
        placed.iter().map(|h| h.0).min()?,
        placed.iter().map(|h| h.1).max()?,
    ))
}
