//! Single fish worth naming, each a part of its group's total.

use super::{Reader, caught::total, rows};
use crate::{
    domain::{
        dates::{Day, Instant},
        groups::Group,
        sessions::{Caught, NamedFish, Tally, spell, usual},
        units::Weight,
    },
    web::{
        figures::weights_held,
        sessions::{form::MOST_NAMED, told::scales_words},
    },
};

/// Grams that a sum may be out by because a dram is no whole number of grams.
const ROUNDED: f64 = 0.5;

impl Reader<'_> {
    /// Each with its row.
    pub(super) fn named(
        &mut self,
        day: Day,
        hours: Option<(Instant, Instant)>,
        caught: &[Caught],
    ) -> Vec<(usize, NamedFish)> {
        let count = rows(self.form, "named", 1, MOST_NAMED);
        let (mut placed, mut named) = (Vec::new(), Vec::new());
        for row in 1..=count {
            let (fish, weight, at) = (
                format!("fish_{row}"),
                format!("fish_weight_{row}"),
                format!("fish_time_{row}"),
            );
            let whose = format!("Named fish {row}");
            let (typed, weighed, time) = (
                self.form.get(&fish),
                self.weight(&weight, &whose),
                self.time(&at, &whose),
            );
            if let Some(weighed) = weighed {
                self.echo(&weight, weights_held(&weighed.words()));
            }
            if typed.is_empty() {
                if weighed.is_some() || time.is_some() {
                    self.problems.add(
                        &*fish,
                        format!("Named fish {row}: choose which fish this was."),
                    );
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
                self.problems.add(
                    &*fish,
                    format!("Named fish {row}: choose a fish from the list."),
                );
                continue;
            };
            let at_utc = time.map(|time| {
                let earliest = hours.map_or(day.at(time, &self.choices.zone), |h| h.0);
                spell::next_time(day, time, &self.choices.zone, earliest)
            });
            if let Some(caught_at) = at_utc {
                let too_late = match hours {
                    Some((_, end)) if caught_at > end => Some("after you packed up"),
                    None if self.is_to_come(caught_at) => Some("still to come"),
                    _ => None,
                };
                if let Some(when) = too_late {
                    self.problems.add(
                        &*at,
                        format!("Named fish {row}: that is {when}. Check the time."),
                    );
                }
            }
            if let Some(giant) =
                weighed.filter(|weighed| usual::is_giant(&found.slug, group, *weighed))
            {
                let sentence = format!(
                    "Named fish {row}: {} is far above any {}. Mend it, or tick that it is right.",
                    giant.words(),
                    found.name
                );
                let about = format!("{}/{}", found.id, self.form.get(&weight));
                self.ask(&weight, about, sentence);
            }
            named.push(NamedFish {
                species: found.id,
                group,
                weight: weighed,
                at: at_utc,
            });
            placed.push(row);
            if let Some(total) = total(caught, group) {
                self.within(total, row, &named);
            }
        }
        placed.into_iter().zip(named).collect()
    }

    /// Named fish are part of their group: names the last of them where it makes more than the
    /// whole, in number or in weight.
    fn within(&mut self, total: &Caught, row: usize, named: &[NamedFish]) {
        let Some(last) = named.last() else {
            return;
        };
        let group = last.group;
        let of_group: Vec<_> = named.iter().filter(|fish| fish.group == group).collect();
        let more = total
            .count
            .filter(|count| i64::try_from(of_group.len()).is_ok_and(|named| named > *count));
        if let Some(count) = more {
            let whole = match count {
                0 => format!("no {} were caught, as is said above", group.name()),
                count => format!(
                    "with it more of {} are named than the {count} above",
                    group.name()
                ),
            };
            self.problems.add(
                format!("fish_{row}"),
                format!("Named fish {row}: {whole}. Mend one of the two."),
            );
        }
        let (Some(one), Some(all)) = (last.weight, total.weight) else {
            return;
        };
        let room = |of: &[Weight]| ROUNDED + of.iter().map(|one| rounding(*one, all)).sum::<f64>();
        let weights: Vec<_> = of_group.iter().filter_map(|fish| fish.weight).collect();
        let together: f64 = weights.iter().map(|one| one.as_grams()).sum();
        let (what, grams, of) = if one.as_grams() > all.as_grams() + room(&[one]) {
            ("that is", one.as_grams(), vec![one])
        } else if together > all.as_grams() + room(&weights) {
            ("with the fish named before it, that is", together, weights)
        } else {
            return;
        };
        // Of other scales, it is said in those of the whole.
        let other = of.iter().any(|one| one.scale() != all.scale());
        let said = match other.then(|| scales_words(grams, all.scale())) {
            Some(words) => format!("{words}, "),
            None => String::new(),
        };
        let sentence = format!(
            "Named fish {row}: {what} {said}more than the whole of {} above, {}. Mend one of the two.",
            group.name(),
            all.words()
        );
        self.problems.add(format!("fish_weight_{row}"), sentence);
    }

    /// Does a row name a fish of this group? Then it was caught, whatever else is known of it.
    pub(super) fn names_one_of(&self, group: Group) -> bool {
        (1..=rows(self.form, "named", 1, MOST_NAMED)).any(|row| {
            let typed = self.form.get(&format!("fish_{row}"));
            let mut fish = self.choices.fish.iter();
            fish.any(|one| one.group_bit == group.bit() && one.id.to_string() == typed)
        })
    }

    /// Asks where fewer fish stand in the hour of a named one than are named of it.
    pub(super) fn ask_hours(&mut self, named: &[(usize, NamedFish)], tallies: &[Tally]) {
        for (place, (row, fish)) in named.iter().enumerate() {
            let Some(at) = fish.at else {
                continue;
            };
            // One that came on the hour may stand on either side of it.
            let beside = |at: Instant| {
                let of = tallies.iter().filter(move |one| one.group == fish.group);
                of.filter(move |one| one.from <= at && at <= one.to)
            };
            let Some(hour) = beside(at).next_back() else {
                continue;
            };
            let counted: i64 = beside(at).map(|one| one.count).sum();
            let before = named[..place].iter().filter(|(_, other)| {
                other.group == fish.group
                    && other.at.is_some_and(|at| hour.from < at && at < hour.to)
            });
            if i64::try_from(before.count()).is_ok_and(|before| before < counted) {
                continue;
            }
            let zone = &self.choices.zone;
            let group = fish.group.name();
            let written = match counted {
                0 => format!("no {group} are written"),
                counted => format!("with it more of {group} are named than the {counted} written"),
            };
            let sentence = format!(
                "Named fish {row}: it came at {}, and {written} for the hour from {}. Mend one of the two, or tick that it is right.",
                at.clock(zone),
                hour.from.clock(zone)
            );
            let field = format!("fish_time_{row}");
            let tally = self.form.get(&format!("{}_tally", fish.group.slug()));
            let about = format!("{}/{tally}", self.form.get(&field));
            self.ask(&field, about, sentence);
        }
    }
}

/// Grams by which a weight may seem more than the whole it is part of: a dram, the coarser of the
/// two scales' units, where they were weighed on different ones.
fn rounding(one: Weight, all: Weight) -> f64 {
    match one.scale() == all.scale() {
        true => 0.0,
        false => Weight::drams(1).as_grams(),
    }
}
