//! What kind of match is asked about: as typed, else like the next one here, else like the latest.

use serde::Deserialize;

use crate::{
    domain::{
        groups::GroupSet,
        units::{read_count, read_hours},
    },
    statistics::{
        expected_field::ExpectedField,
        what_it_took::{Asked, LATEST},
    },
    store::statistics::entries::{Coming, MatchHead},
    web::forms::Problems,
};

/// The most anglers a field may be given as.
const MOST_ANGLERS: i64 = 1_000;
/// Anglers asked about where nothing at the water says how many fish.
const USUAL_FIELD: usize = 20;

/// What the address asks for, as typed.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Typed {
    pub groups: Option<String>,
    pub hours: Option<String>,
    pub field: Option<String>,
    /// The match to come that the question is for.
    #[serde(rename = "match")]
    pub for_match: Option<String>,
    pub sort: String,
    pub order: String,
    /// The unit of weights; the reader's own when absent.
    pub weights: String,
}

/// Why these values stand in the form.
pub enum Offered {
    Typed,
    /// A match to come, and how many are taken to fish it.
    ForComing(Coming, Option<ExpectedField>),
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

/// The question again for the field nearest in size of any match otherwise like it.
pub fn nearest(asked: &Asked, heads: &[MatchHead]) -> Option<Asked> {
    let fields = heads.iter().filter_map(|head| {
        let field = usize::try_from(head.anglers).ok()?;
        let same = Asked { field, ..*asked };
        let like = head.groups == asked.groups && same.resembles(head.hours(), field);
        like.then_some(same)
    });
    fields.min_by_key(|one| one.field.abs_diff(asked.field))
}

/// The address asks for a match that is none of those to come.
pub fn is_unknown(typed: &Typed, coming: &[Coming]) -> bool {
    let wanted = typed.for_match.as_deref().filter(|id| !id.is_empty());
    wanted.is_some_and(|id| coming.iter().all(|one| one.id.to_string() != id))
}

/// Of the matches to come the one that the address names, else the next.
pub fn wanted(typed: &Typed, coming: Vec<Coming>) -> Option<Coming> {
    let named = |one: &Coming| typed.for_match.as_deref() == Some(one.id.to_string().as_str());
    let place = coming.iter().position(named).unwrap_or(0);
    coming.into_iter().nth(place)
}

/// How many are taken to fish a match to come.
fn expected(coming: &Coming, heads: &[MatchHead]) -> Option<ExpectedField> {
    let number = |count: i64| usize::try_from(count).unwrap_or(0);
    let past: Vec<_> = heads
        .iter()
        .map(|head| (head.name.as_str(), number(head.anglers)))
        .collect();
    ExpectedField::of(&coming.name, number(coming.entered), &past)
}

/// The values of the form as text.
pub struct Values {
    pub groups: String,
    pub hours: String,
    pub field: String,
}

/// What was typed; else the next match here, else the latest.
pub fn offer(typed: &Typed, coming: Option<Coming>, heads: &[MatchHead]) -> (Offered, Values) {
    let values = |groups: Option<GroupSet>, hours: Option<f64>, field: usize| Values {
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
        (Some(coming), _) => {
            let expected = expected(&coming, heads);
            let field = expected.map_or(USUAL_FIELD, |expected| expected.anglers);
            let values = values(coming.groups, coming.hours(), field);
            (Offered::ForComing(coming, expected), values)
        }
        (None, Some(head)) => (
            Offered::ForLatest,
            values(
                Some(head.groups),
                head.hours(),
                usize::try_from(head.anglers).unwrap_or(USUAL_FIELD),
            ),
        ),
        (None, None) => (Offered::Nothing, values(None, None, USUAL_FIELD)),
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
    if let Offered::ForComing(coming, _) = offered {
        sets.extend(coming.groups);
    }
    sets.sort_by_key(|set| (std::cmp::Reverse(set.groups().count()), *set));
    sets.dedup();
    sets.into_iter()
        .map(|set| (set.bits(), set.to_string()))
        .collect()
}
