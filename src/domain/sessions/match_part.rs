//! Whether a report can be the angler's own part of a match's entry: a match's hours and peg are
//! the match's, and no report rewrites them.

use super::Report;
use crate::domain::{
    dates::{Instant, Zone},
    ids::PegId,
};

/// Seconds by which a report may begin before the match or end after it: setting up and packing
/// away are often counted in. Common practice, no source.
pub const GRACE: i64 = 30 * 60;

/// What a match says of one of its entries, as far as it is known.
#[derive(Clone, Copy, Debug, Default)]
pub struct Part {
    pub start: Option<Instant>,
    pub finish: Option<Instant>,
    /// The peg that was drawn.
    pub peg: Option<PegId>,
}

/// In what a report contradicts a match.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Against {
    /// It begins before the match did, or after it was over.
    Start,
    /// It ends after the match did.
    End,
    /// It names pegs, and the drawn one is not among them.
    Peg,
}

impl Part {
    /// When the match was, `ran from 10:00 to 15:00`.
    pub fn hours_words(&self, zone: &Zone) -> String {
        match (self.start, self.finish) {
            (Some(start), Some(finish)) => {
                format!("ran from {} to {}", start.clock(zone), finish.clock(zone))
            }
            (Some(start), None) => format!("began at {}", start.clock(zone)),
            (None, Some(finish)) => format!("was over at {}", finish.clock(zone)),
            (None, None) => "was that day".to_owned(),
        }
    }

    fn holds(&self, at: Instant) -> bool {
        self.start
            .is_none_or(|start| at >= start.plus_seconds(-GRACE))
            && self
                .finish
                .is_none_or(|finish| at <= finish.plus_seconds(GRACE))
    }
}

impl Report {
    /// Does it agree with the match's entry? Each hour it knows lies within the match, with half
    /// an hour's grace at each end; and it names no peg, or the drawn one among its pegs.
    pub fn agrees(&self, part: &Part) -> bool {
        self.against(part).is_empty()
    }

    /// Everything in which it does not agree; of its hours the first only, as one sentence tells
    /// the hours of the match.
    pub fn against(&self, part: &Part) -> Vec<Against> {
        let within = |at: Option<Instant>| at.is_none_or(|at| part.holds(at));
        let mut all = Vec::new();
        if !within(self.start) || self.spells.iter().any(|spell| !within(spell.from)) {
            all.push(Against::Start);
        } else if !within(self.end) || self.spells.iter().any(|spell| !within(spell.to)) {
            all.push(Against::End);
        }
        let mut named = self.spells.iter().filter_map(|spell| spell.peg).peekable();
        if let Some(drawn) = part.peg
            && named.peek().is_some()
            && !named.any(|peg| peg == drawn)
        {
            all.push(Against::Peg);
        }
        all
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::{
        dates::Day,
        ids::VenueId,
        sessions::{Spell, Visibility},
    };

    fn report(hours: Option<(i64, i64)>, pegs: &[i64]) -> Report {
        let spells = pegs
            .iter()
            .map(|peg| Spell::uncovered(Some(PegId(*peg)), 60.0));
        Report {
            venue: VenueId(1),
            day: Day::new(2026, 11, 13).expect("a real day"),
            start: hours.map(|h| Instant(h.0 * 60)),
            end: hours.map(|h| Instant(h.1 * 60)),
            spells: spells.collect(),
            caught: Vec::new(),
            named: Vec::new(),
            tallies: Vec::new(),
            remarks: None,
            visibility: Visibility::Club,
        }
    }

    #[test]
    fn hours_outside_the_match_by_more_than_half_an_hour_contradict_it() {
        let part = Part {
            start: Some(Instant(600 * 60)),
            finish: Some(Instant(900 * 60)),
            peg: Some(PegId(13)),
        };
        let against = |hours, pegs: &[i64]| report(hours, pegs).against(&part);
        assert_eq!(against(Some((570, 930)), &[]), []);
        assert_eq!(against(Some((569, 900)), &[]), [Against::Start]);
        assert_eq!(against(Some((600, 931)), &[]), [Against::End]);
        assert_eq!(against(None, &[13]), []);
        assert_eq!(against(None, &[14]), [Against::Peg]);
        assert_eq!(against(None, &[14, 13]), [], "moved on the day");
        let both = [Against::Start, Against::Peg];
        assert_eq!(against(Some((569, 931)), &[14]), both);
        let nothing_known = Part::default();
        assert!(report(Some((0, 1)), &[14]).agrees(&nothing_known));
    }
}
