//! What was caught: per group of fish a number and a weight, each known or not; single fish
//! worth naming; and how many came in which hour.

use crate::domain::{
    dates::Instant,
    groups::{Group, GroupSet},
    ids::SpeciesId,
    units::{Minutes, Weight, is_gap},
};

/// The most fish of a group believed in one session.
pub const MOST_FISH: i64 = 9_999;

/// What is known of the catch of one set of groups. Both absent: fished for, neither counted nor weighed.
#[derive(Clone, Debug, PartialEq)]
pub struct Caught {
    pub groups: GroupSet,
    /// Fish.
    pub count: Option<i64>,
    pub weight: Option<Weight>,
}

impl Caught {
    /// `4 fish, 31 lb 4 oz`, `6 fish, weight not known`, `none`.
    pub fn words(&self) -> String {
        let number = self.number_words();
        if self.count == Some(0) {
            return number;
        }
        match self.weight {
            Some(weight) => format!("{number}, {}", weight.words()),
            None => format!("{number}, weight not known"),
        }
    }

    /// `4 fish`, `none`, `number not known`.
    pub fn number_words(&self) -> String {
        match self.count {
            Some(0) => "none".to_owned(),
            Some(n) => format!("{n} fish"),
            None => "number not known".to_owned(),
        }
    }

    /// The same with the fish it is of: `Carp: 4 fish, 31 lb 4 oz`.
    pub fn sentence(&self) -> String {
        format!("{}: {}", self.groups, self.words())
    }

    /// None caught means nothing weighed, and nothing weighed means none caught; one that is
    /// known tells the other.
    pub fn completed(mut self, nothing: Weight) -> Self {
        match (self.count, self.weight) {
            (Some(0), None) => self.weight = Some(nothing),
            (None, Some(weight)) if weight.is_nothing() => self.count = Some(0),
            _ => {}
        }
        self
    }

    /// Errors: a sentence where number and weight contradict each other.
    pub fn agrees(&self) -> Result<(), String> {
        match (self.count, self.weight) {
            (Some(0), Some(weight)) if !weight.is_nothing() => Err(format!(
                "{}: none caught, but {} weighed. Mend one of the two, or leave the number out.",
                self.groups,
                weight.words()
            )),
            (Some(n), Some(weight)) if n > 0 && weight.is_nothing() => Err(format!(
                "{}: {n} fish that weighed nothing. Mend one of the two, or leave the weight out if it is not known.",
                self.groups
            )),
            _ => Ok(()),
        }
    }
}

/// A single fish worth naming; part of its group's total, never added to it.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedFish {
    pub species: SpeciesId,
    pub group: Group,
    pub weight: Option<Weight>,
    pub at: Option<Instant>,
}

/// Fish of a group that came within one hour of the session.
#[derive(Clone, Debug, PartialEq)]
pub struct Tally {
    pub group: Group,
    pub from: Instant,
    pub to: Instant,
    pub count: i64,
}

/// Reads one number for each hour since the start: `2 0 1 3`; `-` for an hour not counted. The last
/// hour may be cut short by the end.
///
/// Errors: a sentence that says how to mend it.
pub fn read_tallies(
    typed: &str,
    group: Group,
    hours: Option<(Instant, Instant)>,
) -> Result<Vec<Tally>, String> {
    let parts: Vec<&str> = typed
        .split([' ', ',', ';', '\n', '\t'])
        .filter(|part| !part.is_empty())
        .collect();
    if parts.is_empty() {
        return Ok(Vec::new());
    }
    let Some((start, end)) = hours else {
        return Err(
            "Enter when you started and packed up, so that the hours can be told apart.".into(),
        );
    };
    let mut tallies = Vec::new();
    for (place, part) in parts.iter().enumerate() {
        let from = start.plus_seconds(3_600 * place as i64);
        if from >= end {
            return Err(format!(
                "{} hours are written, but you fished {}. Enter one number for each hour.",
                parts.len(),
                Minutes((end.0 - start.0) / 60).words()
            ));
        }
        if is_gap(part) || *part == "?" {
            continue;
        }
        let count = crate::domain::units::read_count(part, "fish in an hour", 0, MOST_FISH)?;
        let to = end.min(from.plus_seconds(3_600));
        tallies.push(Tally {
            group,
            from,
            to,
            count,
        });
    }
    Ok(tallies)
}

/// How many hours were written, where they end before the session does: the rest is not noted.
pub fn hours_written(tallies: &[&Tally], start: Instant, end: Instant) -> Option<usize> {
    let last = tallies.iter().map(|tally| tally.to).max()?;
    let hours = usize::try_from(last.0 - start.0).ok()?.div_ceil(3_600);
    (last < end).then_some(hours)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_that_end_before_the_session_are_counted() {
        let hours = (Instant(0), Instant(5 * 3_600 + 1_800));
        let written = |typed| {
            let read = read_tallies(typed, Group::Carp, Some(hours)).expect("hours of the session");
            hours_written(&read.iter().collect::<Vec<_>>(), hours.0, hours.1)
        };
        assert_eq!(written("2 0 1 3"), Some(4));
        assert_eq!(written("- - 1"), Some(3));
        assert_eq!(written("2 0 1 3 1 0"), None, "the last is cut short");
        assert_eq!(written(""), None);
    }

    #[test]
    fn hours_are_told_apart_from_the_start_and_the_last_is_cut_short() {
        let hours = Some((Instant(0), Instant(3 * 3_600 + 1_800)));
        let read = read_tallies("2 - 1, 3", Group::Carp, hours).expect("four hours begun");
        assert_eq!(read.len(), 3);
        assert_eq!((read[1].from, read[1].count), (Instant(7_200), 1));
        assert_eq!(read[2].to, Instant(3 * 3_600 + 1_800));
        assert!(read_tallies("1 1 1 1 1", Group::Carp, hours).is_err());
        assert!(read_tallies("1", Group::Carp, None).is_err());
    }

    #[test]
    fn none_caught_and_nothing_weighed_tell_each_other() {
        let carp = |count, weight| Caught {
            groups: Group::Carp.into(),
            count,
            weight,
        };
        let nothing = Weight::drams(0);
        assert_eq!(carp(Some(0), None).completed(nothing).weight, Some(nothing));
        assert_eq!(carp(None, Some(nothing)).completed(nothing).count, Some(0));
        assert!(carp(Some(0), Some(Weight::lb_oz(1, 0))).agrees().is_err());
        assert!(carp(Some(2), Some(nothing)).agrees().is_err());
        assert_eq!(
            carp(Some(4), Some(Weight::lb_oz(31, 4))).sentence(),
            "Carp: 4 fish, 31 lb 4 oz"
        );
    }
}
