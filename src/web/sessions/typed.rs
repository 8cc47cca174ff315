//! A report's form, read: what was understood, what is asked back, what has to be mended.

use jiff::civil::Time;

use super::form::{Choices, MOST_NAMED, MOST_SPELLS};
use crate::{
    domain::{
        dates::{Day, Instant, parse_time},
        groups::Group,
        ids::{BaitId, MethodId, PegId},
        names::{Name, text::clean_words},
        sessions::{
            Caught, NamedFish, Report, Spell, Visibility,
            fish::{MOST_FISH, read_tallies},
            spell,
        },
        units::{self, Bare, Choice, Weight, WeightReading},
    },
    web::forms::{Form, Problems},
};

/// A weight that could be several.
#[derive(Clone, Debug)]
pub struct Asked {
    pub field: String,
    pub choices: Vec<Choice>,
}

/// What was made of a form.
pub struct Reading {
    /// The report, when nothing stands in its way.
    pub report: Option<Report>,
    pub name: Option<Name>,
    pub problems: Problems,
    pub asked: Vec<Asked>,
    /// What was understood, by field.
    pub echoes: Vec<(String, String)>,
}

/// How many numbered rows a form has: the hidden count, or one.
pub fn rows(form: &Form, name: &str, least: usize, most: usize) -> usize {
    form.get(name).parse().unwrap_or(least).clamp(least, most)
}

/// Reads a whole form. `now` refuses what has not happened yet.
pub fn read(form: &Form, choices: &Choices, now: Instant) -> Reading {
    let mut reader = Reader {
        form,
        choices,
        problems: Problems::default(),
        asked: Vec::new(),
        echoes: Vec::new(),
    };
    let name = reader.name();
    let report = reader.report(now);
    Reading {
        report: report.filter(|_| reader.problems.is_empty()),
        name,
        problems: reader.problems,
        asked: reader.asked,
        echoes: reader.echoes,
    }
}

struct Reader<'a> {
    form: &'a Form,
    choices: &'a Choices,
    problems: Problems,
    asked: Vec<Asked>,
    echoes: Vec<(String, String)>,
}

