//! What a column may hold, and what its heading suggests.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use super::parts::{Whole, is_of_several, names_part};
use super::{Mapping, SheetOf};
use crate::domain::groups::Group;
use crate::domain::names::key;
use crate::formats::csv::Sheet;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Field {
    Date,
    Match,
    Venue,
    Peg,
    Angler,
    Team,
    Section,
    /// May stand in several columns, one a net.
    Weight,
    /// Of the weight to its left, which is in pounds; so are the drams.
    Ounces,
    Drams,
    /// Of the weight to its left, which is in kilograms.
    Grams,
    Outcome,
    /// Compared with the weights, never trusted.
    Place,
    /// When the angler began; of sessions alone.
    Started,
    /// When the angler packed up; of sessions alone.
    PackedUp,
    /// A length of time, or from when to when.
    Hours,
    Method,
    Bait,
    /// May stand in several columns, one a group of fish.
    Count,
    Remarks,
}

impl Field {
    pub const ALL: [Self; 20] = [
        Self::Date,
        Self::Match,
        Self::Venue,
        Self::Peg,
        Self::Angler,
        Self::Team,
        Self::Section,
        Self::Weight,
        Self::Ounces,
        Self::Drams,
        Self::Grams,
        Self::Outcome,
        Self::Place,
        Self::Started,
        Self::PackedUp,
        Self::Hours,
        Self::Method,
        Self::Bait,
        Self::Count,
        Self::Remarks,
    ];

    /// The word in forms and mappings.
    pub fn slug(self) -> &'static str {
        match self {
            Self::Date => "date",
            Self::Match => "match",
            Self::Venue => "venue",
            Self::Peg => "peg",
            Self::Angler => "angler",
            Self::Team => "team",
            Self::Section => "section",
            Self::Weight => "weight",
            Self::Ounces => "ounces",
            Self::Drams => "drams",
            Self::Grams => "grams",
            Self::Outcome => "outcome",
            Self::Place => "place",
            Self::Started => "started",
            Self::PackedUp => "packed-up",
            Self::Hours => "hours",
            Self::Method => "method",
            Self::Bait => "bait",
            Self::Count => "count",
            Self::Remarks => "remarks",
        }
    }

    pub fn from_slug(slug: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|field| field.slug() == slug)
    }

    /// As the mapping page says it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Match => "name of the match",
            Self::Weight => "weight of a net",
            Self::Ounces => "ounces of the weight to its left",
            Self::Drams => "drams of the weight to its left",
            Self::Grams => "grams of the weight to its left",
            Self::Outcome => "blank, did not weigh, absent or disqualified",
            Self::Place => "place (compared, not trusted)",
            Self::Started => "time started",
            Self::PackedUp => "time packed up",
            Self::Hours => "hours fished",
            Self::Count => "number of fish",
            other => other.slug(),
        }
    }

    /// Does a sheet of this kind have such a column?
    pub fn belongs_to(self, of: SheetOf) -> bool {
        match self {
            Self::Match | Self::Team | Self::Section | Self::Place => of == SheetOf::Matches,
            Self::Started | Self::PackedUp => of == SheetOf::Sessions,
            _ => true,
        }
    }

    /// Several columns may hold it.
    pub fn may_repeat(self) -> bool {
        matches!(self, Self::Weight | Self::Count)
    }

    /// Words of headings that mean it. Common practice, no source.
    pub(super) fn headings(self) -> &'static [&'static str] {
        match self {
            Self::Date => &["date", "day", "on", "when"],
            Self::Match => &[
                "match",
                "competition",
                "comp",
                "event",
                "contest",
                "cup",
                "fixture",
                "round",
            ],
            Self::Venue => &[
                "venue", "water", "lake", "fishery", "pool", "river", "canal", "where", "location",
            ],
            Self::Peg => &["peg", "swim"],
            Self::Angler => &["angler", "name", "member", "competitor", "who"],
            Self::Team => &["team", "club"],
            Self::Section => &["section", "sect", "sec", "zone", "sector"],
            Self::Weight => &[
                "weight", "wt", "net", "catch", "lb", "lbs", "pound", "pounds", "kg", "kgs",
                "kilos", "total",
            ],
            Self::Ounces => &["oz", "ozs", "ounce", "ounces"],
            Self::Drams => &["dr", "drs", "dram", "drams"],
            Self::Grams => &["g", "gr", "gm", "gms", "gram", "grams"],
            Self::Outcome => &["outcome", "status", "dnw", "result"],
            Self::Place => &["place", "position", "pos", "posn", "rank"],
            Self::Started => &["start", "started", "from", "began", "begin"],
            Self::PackedUp => &[
                "end", "ended", "till", "to", "until", "finish", "finished", "packed",
            ],
            Self::Hours => &["hours", "hrs", "duration", "time"],
            Self::Method => &["method", "tactic"],
            Self::Bait => &["bait", "baits", "hookbait"],
            Self::Count => &["count", "number", "fish"],
            Self::Remarks => &["remarks", "remark", "notes", "note", "comments", "comment"],
        }
    }
}

/// What one column holds; of a weight or a number, of which group of fish where it is of one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Column {
    pub field: Field,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub group: Option<Group>,
}

impl From<Field> for Column {
    fn from(field: Field) -> Self {
        Self { field, group: None }
    }
}

impl Column {
    /// Everything a column of such a sheet may hold, in the order of the choice.
    pub fn all(of: SheetOf) -> Vec<Self> {
        let mut all = Vec::new();
        for field in Field::ALL.into_iter().filter(|f| f.belongs_to(of)) {
            all.push(field.into());
            if field.may_repeat() {
                all.extend(Group::ALL.map(|group| Self {
                    field,
                    group: Some(group),
                }));
            }
        }
        all
    }

