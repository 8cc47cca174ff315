//! Groups of fish and sets of them. A group is one bit, so a set is a sum, and "equal to the
//! set that was observed" is a comparison of numbers.

use std::fmt;

use serde::{Deserialize, Serialize};

/// A group of fish, as the glossary has it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Group {
    Carp,
    Silvers,
    F1s,
    Predators,
    Other,
}

impl Group {
    pub const ALL: [Self; 5] = [
        Self::Carp,
        Self::Silvers,
        Self::F1s,
        Self::Predators,
        Self::Other,
    ];

    pub fn bit(self) -> i64 {
        1 << (self as i64)
    }

    pub fn name(self) -> &'static str {
        match self {
            Self::Carp => "Carp",
            Self::Silvers => "Silvers",
            Self::F1s => "F1s",
            Self::Predators => "Predators",
            Self::Other => "Other fish",
        }
    }

    /// The word in addresses and form fields.
    pub fn slug(self) -> &'static str {
        match self {
            Self::Carp => "carp",
            Self::Silvers => "silvers",
            Self::F1s => "f1s",
            Self::Predators => "predators",
            Self::Other => "other",
        }
    }

    pub fn from_slug(slug: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|group| group.slug() == slug)
    }
}

/// A set of groups: never empty.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct GroupSet(i64);

impl GroupSet {
    pub const ALL: Self = Self(31);

    /// The set with these bits; `None` when empty or with a bit that is no group's.
    pub fn from_bits(bits: i64) -> Option<Self> {
        (1..=31).contains(&bits).then_some(Self(bits))
    }

    pub fn of(groups: impl IntoIterator<Item = Group>) -> Option<Self> {
        Self::from_bits(groups.into_iter().fold(0, |bits, group| bits | group.bit()))
    }

    pub fn bits(self) -> i64 {
        self.0
    }

    pub fn contains(self, group: Group) -> bool {
        self.0 & group.bit() != 0
    }

    pub fn overlaps(self, other: Self) -> bool {
        self.0 & other.0 != 0
    }

    pub fn union(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// As it stands within a sentence: `all fish`, `carp and silvers`, `F1s`.
    pub fn within(self) -> String {
        self.to_string().to_lowercase().replace("f1s", "F1s")
    }

    pub fn groups(self) -> impl Iterator<Item = Group> {
        Group::ALL
            .into_iter()
            .filter(move |group| self.contains(*group))
    }
}

impl From<Group> for GroupSet {
    fn from(group: Group) -> Self {
        Self(group.bit())
    }
}

impl fmt::Display for GroupSet {
    /// `All fish`, `Carp`, `Carp and silvers`, `Carp, silvers and F1s`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if *self == Self::ALL {
            return f.write_str("All fish");
        }
        let names: Vec<_> = self.groups().map(Group::name).collect();
        for (place, name) in names.iter().enumerate() {
            match place {
                0 => f.write_str(name)?,
                _ => {
                    f.write_str(if place + 1 == names.len() {
                        " and "
                    } else {
                        ", "
                    })?;
                    if *name == "F1s" {
                        f.write_str(name)?
                    } else {
                        f.write_str(&name.to_lowercase())?
                    }
                }
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_is_named_as_one_would_say_it() {
        let set = |bits| GroupSet::from_bits(bits).map(|s| s.to_string());
        assert_eq!(set(1).as_deref(), Some("Carp"));
        assert_eq!(set(3).as_deref(), Some("Carp and silvers"));
        assert_eq!(set(7).as_deref(), Some("Carp, silvers and F1s"));
        assert_eq!(set(31).as_deref(), Some("All fish"));
        assert_eq!(set(0), None);
        assert_eq!(set(32), None);
        let within = |bits| GroupSet::from_bits(bits).map(GroupSet::within);
        assert_eq!(within(31).as_deref(), Some("all fish"));
        assert_eq!(within(7).as_deref(), Some("carp, silvers and F1s"));
    }
}
