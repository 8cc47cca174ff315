//! What kind of match is asked about: as typed, else like the next one here, else like the latest.

use serde::Deserialize;

use crate::{
    domain::{
        groups::GroupSet,
        units::{read_count, read_hours},
    },
    statistics::what_it_took::{Asked, LATEST},
    store::statistics::entries::{Coming, MatchHead},
    web::forms::Problems,
};

/// The most anglers a field may be given as.
const MOST_ANGLERS: i64 = 1_000;

/// What the address asks for, as typed.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Typed {
    pub groups: Option<String>,
    pub hours: Option<String>,
    pub field: Option<String>,
    pub sort: String,
    pub order: String,
}

/// Why these values stand in the form.
pub enum Offered {
    Typed,
    ForComing(Coming),
    ForLatest,
    Nothing,
}

/// The latest ten matches that the question is about.
pub fn like<'a>(asked: &Asked, heads: &'a [MatchHead]) -> Vec<&'a MatchHead> {
    let fits = |head: &&MatchHead| {
        let anglers = usize::try_from(head.anglers).unwrap_or(0);
        head.groups == asked.groups && asked.resembles(head.hours(), anglers)
    };
    heads.iter().filter(fits).take(LATEST).collect()
}

/// The values of the form as text.
pub struct Values {
    pub groups: String,
    pub hours: String,
    pub field: String,
}

/// What was typed; else the next match here, else the latest.
pub fn offer(typed: &Typed, coming: Option<Coming>, heads: &[MatchHead]) -> (Offered, Values) {
    let values = |groups: Option<GroupSet>, hours: Option<f64>, field: i64| Values {
        groups: groups.map(|g| g.bits().to_string()).unwrap_or_default(),
        hours: hours.map(hours_text).unwrap_or_else(|| "5".to_owned()),
        field: field.max(1).to_string(),
    };
    if typed.groups.is_some() || typed.hours.is_some() || typed.field.is_some() {
        let text = |text: &Option<String>| text.clone().unwrap_or_default();
        let values = Values {
            groups: text(&typed.groups),
            hours: text(&typed.hours),
            field: text(&typed.field),
        };
        return (Offered::Typed, values);
    }
    let latest = heads.iter().find(|head| head.hours().is_some());
    match (coming, latest.or(heads.first())) {
        (Some(coming), latest) => {
            let entered = match coming.entered {
                0 => latest.map_or(20, |head| head.anglers),
                some => some,
            };
            let values = values(coming.groups, coming.hours(), entered);
            (Offered::ForComing(coming), values)
        }
        (None, Some(head)) => (
            Offered::ForLatest,
            values(Some(head.groups), head.hours(), head.anglers),
        ),
        (None, None) => (Offered::Nothing, values(None, None, 20)),
    }
}

fn hours_text(hours: f64) -> String {
    format!("{hours:.1}").trim_end_matches(".0").to_owned()
}

pub fn read(values: &Values, heads: &[MatchHead], problems: &mut Problems) -> Option<Asked> {
    let groups = values
        .groups
        .trim()
        .parse()
        .ok()
        .and_then(GroupSet::from_bits);
    if groups.is_none() && !heads.is_empty() {
        problems.add("groups", "Choose which groups of fish count.");
    }
    let hours = problems.take("hours", read_hours(&values.hours, 24));
    let field = problems.take(
        "field",
        read_count(&values.field, "anglers", 1, MOST_ANGLERS),
    );
    Some(Asked {
        groups: groups?,
        hours: hours?.hours(),
        field: usize::try_from(field?).ok()?,
    })
}

/// The sets of groups that matches here have counted.
pub fn choices(heads: &[MatchHead], offered: &Offered) -> Vec<(i64, String)> {
    let mut sets: Vec<GroupSet> = heads.iter().map(|head| head.groups).collect();
    if let Offered::ForComing(coming) = offered {
        sets.extend(coming.groups);
    }
    sets.sort_by_key(|set| (std::cmp::Reverse(set.groups().count()), *set));
    sets.dedup();
    sets.into_iter()
        .map(|set| (set.bits(), set.to_string()))
        .collect()
}