    /// `weight`, `weight.carp`.
    pub fn slug(self) -> String {
        match self.group {
            Some(group) => format!("{}.{}", self.field.slug(), group.slug()),
            None => self.field.slug().to_owned(),
        }
    }

    pub fn from_slug(slug: &str) -> Option<Self> {
        let (field, group) = match slug.split_once('.') {
            Some((field, group)) => (field, Some(Group::from_slug(group)?)),
            None => (slug, None),
        };
        let field = Field::from_slug(field)?;
        (group.is_none() || field.may_repeat()).then_some(Self { field, group })
    }

    pub fn words(self) -> String {
        match (self.field, self.group) {
            (field, None) => field.words().to_owned(),
            (Field::Count, Some(group)) => format!("number, {}", small(group)),
            (_, Some(group)) => format!("weight, {}", small(group)),
        }
    }
}

fn small(group: Group) -> String {
    match group {
        Group::F1s => group.name().to_owned(),
        _ => group.name().to_lowercase(),
    }
}

/// Might a column so headed tell the matches of a sheet apart, though its heading does not say that
/// it names them? Common practice, no source.
fn may_name_matches(heading: &str) -> bool {
    const WORDS: [&str; 9] = [
        "league", "series", "trophy", "shield", "rd", "rnd", "leg", "heat", "title",
    ];
    let words = key(heading);
    let mut words = words.split(' ');
    words.any(|word| WORDS.contains(&word) || Field::Match.headings().contains(&word))
}

/// Where no column is taken for the names of the matches, the headings not taken that may name them.
pub fn names_not_taken(sheet: &Sheet, columns: &[Option<Column>]) -> Vec<String> {
    let is_named = |column: &Column| column.field == Field::Match;
    if columns.iter().flatten().any(is_named) {
        return Vec::new();
    }
    let names = sheet.header.iter().enumerate();
    let left = names.filter(|(at, _)| columns.get(*at).is_none_or(Option::is_none));
    let named = left.filter(|(_, name)| may_name_matches(name));
    named.map(|(_, name)| name.clone()).collect()
}

/// The headings from whose columns nothing is taken; those without a word apart.
pub fn headings_not_taken(sheet: &Sheet, mapping: &Mapping) -> Vec<String> {
    let taken = |at: usize| mapping.columns.get(at).is_some_and(Option::is_some);
    let names = sheet.header.iter().enumerate();
    let names = names.filter(|(at, name)| !taken(*at) && !key(name).is_empty());
    names.map(|(_, name)| name.clone()).collect()
}

/// A mapping guessed from the names of the columns; an officer confirms it.
pub fn guess(sheet: &Sheet, of: SheetOf) -> Mapping {
    let mut taken: BTreeSet<Column> = BTreeSet::new();
    let mut whole: Option<Whole> = None;
    let mut in_pounds = false;
    let columns = sheet
        .header
        .iter()
        .enumerate()
        .map(|(at, name)| {
            let words = key(name);
            let words: Vec<&str> = words.split(' ').collect();
            let before = whole.as_mut().filter(|_| !is_of_several(sheet, &words));
            let part = before.and_then(|whole| whole.part(at, &words, group_named(&words)));
            if let Some(part) = part {
                return part.map(Column::from);
            }
            let before = whole.as_ref();
            if before.is_some_and(|whole| whole.stands_over(sheet, at)) {
                return Some(Field::Ounces.into());
            }
            let total = words.contains(&"total");
            let column = meant(&words, of)?;
            // Ounces of pounds that are not told apart are no weight by themselves; those of a group
            // that has no pounds are.
            let of_own = column.group.is_some() && !taken.contains(&column);
            if column.field == Field::Weight && in_pounds && names_part(&words) && !of_own {
                return None;
            }
            // A total beside its nets would count them twice.
            let again = match column.field {
                Field::Weight => total && taken.iter().any(|c: &Column| c.field == Field::Weight),
                _ => taken.contains(&column),
            };
            taken.insert(column);
            let column_taken = (!again).then_some(column);
            if column.field == Field::Weight {
                let headed = Whole::headed(at, &words, column_taken);
                in_pounds |= headed.is_pounds();
                whole = Some(headed);
            }
            column_taken
        })
        .collect();
    Mapping {
        of,
        columns,
        match_name: match of {
            SheetOf::Matches => sheet.titles.first().cloned(),
            SheetOf::Sessions => None,
        },
        ..Mapping::default()
    }
}

fn meant(words: &[&str], of: SheetOf) -> Option<Column> {
    let means = |field: &Field| field.headings().iter().any(|h| words.contains(h));
    // A part is one by the weight to its left alone.
    let mut fields = Field::ALL
        .into_iter()
        .filter(|field| field.belongs_to(of) && !field.is_part());
    let field = match (means(&Field::Started), means(&Field::PackedUp)) {
        // `From–to` in one column.
        (true, true) => fields.find(|field| *field == Field::Hours),
        _ => fields.find(means),
    };
    let group = group_named(words);
    match (field, group) {
        (None, Some(_)) => Some(Column {
            field: Field::Weight,
            group,
        }),
        (Some(field), group) if field.may_repeat() => Some(Column { field, group }),
        (Some(field), _) => Some(field.into()),
        (None, None) => None,
    }
}

fn group_named(words: &[&str]) -> Option<Group> {
    Group::ALL.into_iter().find(|group| {
        *group != Group::Other
            && (words.contains(&group.slug())
                || words.contains(&group.slug().trim_end_matches('s')))
    })
}
