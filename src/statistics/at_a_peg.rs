//! The hours and the methods of one peg, as plain counts beside their effort, series by series.
//!
//! Both come from what anglers themselves wrote down, in matches too, so three anglers stand
//! behind whatever is shown.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::{
    fished_days::{ANGLERS_BEHIND_REPORTS, Series},
    hours::{Hours, RodSpan, TimedCatch, TimedSession},
    methods::{MethodCounts, MethodSpell, SessionCatch, by_method},
    record::RecordRow,
};
use crate::domain::{
    dates::{Day, Instant},
    ids::{AnglerId, MethodId, SessionId},
};

/// A spell at a peg, of a session whose own part the club may see.
#[derive(Clone, Debug, PartialEq)]
pub struct PegSpell {
    pub session: SessionId,
    pub series: Series,
    pub angler: AnglerId,
    pub day: Day,
    pub method: Option<MethodId>,
    pub rod_hours: Option<f64>,
    pub from: Option<Instant>,
    pub to: Option<Instant>,
    pub rods: i64,
}

/// Fish of a session, at a moment or tallied over a while.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimedFish {
    pub session: SessionId,
    pub from: Instant,
    pub to: Instant,
    pub count: i64,
}

/// The counts of one series.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SeriesCounts {
    pub series: Series,
    /// `None` where fewer than three anglers timed their fish.
    pub hours: Option<Hours>,
    /// Methods with three anglers or more behind them; time of unknown method is left out.
    pub methods: Vec<MethodCounts>,
    /// Methods left out for want of three anglers.
    pub withheld: usize,
}

/// The counts of each series with any session, matches first. `caught` holds every set of the
/// peg's sessions: a session's whole catch is that of its widest set.
pub fn counts(
    spells: &[PegSpell],
    timed: &[TimedFish],
    caught: &[(SessionId, RecordRow)],
) -> Vec<SeriesCounts> {
    let mut widest = BTreeMap::<SessionId, &RecordRow>::new();
    for (session, row) in caught {
        let kept = widest.entry(*session).or_insert(row);
        if row.groups > kept.groups {
            *kept = row;
        }
    }
    Series::ALL
        .into_iter()
        .filter_map(|series| {
            // A session that moved on has no catch of this peg's.
            let own: Vec<&PegSpell> = spells
                .iter()
                .filter(|spell| spell.series == series && widest.contains_key(&spell.session))
                .collect();
            (!own.is_empty()).then(|| of_series(series, &own, timed, &widest))
        })
        .collect()
}

fn of_series(
    series: Series,
    spells: &[&PegSpell],
    timed: &[TimedFish],
    widest: &BTreeMap<SessionId, &RecordRow>,
) -> SeriesCounts {
    let all = method_counts(spells, widest);
    let mut anglers = BTreeMap::<Option<MethodId>, BTreeSet<AnglerId>>::new();
    for spell in spells {
        anglers
            .entry(spell.method)
            .or_default()
            .insert(spell.angler);
    }
    let enough = |method| {
        anglers
            .get(&method)
            .is_some_and(|who| who.len() >= ANGLERS_BEHIND_REPORTS)
    };
    let named: Vec<_> = all.into_iter().filter(|one| one.method.is_some()).collect();
    let of_them = named.len();
    let methods: Vec<_> = named.into_iter().filter(|one| enough(one.method)).collect();
    SeriesCounts {
        series,
        hours: hours(spells, timed, widest),
        withheld: of_them - methods.len(),
        methods,
    }
}

fn method_counts(
    spells: &[&PegSpell],
    widest: &BTreeMap<SessionId, &RecordRow>,
) -> Vec<MethodCounts> {
    let spells: Vec<_> = spells
        .iter()
        .map(|spell| MethodSpell {
            session: spell.session,
            day: spell.day,
            method: spell.method,
            rod_hours: spell.rod_hours,
            fish: None,
            weight_g: None,
        })
        .collect();
    let catches: Vec<_> = widest
        .iter()
        .map(|(session, row)| SessionCatch {
            session: *session,
            fish: row.caught.fish,
            weight_g: row.caught.weight_g,
        })
        .collect();
    by_method(&spells, &catches)
}

/// The hours of the sessions whose rods' times are known.
fn hours(
    spells: &[&PegSpell],
    timed: &[TimedFish],
    widest: &BTreeMap<SessionId, &RecordRow>,
) -> Option<Hours> {
    let mut rods = BTreeMap::<SessionId, Option<Vec<RodSpan>>>::new();
    let mut days = BTreeMap::<SessionId, Day>::new();
    for spell in spells {
        days.insert(spell.session, spell.day);
        let span = spell.from.zip(spell.to).map(|(from, to)| RodSpan {
            from,
            to,
            rods: spell.rods,
        });
        let spans = rods
            .entry(spell.session)
            .or_insert_with(|| Some(Vec::new()));
        *spans = spans.take().zip(span).map(|(mut spans, span)| {
            spans.push(span);
            spans
        });
    }
    let sessions: Vec<(SessionId, TimedSession)> = rods
        .into_iter()
        .filter_map(|(session, rods)| {
            let rods = rods?;
            let catches = timed.iter().filter(|one| one.session == session);
            let one = TimedSession {
                day: *days.get(&session)?,
                start: rods.iter().map(|span| span.from).min()?,
                catches: catches
                    .map(|one| TimedCatch {
                        from: one.from,
                        to: one.to,
                        fish: one.count,
                    })
                    .collect(),
                fish: widest.get(&session).and_then(|row| row.caught.fish),
                rods,
            };
            Some((session, one))
        })
        .collect();
    let anglers: BTreeSet<AnglerId> = sessions
        .iter()
        .filter(|(_, session)| !session.catches.is_empty())
        .filter_map(|(session, _)| widest.get(session).map(|row| row.angler))
        .collect();
    let sessions: Vec<_> = sessions.into_iter().map(|(_, session)| session).collect();
    let counted = Hours::of(&sessions);
    (counted.sessions == 0 || anglers.len() >= ANGLERS_BEHIND_REPORTS).then_some(counted)
}
