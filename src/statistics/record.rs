//! What the record shows: how a water or a peg fishes, by series and by set of groups (S1).
//!
//! Matches and reports are never added up together, nor are sets of groups. A figure made of
//! reports needs three anglers behind it; without them it is withheld, and that is said.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::{
    fished_days::{ANGLERS_BEHIND_REPORTS, Series},
    rates::{Answer, CatchRow, Measure, Rate},
};
use crate::domain::{
    dates::Day,
    groups::GroupSet,
    ids::{AnglerId, SessionId},
    units::Scale,
};

/// A session's catch of one set, with what decides where it may be counted.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct RecordRow {
    pub series: Series,
    pub groups: GroupSet,
    pub angler: AnglerId,
    pub caught: CatchRow,
}

/// A session's catch of one set at a water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtWater {
    pub session: SessionId,
    pub row: RecordRow,
}

/// How much has been fished at a water, by what enters its figures.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct OnRecord {
    pub match_days: usize,
    pub sessions: usize,
    pub first: Option<Day>,
    pub latest: Option<Day>,
}

/// Told from the rows of the figures: the record of a water is read once for both. Of reports,
/// shown to members alone, nothing is told with fewer than three anglers behind them.
pub fn on_record(rows: &[AtWater], to_a_member: bool) -> OnRecord {
    let of = |series: Series| rows.iter().filter(move |one| one.row.series == series);
    let reporting: BTreeSet<AnglerId> = of(Series::Report).map(|one| one.row.angler).collect();
    let reports = to_a_member && reporting.len() >= ANGLERS_BEHIND_REPORTS;
    let told = || {
        let shown = move |one: &&AtWater| reports || one.row.series == Series::Match;
        rows.iter().filter(shown)
    };
    let days = || told().map(|one| one.row.caught.day);
    let match_days: BTreeSet<Day> = of(Series::Match).map(|one| one.row.caught.day).collect();
    let sessions: BTreeSet<SessionId> = told().map(|one| one.session).collect();
    OnRecord {
        match_days: match_days.len(),
        sessions: sessions.len(),
        first: days().min(),
        latest: days().max(),
    }
}

/// One figure, or why there is none.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Figure {
    Told(Rate),
    /// Nobody wrote this measure down beside the hours.
    NotKnown,
    /// Reports of fewer than three anglers, or of few days that would be shown one by one, with
    /// fewer than three anglers on one of them.
    TooFewAnglers,
}

/// How one set of groups fishes in one series.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SetFigures {
    pub groups: GroupSet,
    pub weight: Figure,
    pub number: Figure,
}

/// The sets of one series, the widest first.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SeriesFigures {
    pub series: Series,
    pub sets: Vec<SetFigures>,
}

/// The figures of each series that has any session, matches first; weights as `scale` shows them.
pub fn figures(rows: &[RecordRow], scale: Scale) -> Vec<SeriesFigures> {
    let mut cells = BTreeMap::<(Series, GroupSet), Vec<&RecordRow>>::new();
    for row in rows {
        cells.entry((row.series, row.groups)).or_default().push(row);
    }
    Series::ALL
        .into_iter()
        .filter_map(|series| {
            let mut sets: Vec<_> = cells
                .iter()
                .filter(|((of, _), _)| *of == series)
                .map(|((_, groups), rows)| set_figures(series, *groups, rows, scale))
                .collect();
            sets.sort_by_key(|set| (std::cmp::Reverse(set.groups.groups().count()), set.groups));
            (!sets.is_empty()).then_some(SeriesFigures { series, sets })
        })
        .collect()
}

fn set_figures(series: Series, groups: GroupSet, rows: &[&RecordRow], scale: Scale) -> SetFigures {
    let caught: Vec<CatchRow> = rows.iter().map(|row| row.caught).collect();
    let figure = |measure| {
        let rate = Rate::of(measure, &caught);
        if matches!(rate.answer, Answer::Nothing) {
            return Figure::NotKnown;
        }
        let anglers: BTreeSet<AnglerId> = rows
            .iter()
            .filter(|row| counts(measure, &row.caught))
            .map(|row| row.angler)
            .collect();
        let days_are_listed = matches!(rate.answer, Answer::FewDays { .. });
        let too_few = anglers.len() < ANGLERS_BEHIND_REPORTS
            || (days_are_listed && fewest_anglers_a_day(measure, rows) < ANGLERS_BEHIND_REPORTS);
        if series == Series::Report && too_few {
            return Figure::TooFewAnglers;
        }
        Figure::Told(rate)
    };
    SetFigures {
        groups,
        weight: figure(Measure::Weight(scale)),
        number: figure(Measure::Fish),
    }
}

/// The anglers behind the day that has the fewest of them: under six days each is shown by itself.
fn fewest_anglers_a_day(measure: Measure, rows: &[&RecordRow]) -> usize {
    let mut by_day = BTreeMap::<_, BTreeSet<AnglerId>>::new();
    for row in rows.iter().filter(|row| counts(measure, &row.caught)) {
        by_day.entry(row.caught.day).or_default().insert(row.angler);
    }
    by_day.values().map(BTreeSet::len).min().unwrap_or(0)
}

/// Whether the row enters a figure of this measure.
fn counts(measure: Measure, row: &CatchRow) -> bool {
    let known = match measure {
        Measure::Fish => row.fish.is_some(),
        Measure::Weight(_) => row.weight_g.is_some() || row.did_not_weigh,
    };
    known && row.rod_hours.is_some_and(|hours| hours > 0.0)
}

impl SeriesFigures {
    /// The figure to show where there is room for one: weight of the widest set that has it.
    pub fn main(&self) -> Option<(GroupSet, &Rate)> {
        self.sets.iter().find_map(|set| match &set.weight {
            Figure::Told(rate) => Some((set.groups, rate)),
            _ => None,
        })
    }
}
