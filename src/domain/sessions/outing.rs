//! Whether two tellings of one angler's day at one water are of one outing.

use crate::domain::{ids::PegId, units::Minutes};

/// Minutes by which two tellings of one outing may differ: hours are written down to the half or
/// the whole. Common practice, no source.
pub const ROUNDED: i64 = 30;

/// What tells an outing from others of that day, as far as it is known.
#[derive(Clone, Copy, Debug, Default)]
pub struct Telling<'a> {
    /// Every peg that was fished; empty where they are not all known.
    pub pegs: &'a [PegId],
    pub minutes: Option<Minutes>,
}

/// Likest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sameness {
    /// Both peg and hours are known of both, and agree.
    Same,
    /// Nothing tells them apart, and not enough is known to call them one.
    Unclear,
    OtherPeg,
    OtherHours,
}

impl Telling<'_> {
    pub fn compared(&self, other: &Telling<'_>) -> Sameness {
        let both = !self.pegs.is_empty() && !other.pegs.is_empty();
        let peg = both.then(|| self.pegs.iter().any(|peg| other.pegs.contains(peg)));
        let hours = self.minutes.zip(other.minutes);
        let hours = hours.map(|(one, other)| (one.0 - other.0).abs() <= ROUNDED);
        match (peg, hours) {
            (Some(false), _) => Sameness::OtherPeg,
            (_, Some(false)) => Sameness::OtherHours,
            (Some(true), Some(true)) => Sameness::Same,
            _ => Sameness::Unclear,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn telling(pegs: &[PegId], minutes: Option<i64>) -> Telling<'_> {
        Telling {
            pegs,
            minutes: minutes.map(Minutes),
        }
    }

    #[test]
    fn another_peg_or_other_hours_tell_of_another_outing() {
        let (seven, eight, moved) = ([PegId(7)], [PegId(8)], [PegId(9), PegId(7)]);
        let known = telling(&seven, Some(240));
        let beside = |pegs: &[PegId], minutes| telling(pegs, minutes).compared(&known);
        assert_eq!(beside(&seven, Some(270)), Sameness::Same, "rounded");
        assert_eq!(beside(&seven, Some(271)), Sameness::OtherHours);
        assert_eq!(beside(&eight, Some(240)), Sameness::OtherPeg);
        assert_eq!(beside(&eight, None), Sameness::OtherPeg);
        assert_eq!(beside(&seven, None), Sameness::Unclear);
        assert_eq!(beside(&[], Some(240)), Sameness::Unclear);
        assert_eq!(beside(&[], None), Sameness::Unclear);
        assert_eq!(beside(&moved, Some(240)), Sameness::Same, "moved that day");
    }
}