impl Reader<'_> {
    fn name(&mut self) -> Option<Name> {
        if !self.choices.ask_name {
            return None;
        }
        let name = Name::new(self.form.get("given"), self.form.get("surname"));
        self.problems.take("given", name)
    }

    fn report(&mut self, now: Instant) -> Option<Report> {
        let day = self.day(now);
        let peg = self.peg("peg", day);
        let hours = self.hours(day, now);
        let spells = self.spells(day, peg, hours);
        let hours = hours.or_else(|| outer_hours(&spells));
        let caught = self.caught();
        let named = self.named(day, hours);
        let tallies = self.tallies(&caught, hours);
        let remarks = clean_words(self.form.raw("remarks"), "the remarks", 4_000);
        let remarks = self.problems.take("remarks", remarks);
        let visibility = Visibility::parse(self.form.get("visibility"));
        if visibility.is_none() {
            self.problems
                .add("visibility", "Choose who may see this report.");
        }
        Some(Report {
            venue: self.choices.water.id,
            day: day?,
            start: hours.map(|h| h.0),
            end: hours.map(|h| h.1),
            spells,
            caught,
            named,
            tallies,
            remarks: remarks.filter(|words| !words.is_empty()),
            visibility: visibility?,
        })
    }

    fn day(&mut self, now: Instant) -> Option<Day> {
        let Some(day) = Day::parse(self.form.get("date")) else {
            self.problems
                .add("date", "Enter the date you began, for example 2026-11-14.");
            return None;
        };
        if day > now.day(&self.choices.zone) {
            self.problems.add(
                "date",
                format!("{} is still to come. Enter the date you began.", day.long()),
            );
            return None;
        }
        Some(day)
    }

    fn peg(&mut self, field: &str, day: Option<Day>) -> Option<PegId> {
        let typed = self.form.get(field);
        if typed.is_empty() {
            return None;
        }
        let day = day?;
        let folded = typed.to_lowercase();
        let found = self.choices.pegs.iter().find(|peg| {
            peg.number.to_lowercase() == folded
                && peg.from.is_none_or(|from| from <= day)
                && peg.to.is_none_or(|to| day <= to)
        });
        if found.is_none() {
            let sentence = format!(
                "There was no peg {} at {} that day. Enter the number on the stake, or leave it empty.",
                units::quoted(typed),
                self.choices.water.name
            );
            self.problems.add(field, sentence);
        }
        found.map(|peg| peg.id)
    }

    fn time(&mut self, field: &str) -> Option<Time> {
        let typed = self.form.get(field);
        if typed.is_empty() {
            return None;
        }
        let time = parse_time(typed).ok_or_else(|| {
            format!(
                "{} is not a time of day. Enter it like 7:30 or 15:00.",
                units::quoted(typed)
            )
        });
        self.problems.take(field, time)
    }

    /// When the session began and ended.
    fn hours(&mut self, day: Option<Day>, now: Instant) -> Option<(Instant, Instant)> {
        let (start, end) = (self.time("start"), self.time("end"));
        let given = |field| !self.form.get(field).is_empty();
        if given("start") != given("end") {
            let missing = if given("start") { "end" } else { "start" };
            self.problems.add(
                missing,
                "Enter both times, when you started and when you packed up, or neither.",
            );
        }
        let (start, end) = spell::hours(day?, start?, end?, &self.choices.zone);
        if end > now {
            self.problems.add(
                "end",
                "That is still to come. Report when you have packed up.",
            );
            return None;
        }
        let minutes = units::Minutes((end.0 - start.0) / 60);
        self.echo("end", format!("{}, {}", day?.long(), minutes.words()));
        Some((start, end))
    }

    fn echo(&mut self, field: &str, words: String) {
        self.echoes.push((field.to_owned(), words));
    }

    fn spells(
        &mut self,
        day: Option<Day>,
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
            if any && spell.minutes.is_none() && self.problems.at(&format!("from_{row}")).is_empty()
            {
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

    /// One spell; `None` when its row was left empty.
    fn spell(
        &mut self,
        row: usize,
        day: Option<Day>,
        peg: Option<PegId>,
        hours: Option<(Instant, Instant)>,
    ) -> Option<Spell> {
        let at = |name: &str| format!("{name}_{row}");
        let filled = [
            "peg", "from", "to", "hours", "method", "bait", "depth", "line", "aim",
        ];
        if filled
            .iter()
            .all(|name| self.form.get(&at(name)).is_empty())
        {
            return None;
        }
        let own_peg = self.peg(&at("peg"), day).or(peg);
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
        let depth = self.length(&at("depth"), "the depth", 100);
        let line = self.length(&at("line"), "the line", 200);
        let aim = match self.form.get(&at("aim")) {
            "" => None,
            typed => self.problems.take(&at("aim"), units::read_aim(typed)),
        };
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
        match self.form.get(field) {
            "" => None,
            typed => self
                .problems
                .take(field, units::read_metres(typed, what, most)),
        }
    }

    fn one_of(
        &mut self,
        field: &str,
        list: impl Fn(&Choices) -> &Vec<crate::store::sessions::choices::Choice>,
    ) -> Option<i64> {
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
        day: Option<Day>,
        hours: Option<(Instant, Instant)>,
    ) -> (Option<Instant>, Option<Instant>, Option<f64>) {
        let (from_field, to_field) = (format!("from_{row}"), format!("to_{row}"));
        let (from, to) = (self.time(&from_field), self.time(&to_field));
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
        let typed = self.form.get(&format!("hours_{row}"));
        if let (Some(from), Some(to), Some(day)) = (from, to, day) {
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
            }
            let minutes = to.minutes_since(from);
            self.echo(&to_field, units::Minutes(minutes as i64).words());
            return (Some(from), Some(to), Some(minutes));
        }
        if typed.is_empty() || given(&from_field) || given(&to_field) {
            return (None, None, None);
        }
        let minutes = self
            .problems
            .take(&format!("hours_{row}"), units::read_hours(typed, 24));
        (None, None, minutes.map(|minutes| minutes.0 as f64))
    }

    fn caught(&mut self) -> Vec<Caught> {
        let blank = self.form.has("blank");
        let nothing = Weight::nothing(self.choices.scale);
        let mut caught = Vec::new();
        for group in Group::ALL {
            let (number, weight) = (
                format!("{}_number", group.slug()),
                format!("{}_weight", group.slug()),
            );
            let count = self.number(&number);
            let weighed = self.weight(&weight);
            let unknown = self.form.has(&format!("{number}_unknown"))
                || self.form.has(&format!("{weight}_unknown"));
            let typed = !self.form.get(&number).is_empty() || !self.form.get(&weight).is_empty();
            if blank {
                if (typed || unknown) && count != Some(0) {
                    self.problems.add(
                        &*number,
                        "You ticked that you caught nothing. Untick it, or empty this group.",
                    );
                }
                let none = Caught {
                    groups: group.into(),
                    count: Some(0),
                    weight: Some(nothing),
                };
                caught.push(none);
                continue;
            }
            if !typed && !unknown {
                continue;
            }
            let one = Caught {
                groups: group.into(),
                count,
                weight: weighed,
            }
            .completed(nothing);
            self.problems.take(&weight, one.agrees());
            self.echo(&weight, one.words());
            caught.push(one);
        }
        if caught.is_empty() {
            self.problems.add(
                "carp_number",
                "Enter what you caught, a number or a weight for one group at least; if nothing, tick that you caught nothing.",
            );
        }
        caught
    }

    fn number(&mut self, field: &str) -> Option<i64> {
        let typed = self.form.get(field);
        if typed.is_empty() {
            return None;
        }
        if self.form.has(&format!("{field}_unknown")) {
            self.problems.add(
                field,
                "You typed a number and ticked “not counted”. Keep one of the two.",
            );
        }
        self.problems
            .take(field, units::read_count(typed, "fish", 0, MOST_FISH))
    }

    fn weight(&mut self, field: &str) -> Option<Weight> {
        let typed = self.form.get(field);
        if typed.is_empty() {
            return None;
        }
        if self.form.has(&format!("{field}_unknown")) {
            self.problems.add(
                field,
                "You typed a weight and ticked “not weighed”. Keep one of the two.",
            );
        }
        match units::read_weight(typed, self.choices.scale, Bare::AsScales) {
            WeightReading::Understood(weight) => Some(weight),
            WeightReading::Problem(sentence) => {
                self.problems.add(field, sentence);
                None
            }
            WeightReading::Question { asks, choices } => {
                let meant = self.form.get(&format!("{field}_meant"));
                let chosen = choices.iter().find(|choice| choice.weight.typed() == meant);
                let weight = chosen.map(|choice| choice.weight);
                if weight.is_none() {
                    self.problems.add(field, asks);
                }
                self.asked.push(Asked {
                    field: field.to_owned(),
                    choices,
                });
                weight
            }
        }
    }

    fn named(&mut self, day: Option<Day>, hours: Option<(Instant, Instant)>) -> Vec<NamedFish> {
        let count = rows(self.form, "named", 1, MOST_NAMED);
        let mut named = Vec::new();
        for row in 1..=count {
            let (fish, weight, at) = (
                format!("fish_{row}"),
                format!("fish_weight_{row}"),
                format!("fish_time_{row}"),
            );
            let (typed, weighed, time) =
                (self.form.get(&fish), self.weight(&weight), self.time(&at));
            if typed.is_empty() {
                if weighed.is_some() || time.is_some() {
                    self.problems.add(&*fish, "Choose which fish this was.");
                }
                continue;
            }
            let found = self
                .choices
                .fish
                .iter()
                .find(|choice| choice.id.to_string() == typed);
            let group = found.and_then(|f| Group::ALL.into_iter().find(|g| g.bit() == f.group_bit));
            let (Some(found), Some(group)) = (found, group) else {
                self.problems.add(&*fish, "Choose a fish from the list.");
                continue;
            };
            let at_utc = day.zip(time).map(|(day, time)| {
                let earliest = hours.map_or(day.at(time, &self.choices.zone), |h| h.0);
                spell::next_time(day, time, &self.choices.zone, earliest)
            });
            if let (Some(caught_at), Some((_, end))) = (at_utc, hours)
                && caught_at > end
            {
                self.problems
                    .add(&*at, "That is after you packed up. Check the time.");
            }
            named.push(NamedFish {
                species: found.id,
                group,
                weight: weighed,
                at: at_utc,
            });
        }
        named
    }

    fn tallies(
        &mut self,
        caught: &[Caught],
        hours: Option<(Instant, Instant)>,
    ) -> Vec<crate::domain::sessions::Tally> {
        let mut all = Vec::new();
        for group in Group::ALL {
            let field = format!("{}_tally", group.slug());
            let Some(tallies) = self
                .problems
                .take(&field, read_tallies(self.form.get(&field), group, hours))
            else {
                continue;
            };
            let sum: i64 = tallies.iter().map(|tally| tally.count).sum();
            let total = caught
                .iter()
                .find(|one| one.groups == group.into())
                .and_then(|one| one.count);
            if total.is_some_and(|total| sum > total) {
                let sentence = format!(
                    "The hours come to {sum} fish, more than the number above. Mend one of the two."
                );
                self.problems.add(&*field, sentence);
            }
            all.extend(tallies);
        }
        all
    }
}

/// From the first spell's beginning to the last one's end, where every spell has its place in the day.
fn outer_hours(spells: &[Spell]) -> Option<(Instant, Instant)> {
    let placed: Option<Vec<_>> = spells.iter().map(|s| s.from.zip(s.to)).collect();
    let placed = placed?;
    Some((
        placed.iter().map(|h| h.0).min()?,
        placed.iter().map(|h| h.1).max()?,
    ))
}
