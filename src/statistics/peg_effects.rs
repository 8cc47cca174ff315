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
    Where most who fish a match catch nothing it is too narrow, so a peg is called clear of chance only where the draw would not give as \
    much either: each match’s ρ are dealt out anew among its drawn pegs 1,999 times, and the sum of ρ must be so high, or so low, in at \
    most one deal in forty. Even so, of many even pegs up to about one in twenty may look so by chance.";
/// Where the method is published.
pub const SOURCE: &str = "Hedges, Gurevitch & Curtis (1999), Ecology 80, for the interval; Phipson & Smyth (2010), Statistical \
    Applications in Genetics and Molecular Biology 9:39, for the deals; the four matches’ worth of “like any other peg” is our own choice. The angler is not adjusted for";

/// The effect of every peg that was drawn at least once and fished throughout.
///
/// `sessions` are those of one series of matches and one set of groups, catches counted in
/// `unit`. One without hours, or whose catch is not known in the unit, is left out.
pub fn of_every_peg(unit: CatchUnit, sessions: &[FishedSession]) -> BTreeMap<PegId, PegEffect> {
    let rate = |session: &FishedSession| {
        let hours = session.rod_hours.filter(|hours| *hours > 0.0)?;
        Some(unit.catch(session)? / hours)
    };
    let mut rates = BTreeMap::<MatchId, Rates>::new();
    for session in sessions {
        if let (Some(match_id), Some(rate)) = (session.match_id, rate(session)) {
            let of_match = rates.entry(match_id).or_default();
            of_match.sum += rate;
            of_match.anglers += 1.0;
            if session.drawn_peg.is_some() {
                of_match.drawn.push(rate);
            }
        }
    }
    let mut pegs = BTreeMap::<PegId, Vec<DrawnMatch<'_>>>::new();
    for session in sessions {
        let Some((peg, match_id)) = session.drawn_peg.zip(session.match_id) else {
            continue;
        };
        if let (Some(rate), Some(of_match)) = (rate(session), rates.get(&match_id)) {
            pegs.entry(peg).or_default().push(DrawnMatch {
                rate,
                mean_rate: of_match.sum / of_match.anglers,
                drawn_rates: &of_match.drawn,
            });
        }
    }
    pegs.into_iter()
        .map(|(peg, matches)| (peg, peg_effect(&matches)))
        .collect()
}

/// The catches a rod-hour of one match.
#[derive(Default)]
struct Rates {
    /// Of all who fished, with or without a peg to their name.
    sum: f64,
    anglers: f64,
    /// Of those who fished a drawn peg throughout.
    drawn: Vec<f64>,
}
