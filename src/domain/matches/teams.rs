//! What the teams of a match weighed together: the counted weights of their members, added. Ties
//! are exact and shared as in [`super::results`]. A team nobody of which weighed in has no place.
//! Adding weights is one of several ways to rank teams; common practice, no source.

use std::collections::BTreeMap;

use super::{Figures, Outcome, Place, results::places};
use crate::domain::units::{Total, Weight};

/// One team in the order of the result.
#[derive(Clone, Debug, PartialEq)]
pub struct TeamStanding {
    pub team: String,
    /// `None` when nobody of it weighed in.
    pub place: Option<Place>,
    /// Of how many members each outcome is, those of none left out, in the order of a result.
    pub outcomes: BTreeMap<Outcome, usize>,
    pub counted: Weight,
}

impl TeamStanding {
    pub fn entered(&self) -> usize {
        self.outcomes.values().sum()
    }
}

/// Every team named in `figures`, the heaviest first, teams level with each other by name.
pub fn team_standings(figures: &Figures) -> Vec<TeamStanding> {
    let mut teams: BTreeMap<&str, (Total, BTreeMap<Outcome, usize>)> = BTreeMap::new();
    for line in &figures.lines {
        let Some(team) = line.team.as_deref() else {
            continue;
        };
        let (total, outcomes) = teams.entry(team).or_default();
        *outcomes.entry(line.outcome).or_default() += 1;
        if line.outcome == Outcome::Fished {
            total.add(line.counted);
        }
    }
    let ranked: Vec<(usize, i64)> = teams
        .values()
        .enumerate()
        .filter(|(_, (_, outcomes))| outcomes.contains_key(&Outcome::Fished))
        .map(|(at, (total, _))| (at, total.steps(figures.ranking)))
        .collect();
    let places = places(&ranked);
    let mut standings: Vec<TeamStanding> = teams
        .into_iter()
        .enumerate()
        .map(|(at, (team, (total, outcomes)))| TeamStanding {
            team: team.to_owned(),
            place: places.get(&at).copied(),
            outcomes,
            counted: total.to(figures.ranking),
        })
        .collect();
    standings.sort_by_key(|team| team.place.map_or(u32::MAX, |place| place.number));
    standings
}
