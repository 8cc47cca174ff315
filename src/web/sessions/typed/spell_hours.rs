//! When each spell of a report was, and how that agrees with the session's hours.

use super::Reader;
use crate::domain::{
    dates::{Day, Instant},
    sessions::{Spell, spell},
    units,
};

impl Reader<'_> {
    /// A single spell without hours fills the session; among several each needs its own, where any has.
    pub(super) fn give_hours(
        &mut self,
        spells: &mut [(usize, Spell)],
        hours: Option<(Instant, Instant)>,
    ) {
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
        if let Some((start, end)) = hours {
            self.check_loose(spells, end.minutes_since(start));
        }
    }

    /// Hours without a place in the day, against those of the session: one spell's by themselves,
    /// however many rods it had, and all together. Spells that share time are asked about, as those are
    /// that overlap on the clock: each counts its own rods.
    fn check_loose(&mut self, spells: &[(usize, Spell)], session: f64) {
        let words = |minutes: f64| units::Minutes(minutes.round() as i64).words();
        let loose = |spell: &Spell| spell.minutes.filter(|_| spell.from.is_none());
        let mut longer = false;
        for (row, spell) in spells {
            let Some(minutes) = loose(spell).filter(|minutes| *minutes > session) else {
                continue;
            };
            longer = true;
            self.problems.add(
                format!("hours_{row}"),
                format!(
                    "Spell {row}: {} is longer than the session, {}. Enter how long the spell lasted; the rods have a box of their own.",
                    words(minutes),
                    words(session)
                ),
            );
        }
        let total: f64 = spells.iter().filter_map(|(_, s)| s.minutes).sum();
        let first = spells.iter().find(|(_, spell)| loose(spell).is_some());
        let Some((row, _)) = first.filter(|_| !longer && total > session) else {
            return;
        };
        let field = format!("hours_{row}");
        let sentence = format!(
            "Spell {row}: the spells come to {} together, the session to {}. Were rods out at once on different ones? Tick if so, or mend the hours.",
            words(total),
            words(session)
        );
        self.ask(&field, format!("{total}/{session}"), sentence);
    }

    /// From, to and minutes of a spell.
    pub(super) fn spell_time(
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
            self.problems.add(
                missing,
                format!("Spell {row}: enter both, from and to, or neither."),
            );
        }
        // Read whatever is wrong with the times, so that all there is to mend is told at once.
        let hours_field = format!("hours_{row}");
        let written = self.length_of_time(&hours_field, row);
        if let (Some(from), Some(to)) = (from, to) {
            let earliest = hours.map_or(day.at(from, &self.choices.zone), |h| h.0);
            let from = spell::next_time(day, from, &self.choices.zone, earliest);
            let to = spell::next_time(
                from.day(&self.choices.zone),
                to,
                &self.choices.zone,
                from.plus_seconds(60),
            );
            if let Some((end, sentence)) =
                hours.and_then(|hours| self.outside(row, (from, to), hours))
            {
                let field = match end {
                    End::From => from_field,
                    End::To => to_field,
                };
                self.problems.add(field, sentence);
                return (None, None, None);
            }
            if self.is_to_come(to) {
                self.problems.add(
                    &*to_field,
                    format!(
                        "Spell {row}, to: that is still to come. Report when you have packed up."
                    ),
                );
                return (Some(from), Some(to), Some(to.minutes_since(from)));
            }
            let minutes = to.minutes_since(from);
            let words = units::Minutes(minutes as i64).words();
            if written.is_some_and(|written| (written - minutes).abs() >= 1.0) {
                self.problems.add(
                    hours_field,
                    format!(
                        "Spell {row}: from and to make {words}. Leave the hours empty, or mend one of them."
                    ),
                );
            }
            let zone = &self.choices.zone;
            let overnight = from.day(zone) != to.day(zone);
            if hours.is_none() && overnight && minutes as i64 > spell::LONG_NIGHT {
                let sentence = format!(
                    "Spell {row}: from {} to {} the next day? That makes {words}. Mend one of the two times, or tick that it is right.",
                    from.clock(zone),
                    to.clock(zone)
                );
                let about = format!(
                    "{} {}",
                    self.form.get(&from_field),
                    self.form.get(&to_field)
                );
                self.ask(&to_field, about, sentence);
            }
            self.echo(&to_field, words);
            return (Some(from), Some(to), Some(minutes));
        }
        if given(&from_field) || given(&to_field) {
            return (None, None, None);
        }
        (None, None, written)
    }

    /// At which end a spell leaves the session, and how to mend it. Of a time before the session and
    /// the same time the day after, or of an end before the beginning and one past midnight, the one
    /// that is less far out was meant.
    fn outside(
        &self,
        row: usize,
        (from, to): (Instant, Instant),
        (start, end): (Instant, Instant),
    ) -> Option<(End, String)> {
        let zone = &self.choices.zone;
        let day_before = |at: Instant| at.plus_seconds(-24 * 3_600);
        if from >= end {
            let before = start.minutes_since(day_before(from));
            let sentence = match before > 0.0 && before < from.minutes_since(end) {
                true => format!(
                    "Spell {row} starts before the session: from {}, and you started at {}. Mend one of the two.",
                    from.clock(zone),
                    start.clock(zone)
                ),
                false => format!(
                    "Spell {row} starts when the session is over: from {}, and you packed up at {}. Mend one of the two.",
                    from.clock(zone),
                    end.clock(zone)
                ),
            };
            return Some((End::From, sentence));
        }
        if to <= end {
            return None;
        }
        let backwards = from.minutes_since(day_before(to));
        let sentence = match backwards >= 0.0 && backwards < to.minutes_since(end) {
            true => format!(
                "Spell {row} ends {} it starts: from {} to {}. Mend one of the two times.",
                if backwards > 0.0 { "before" } else { "when" },
                from.clock(zone),
                to.clock(zone)
            ),
            false => format!(
                "Spell {row} reaches beyond the session: to {}, and you packed up at {}. Mend one of the two.",
                to.clock(zone),
                end.clock(zone)
            ),
        };
        Some((End::To, sentence))
    }

    /// The minutes of the hours typed at a spell's field.
    fn length_of_time(&mut self, field: &str, row: usize) -> Option<f64> {
        let typed = self.form.get(field);
        if typed.is_empty() {
            return None;
        }
        let read = units::read_hours(typed, 24).map_err(|why| format!("Spell {row}: {why}"));
        let minutes = self.problems.take(field, read)?;
        self.echo(field, minutes.words());
        Some(minutes.0 as f64)
    }
}

/// An end of a spell, by its box.
enum End {
    From,
    To,
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
