//! The spells of a report and their hours.

use super::{Reader, rows, spell_hours::outer_hours};
use crate::{
    domain::{
        dates::{Day, Instant},
        ids::{BaitId, MethodId, PegId},
        sessions::{Spell, spell, usual},
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
        let spells = match hours {
            Some((start, end)) => spell::with_uncovered(spells, start, end, peg),
            None if spells.is_empty() => vec![Spell {
                minutes: None,
                ..Spell::uncovered(peg, 0.0)
            }],
            None => spells,
        };
        self.check_peg(peg, &spells);
        spells
    }

    /// The session's peg has to be that of some time, or it would be lost without a word. Hours that
    /// are to be mended first may leave it some.
    fn check_peg(&mut self, peg: Option<PegId>, spells: &[Spell]) {
        let lost = peg.filter(|peg| spells.iter().all(|spell| spell.peg != Some(*peg)));
        let Some(peg) = lost else {
            return;
        };
        let of_hours = ["start", "end", "from_", "to_", "hours_"];
        let mut problems = self.problems.list.iter();
        if problems.any(|problem| of_hours.iter().any(|name| problem.field.starts_with(*name))) {
            return;
        }
        let sentence = format!(
            "Peg {}: every spell names another peg, and no time is left over for this one. Leave it empty, or mend a spell’s peg, or the hours.",
            self.choices.peg_number(peg)
        );
        self.problems.add("peg", sentence);
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
        self.ask_far(row, line, depth);
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

    /// Asks about a line or a depth far beyond what is fished.
    fn ask_far(&mut self, row: usize, line: Option<units::Length>, depth: Option<units::Length>) {
        let far = line.filter(|line| usual::is_far(*line));
        let deep = depth.filter(|depth| usual::is_deep(*depth));
        for (name, length, words) in [
            ("line", far, "is a very long line"),
            ("depth", deep, "is very deep water"),
        ] {
            let Some(length) = length else {
                continue;
            };
            let field = format!("{name}_{row}");
            let sentence = format!(
                "Spell {row}: {} {words}. Mend it, or tick that it is right.",
                length.words()
            );
            let about = self.form.get(&field).to_owned();
            self.ask(&field, about, sentence);
        }
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
}
