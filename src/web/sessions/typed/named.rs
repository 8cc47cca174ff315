//! Single fish worth naming, each a part of its group's total.

use super::{Reader, caught::total, rows};
use crate::{
    domain::{
        dates::{Day, Instant},
        groups::Group,
        sessions::{Caught, NamedFish, spell, usual},
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
    pub(super) fn named(
        &mut self,
        day: Day,
        hours: Option<(Instant, Instant)>,
        caught: &[Caught],
    ) -> Vec<NamedFish> {
        let count = rows(self.form, "named", 1, MOST_NAMED);
        let mut named = Vec::new();
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
            self.ask_number(row, group);
            if let Some(total) = total(caught, group) {
                self.within(total, row, &named);
            }
        }
        named
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

    /// A fish that is named was caught: asks for the number of its group, where nothing is said of it.
    fn ask_number(&mut self, row: usize, group: Group) {
        let number = format!("{}_number", group.slug());
        let said = !self.form.get(&number).is_empty()
            || self.form.has(&format!("{number}_unknown"))
            || self.form.has("blank");
        if !said {
            let sentence = format!(
                "{}: named fish {row} is one of these. Enter how many you caught, one at least, or tick “not counted”.",
                group.name()
            );
            self.problems.add(number, sentence);
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
