//! What each peg of a water gives beside the others of the same matches.
//!
//! Worked out once with the study of the water's matches, so that every page says the same of a
//! peg. Only drawn pegs can tell peg from angler; an angler who moved counts for the match and
//! for no peg. Who did not weigh stands as nothing caught.

use std::collections::BTreeMap;

use super::{
    fished_days::{CatchUnit, FishedSession},
    peg_effect::{DrawnMatch, PegEffect, peg_effect},
};
use crate::domain::ids::{MatchId, PegId};

/// How the figures are worked out, for the page.
pub const FORMULA: &str = "(sum of ρ + 4) ÷ (n + 4), ρ being the catch a rod-hour from the peg over the mean of all who fished its match, \
    n the drawn matches in which anything was caught. Interval, from five matches: mean ρ × e^(±t·s ÷ (mean ρ × √n)), \
    s the standard deviation of ρ, t Student’s at n − 1 degrees, 95 %, shrunk alike. \
    Where most who fish a match catch nothing it is too narrow: more pegs stand clear by luck than one in twenty.";
/// Where the method is published.
pub const SOURCE: &str = "Hedges, Gurevitch & Curtis (1999), Ecology 80, for the interval; the four matches’ worth of “like any \
    other peg” is our own choice. The angler is not adjusted for";

/// The effect of every peg that was drawn at least once and fished throughout.
///
/// `sessions` are those of one series of matches and one set of groups, catches counted in
/// `unit`. One without hours, or whose catch is not known in the unit, is left out.
pub fn of_every_peg(unit: CatchUnit, sessions: &[FishedSession]) -> BTreeMap<PegId, PegEffect> {
    drawn_matches(unit, sessions)
        .into_iter()
        .map(|(peg, matches)| (peg, peg_effect(&matches)))
        .collect()
}

/// By peg, its drawn matches: the rate from the peg, and the mean rate of all who fished.
fn drawn_matches(unit: CatchUnit, sessions: &[FishedSession]) -> BTreeMap<PegId, Vec<DrawnMatch>> {
    let rate = |session: &FishedSession| {
        let hours = session.rod_hours.filter(|hours| *hours > 0.0)?;
        Some(unit.catch(session)? / hours)
    };
    let mut sums = BTreeMap::<MatchId, (f64, f64)>::new();
    for session in sessions {
        if let (Some(match_id), Some(rate)) = (session.match_id, rate(session)) {
            let (sum, anglers) = sums.entry(match_id).or_default();
            *sum += rate;
            *anglers += 1.0;
        }
    }
    let mut pegs = BTreeMap::<PegId, Vec<DrawnMatch>>::new();
    for session in sessions {
        let Some((peg, match_id)) = session.drawn_peg.zip(session.match_id) else {
            continue;
        };
        if let (Some(rate), Some((sum, anglers))) = (rate(session), sums.get(&match_id)) {
            let mean_rate = sum / anglers;
            pegs.entry(peg)
                .or_default()
                .push(DrawnMatch { rate, mean_rate });
        }
    }
    pegs
}
