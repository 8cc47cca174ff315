//! What can be asked before a match: what to expect of its day, once that is near enough, and
//! what it took in matches like it.

use crate::{
    domain::{dates::Day, matches::MatchState},
    store::matches::Match,
    web::links::escaped,
};

/// Days that the page of what to expect looks ahead.
const LOOKS_AHEAD: i64 = 1;

pub struct Ahead {
    /// Where to ask what to expect on the day, once it can be asked.
    pub expect: Option<String>,
    /// The day from which it can, where that is still to come.
    pub from: Option<String>,
    /// Where to ask what it took.
    pub took: String,
}

impl Ahead {
    /// `None` unless the match is planned and its day not gone by. `peg`: the reader's own.
    pub fn of(the_match: &Match, today: Day, peg: Option<&str>) -> Option<Self> {
        let (venue, on) = (the_match.venue, the_match.on);
        if the_match.state != MatchState::Planned || on < today {
            return None;
        }
        let peg = peg.map(|number| format!("&peg={}", escaped(number)));
        let expect = format!(
            "/venues/{venue}/like-days?date={on}{}",
            peg.unwrap_or_default()
        );
        let first = on.plus(-LOOKS_AHEAD);
        Some(Self {
            expect: (first <= today).then_some(expect),
            from: (first > today).then(|| first.long()),
            took: format!("/venues/{venue}/what-it-took?match={}", the_match.id),
        })
    }
}
