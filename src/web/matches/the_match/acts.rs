//! What can be done with a match, the next thing to do first.

use super::MatchPage;
use crate::domain::matches::MatchState;

/// The page of the match, its words.
type Act = (&'static str, &'static str);

const RESULT: Act = ("/result", "The result");
const ENTRIES: Act = ("/entries", "Add anglers");
const PEGS: Act = ("/pegs", "Pegs drawn");
const WEIGHTS: Act = ("/weights", "Enter weights");
const PUBLICATION: Act = ("/publication", "Look over and publish");
const EDIT: Act = ("/edit", "Change this match");

impl MatchPage {
    /// Page, words and class of each thing the reader can do; one alone is marked as the next.
    pub(super) fn acts(&self) -> Vec<(&'static str, &'static str, &'static str)> {
        let mut acts = Vec::new();
        if self.the_match.state.is_posted() {
            acts.push(RESULT);
        }
        if self.frame.is_officer() {
            if !self.is_off() {
                acts.extend([ENTRIES, PEGS, WEIGHTS, PUBLICATION]);
            }
            acts.push(EDIT);
        }
        let next = self.next();
        acts.sort_by_key(|act| Some(*act) != next);
        acts.into_iter()
            .map(|act| {
                let class = if Some(act) == next { "do" } else { "may" };
                (act.0, act.1, class)
            })
            .collect()
    }

    /// What comes next; of a match called off nothing does.
    fn next(&self) -> Option<Act> {
        let the_match = &self.the_match;
        let pegs_wait = the_match.pegs_allotted.is_drawn() && !self.drawn();
        let all_told = self.rows.iter().all(|row| !row.outcome.is_empty());
        Some(match the_match.state {
            MatchState::Abandoned => return None,
            MatchState::Published if self.unposted => PUBLICATION,
            MatchState::Published | MatchState::Final => RESULT,
            _ if self.rows.is_empty() => ENTRIES,
            _ if all_told => PUBLICATION,
            _ if pegs_wait && !self.told() => PEGS,
            _ if the_match.on <= self.today => WEIGHTS,
            _ if the_match.pegs_allotted.is_drawn() => PEGS,
            _ => ENTRIES,
        })
    }
}
