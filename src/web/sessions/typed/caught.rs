//! What was caught: totals a group, and hourly tallies.

use super::{Asked, Reader};
use crate::{
    domain::{
        dates::Instant,
        groups::Group,
        sessions::{
            Caught, Tally,
            fish::{MOST_FISH, read_tallies},
        },
        units::{self, Bare, Weight, WeightReading},
    },
    statistics::wording,
    web::{figures::weights_held, forms::AskedBack, sessions::told::not_noted},
};

impl Reader<'_> {
    /// `rod_hours`: of all spells, where they are known.
    pub(super) fn caught(&mut self, rod_hours: Option<f64>) -> Vec<Caught> {
        let blank = self.form.has("blank");
        let nothing = Weight::nothing(self.choices.scale);
        let mut caught = Vec::new();
        for group in Group::ALL {
            let (number, weight) = (
                format!("{}_number", group.slug()),
                format!("{}_weight", group.slug()),
            );
            let count = self.number(&number, group.name());
            let weighed = self.weight(&weight, group.name());
            let unknown = self.form.has(&format!("{number}_unknown"))
                || self.form.has(&format!("{weight}_unknown"));
            let typed = !self.form.get(&number).is_empty() || !self.form.get(&weight).is_empty();
            if blank {
                let counted = !self.form.get(&number).is_empty() || unknown;
                let against = if counted && count != Some(0) {
                    Some(&number)
                } else if !self.form.get(&weight).is_empty()
                    && !weighed.is_some_and(Weight::is_nothing)
                {
                    Some(&weight)
                } else {
                    None
                };
                if let Some(field) = against {
                    self.problems.add(
                        field.as_str(),
                        format!(
                            "{}: you ticked that you caught nothing. Untick it, or empty this group.",
                            group.name()
                        ),
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
            // A fish that is named was caught; how many there were may not be known.
            if !typed && !unknown && !self.names_one_of(group) {
                continue;
            }
            let one = Caught {
                groups: group.into(),
                count,
                weight: weighed,
            }
            .completed(nothing);
            self.problems.take(&weight, one.agrees());
            if let Some(sentence) = one.unusual() {
                let about = format!("{}/{}", self.form.get(&number), self.form.get(&weight));
                self.ask(&weight, about, sentence);
            }
            if let Some((hours, sentence)) =
                rod_hours.and_then(|hours| Some((hours, one.too_fast(hours)?)))
            {
                let about = format!("{}/{hours:.2}", self.form.get(&number));
                self.ask(&number, about, sentence);
            }
            if let Some(words) = self.understood(group, &one, (count, weighed)) {
                self.echo(&weight, weights_held(&words));
            }
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

    /// What was understood of a group; of a number or a weight that was typed and not read, nothing.
    fn understood(
        &self,
        group: Group,
        one: &Caught,
        (count, weighed): (Option<i64>, Option<Weight>),
    ) -> Option<String> {
        let field = |what: &str| format!("{}_{what}", group.slug());
        let typed = |what: &str| !self.form.get(&field(what)).is_empty();
        let unread = |what: &str, read: bool| typed(what) && !read;
        let number_unread = unread("number", count.is_some());
        if !unread("weight", weighed.is_some()) {
            let words = match number_unread {
                true => one.weight?.words(),
                false => one.words(),
            };
            return Some(format!("{}, {words}", group.name()));
        }
        let asked = self
            .asked
            .iter()
            .any(|asked| asked.field == field("weight"));
        let told = match (number_unread, asked) {
            (true, false) => return None,
            (true, true) => group.name().to_owned(),
            (false, _) => format!("{}, {}", group.name(), one.number_words()),
        };
        Some(match asked {
            true => format!("{told}; the weight is asked about below"),
            false => told,
        })
    }

    /// How many fish of `whose` were typed at a field.
    fn number(&mut self, field: &str, whose: &str) -> Option<i64> {
        let typed = self.form.get(field);
        if typed.is_empty() {
            return None;
        }
        if self.form.has(&format!("{field}_unknown")) {
            self.problems.add(
                field,
                format!(
                    "{whose}: you typed a number and ticked “not counted”. Keep one of the two."
                ),
            );
        }
        let count = units::read_count(typed, "fish", 0, MOST_FISH);
        self.problems.take(
            field,
            count.map_err(|sentence| wording::named(whose, &sentence)),
        )
    }

    /// The weight of `whose` typed at a field.
    pub(super) fn weight(&mut self, field: &str, whose: &str) -> Option<Weight> {
        let typed = self.form.get(field);
        if typed.is_empty() {
            return None;
        }
        if self.form.has(&format!("{field}_unknown")) {
            self.problems.add(
                field,
                format!(
                    "{whose}: you typed a weight and ticked “not weighed”. Keep one of the two."
                ),
            );
        }
        match units::read_weight(typed, self.choices.scale, Bare::AsScales) {
            WeightReading::Understood(weight) => Some(weight),
            WeightReading::Problem(sentence) => {
                self.problems.add(field, wording::named(whose, &sentence));
                None
            }
            WeightReading::Question { asks, choices } => {
                let name = format!("{field}_meant");
                let weight = AskedBack::answer(&name, &choices, self.form);
                if weight.is_none() {
                    self.problems.add(field, wording::named(whose, &asks));
                }
                self.asked.push(Asked {
                    field: field.to_owned(),
                    choices,
                });
                weight
            }
        }
    }

    pub(super) fn tallies(
        &mut self,
        caught: &[Caught],
        hours: Option<(Instant, Instant)>,
    ) -> Vec<Tally> {
        let mut all = Vec::new();
        for group in Group::ALL {
            let field = format!("{}_tally", group.slug());
            // Times that were typed and not understood are named where they stand.
            if hours.is_none()
                && ["start", "end"]
                    .iter()
                    .any(|at| !self.form.get(at).is_empty())
            {
                continue;
            }
            let read = read_tallies(self.form.get(&field), group, hours);
            let Some(tallies) = self.problems.take(
                &field,
                read.map_err(|sentence| wording::named(group.name(), &sentence)),
            ) else {
                continue;
            };
            let sum: i64 = tallies.iter().map(|tally| tally.count).sum();
            let total = total(caught, group).and_then(|one| one.count);
            if total.is_some_and(|total| sum > total) {
                let sentence = format!(
                    "{}: the hours come to {sum} fish, more than the number above. Mend one of the two.",
                    group.name()
                );
                self.problems.add(&*field, sentence);
            }
            let noted: Vec<_> = tallies.iter().collect();
            if let Some(words) = hours.and_then(|hours| not_noted(&noted, hours)) {
                self.echo(&field, words);
            }
            all.extend(tallies);
        }
        all
    }
}

/// What is known of one group.
pub(super) fn total(caught: &[Caught], group: Group) -> Option<&Caught> {
    caught.iter().find(|one| one.groups == group.into())
}
