//! Sessions, rod-hours, fish and weight by method: plain counts. Which method does better,
//! fairly, is not asked here.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::domain::{
    dates::Day,
    ids::{MethodId, SessionId},
};

/// Said wherever these counts are shown.
pub const NOT_COMPARED: &str = "Counts beside the effort behind them. Methods are not compared: good anglers choose \
    differently, and people leave a method that is not working.";

/// How the counts of a method are made, for the page.
pub const FORMULA: &str = "Sessions, days and rod-hours: all time on the method. Fish and weight: whole catches of sessions that \
    kept to it, and what spells say of those that changed, each beside the rod-hours it was caught in. Only methods with three anglers \
    behind them, of sessions shared with the club.";
/// No method was published for a plain count.
pub const SOURCE: &str = "Plain counts: common practice, no source";

/// One spell, with what is known to have been caught in it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct MethodSpell {
    pub session: SessionId,
    pub day: Day,
    /// Absent for time whose method nobody wrote down.
    pub method: Option<MethodId>,
    pub rod_hours: Option<f64>,
    pub fish: Option<i64>,
    /// Grams.
    pub weight_g: Option<f64>,
}

/// The catch of a whole session, to be given to its method when it used one throughout.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct SessionCatch {
    pub session: SessionId,
    pub fish: Option<i64>,
    /// Grams.
    pub weight_g: Option<f64>,
}

/// A sum and the effort of those it was summed over: never more, never less.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Counted {
    /// Fish, or grams.
    pub total: f64,
    pub sessions: usize,
    pub rod_hours: f64,
}

impl Counted {
    /// Per rod-hour; `None` without effort.
    pub fn rate(&self) -> Option<f64> {
        (self.rod_hours > 0.0).then(|| self.total / self.rod_hours)
    }
}

/// The counts of one method.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct MethodCounts {
    pub method: Option<MethodId>,
    pub sessions: usize,
    pub days: usize,
    /// All its time.
    pub rod_hours: f64,
    /// Sessions whose hours on it are not known.
    pub without_hours: usize,
    /// Fish, with the effort of the sessions that tell how many were its.
    pub fish: Counted,
    /// Grams, with the effort of the sessions that tell how much was its.
    pub weight: Counted,
}

/// What one session did on one method.
#[derive(Default)]
struct Stint {
    day: Option<Day>,
    /// Known only while every spell's is.
    rod_hours: Option<f64>,
    fish: Option<i64>,
    weight_g: Option<f64>,
    spells: usize,
}

impl Stint {
    fn add(&mut self, spell: &MethodSpell) {
        let first = self.spells == 0;
        self.spells += 1;
        self.day = Some(spell.day);
        self.rod_hours = plus(first, self.rod_hours, spell.rod_hours);
        self.fish = plus(first, self.fish, spell.fish);
        self.weight_g = plus(first, self.weight_g, spell.weight_g);
    }
}

/// A sum that is known only while every part is.
fn plus<T: std::ops::Add<Output = T>>(
    first: bool,
    so_far: Option<T>,
    more: Option<T>,
) -> Option<T> {
    if first { more } else { Some(so_far? + more?) }
}

/// Counts by method, most rod-hours first, time of unknown method last.
///
/// A session that used one method throughout gives it its whole catch; one that changed gives
/// each only what its spells say, and a session whose spells do not say stays out of the fish,
/// and out of the effort beside them.
pub fn by_method(spells: &[MethodSpell], catches: &[SessionCatch]) -> Vec<MethodCounts> {
    let mut stints = BTreeMap::<(Option<MethodId>, SessionId), Stint>::new();
    let mut used = BTreeMap::<SessionId, BTreeSet<Option<MethodId>>>::new();
    for spell in spells {
        stints
            .entry((spell.method, spell.session))
            .or_default()
            .add(spell);
        used.entry(spell.session).or_default().insert(spell.method);
    }
    let whole: BTreeMap<_, _> = catches.iter().map(|one| (one.session, one)).collect();

    let mut counts = BTreeMap::<Option<MethodId>, (MethodCounts, BTreeSet<Day>)>::new();
    for ((method, session), mut stint) in stints {
        let throughout = used.get(&session).is_some_and(|methods| methods.len() == 1);
        if let Some(all) = whole.get(&session).filter(|_| throughout) {
            stint.fish = all.fish;
            stint.weight_g = all.weight_g;
        }
        let (count, days) = counts.entry(method).or_default();
        count.method = method;
        days.extend(stint.day);
        count.add(&stint);
    }
    let mut counts: Vec<_> = counts
        .into_values()
        .map(|(count, days)| MethodCounts {
            days: days.len(),
            ..count
        })
        .collect();
    counts.sort_by(|one, other| {
        let unknown_last = one.method.is_none().cmp(&other.method.is_none());
        unknown_last.then(other.rod_hours.total_cmp(&one.rod_hours))
    });
    counts
}

impl MethodCounts {
    fn add(&mut self, stint: &Stint) {
        self.sessions += 1;
        let Some(rod_hours) = stint.rod_hours else {
            self.without_hours += 1;
            return;
        };
        self.rod_hours += rod_hours;
        for (counted, total) in [
            (&mut self.fish, stint.fish.map(|fish| fish as f64)),
            (&mut self.weight, stint.weight_g),
        ] {
            if let Some(total) = total {
                counted.total += total;
                counted.sessions += 1;
                counted.rod_hours += rod_hours;
            }
        }
    }
}
