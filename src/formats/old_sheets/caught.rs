//! What a row says was caught, and what became of the angler: the two may not contradict each
//! other.

use super::Net;
use crate::domain::groups::GroupSet;
use crate::domain::matches::Outcome;

/// What became of the angler, and what was caught.
pub(super) struct Caught {
    pub outcome: Outcome,
    pub nets: Vec<Net>,
    pub counts: Vec<(GroupSet, i64)>,
}

impl Default for Caught {
    fn default() -> Self {
        Self {
            outcome: Outcome::Blank,
            nets: Vec::new(),
            counts: Vec::new(),
        }
    }
}

impl Caught {
    /// Number and weight of one set may not contradict each other.
    pub fn agree(&self) -> Result<(), String> {
        for (groups, n) in &self.counts {
            let nets = self.nets.iter().filter(|net| net.groups == *groups);
            let some = nets.clone().any(|net| !net.weight.is_nothing());
            match (*n, some) {
                (0, true) => return Err("The row has a weight and no fish. Mend one of the two, or leave the number empty.".to_owned()),
                (1.., false) if nets.count() > 0 => return Err(format!("The row has {n} fish that weighed nothing. Mend one of the two, or leave the weight empty if it is not known.")),
                _ => {}
            }
        }
        Ok(())
    }

    fn nothing_weighed(&self) -> bool {
        self.nets.iter().all(|net| net.weight.is_nothing())
    }

    /// An empty row of weights is not a blank: it is asked.
    pub fn in_a_match(mut self, said: Option<Outcome>) -> Result<Self, String> {
        let nothing = self.nothing_weighed();
        self.outcome = match said {
            None | Some(Outcome::Fished) if self.nets.is_empty() => {
                return Err(
                    "The row has no weight. Enter one, or write blank, DNW, absent or DSQ."
                        .to_owned(),
                );
            }
            None | Some(Outcome::Fished) if nothing => Outcome::Blank,
            None | Some(Outcome::Fished) => Outcome::Fished,
            Some(Outcome::Disqualified) => Outcome::Disqualified,
            Some(outcome) if nothing => outcome,
            Some(outcome) => {
                return Err(format!(
                    "The row says {outcome} and has a weight. Take out one of the two."
                ));
            }
        };
        if self.outcome == Outcome::Blank && self.counts.iter().any(|(_, n)| *n > 0) {
            return Err("The row says blank and has fish. Take out one of the two.".to_owned());
        }
        if !self.outcome.may_have_weight() {
            self.nets.clear();
        }
        Ok(self)
    }

    pub fn in_a_session(mut self, said: Option<Outcome>) -> Result<Self, String> {
        let counted = self.counts.iter().any(|(_, n)| *n > 0);
        let nothing = self.nothing_weighed() && !counted;
        let silent = self.nets.is_empty() && self.counts.is_empty();
        self.outcome = match said {
            None | Some(Outcome::Fished) if silent => return Err("The row has neither a weight nor a number of fish. Enter one, write blank if nothing was caught, or DNW if it is not known.".to_owned()),
            None | Some(Outcome::Fished) if nothing => Outcome::Blank,
            None | Some(Outcome::Fished) => Outcome::Fished,
            Some(outcome @ (Outcome::Absent | Outcome::Disqualified)) => return Err(format!("A session cannot be {outcome}. Take the row out, or bring the file in as match results.")),
            Some(outcome) if nothing => outcome,
            Some(outcome) => return Err(format!("The row says {outcome} and has a catch. Take out one of the two.")),
        };
        Ok(self)
    }
}
