//! How an officer says a file is to be read, and what it leaves out.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{Column, Field, SameDayRow, same_day};
use crate::domain::dates::Day;
use crate::domain::groups::{Group, GroupSet};
use crate::domain::ids::{BaitId, MethodId};
use crate::domain::matches::PegsAllotted;
use crate::domain::units::{Minutes, quoted};
use crate::formats::days::DayOrder;
use crate::statistics::wording;

/// What the rows of a sheet are.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SheetOf {
    /// Entries of matches.
    #[default]
    Matches,
    /// Sessions that were no matches.
    Sessions,
}

/// What a number without a unit means in a file: answered once.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BareWeights {
    /// 12.8 is 12 lb 8 oz.
    PoundsPointOunces,
    /// 12.8 is twelve pounds and eight tenths.
    DecimalPounds,
    Ounces,
    Kilograms,
    Grams,
}

impl BareWeights {
    pub const ALL: [Self; 5] = [
        Self::PoundsPointOunces,
        Self::DecimalPounds,
        Self::Ounces,
        Self::Kilograms,
        Self::Grams,
    ];

    pub fn slug(self) -> &'static str {
        match self {
            Self::PoundsPointOunces => "pounds-point-ounces",
            Self::DecimalPounds => "decimal-pounds",
            Self::Ounces => "ounces",
            Self::Kilograms => "kilograms",
            Self::Grams => "grams",
        }
    }

    pub fn from_slug(slug: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|bare| bare.slug() == slug)
    }

    pub fn words(self) -> &'static str {
        match self {
            Self::PoundsPointOunces => "pounds and ounces: 12.8 is 12 lb 8 oz",
            Self::DecimalPounds => "pounds and tenths: 12.8 is 12 lb 12 oz and a little",
            Self::Ounces => "ounces",
            Self::Kilograms => "kilograms",
            Self::Grams => "grams",
        }
    }
}

/// What a row is whose angler has an outing on record there that day, and that is not just the same:
/// answered once.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SameDay {
    SameOuting,
    AnotherOuting,
}

impl SameDay {
    pub const ALL: [Self; 2] = [Self::SameOuting, Self::AnotherOuting];

    pub fn slug(self) -> &'static str {
        match self {
            Self::SameOuting => "same-outing",
            Self::AnotherOuting => "another-outing",
        }
    }

    pub fn from_slug(slug: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|same| same.slug() == slug)
    }

    pub fn words(self) -> &'static str {
        match self {
            Self::SameOuting => "the same outing, and left out",
            Self::AnotherOuting => "another outing, and taken",
        }
    }
}

/// How an officer says a file is to be read.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Mapping {
    pub of: SheetOf,
    /// What each column holds, left to right.
    pub columns: Vec<Option<Column>>,
    pub day_order: Option<DayOrder>,
    pub bare: Option<BareWeights>,
    /// For every row that has none of its own.
    pub date: Option<Day>,
    pub venue: Option<String>,
    pub match_name: Option<String>,
    pub minutes: Option<Minutes>,
    /// Nobody knows how long was fished.
    pub hours_unknown: bool,
    /// When matches began, where that is known.
    pub start: Option<jiff::civil::Time>,
    pub pegs_allotted: Option<PegsAllotted>,
    /// The fish that a weight or number counts where its column is of no single group.
    pub groups: Option<GroupSet>,
    /// Who may see sessions: `club` or `private`.
    pub visibility: Option<String>,
    pub same_day: Option<SameDay>,
    /// What words for methods mean, by folded word; whatever is not here goes into the remarks.
    pub methods: BTreeMap<String, MethodId>,
    /// The same for baits.
    pub baits: BTreeMap<String, BaitId>,
}

impl Mapping {
    /// The groups that have a column of their own among the weights, or among the numbers.
    fn apart(&self, field: Field) -> i64 {
        let columns = self.columns.iter().flatten();
        let named = columns.filter(|c| c.field == field).filter_map(|c| c.group);
        named.fold(0, |bits, group| bits | group.bit())
    }

    /// The set of groups that a column of weights or numbers covers: its own group, or what
    /// counts and has no column of its own. `None` where nothing is left.
    pub fn covers(&self, column: Column) -> Option<GroupSet> {
        match column.group {
            Some(group) => Some(group.into()),
            None => {
                let counted = self.groups.unwrap_or(GroupSet::ALL).bits();
                GroupSet::from_bits(counted & !self.apart(column.field))
            }
        }
    }

    /// Some column counts fish of several groups together.
    pub fn is_mixed(&self) -> bool {
        let mut columns = self.columns.iter().flatten();
        columns.any(|c| c.field.may_repeat() && c.group.is_none())
    }

    /// The groups counted where they are weighed together, as the form ticks them.
    pub fn counts(&self, group: Group) -> bool {
        self.groups.is_some_and(|set| set.contains(group))
    }
}

/// What a file leaves out, asked once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ask {
    /// With the headings from whose columns nothing is taken: one may hold the dates.
    Date(Vec<String>),
    /// The same of the waters.
    Venue(Vec<String>),
    MatchName,
    Hours,
    PegsAllotted,
    Groups,
    Visibility,
    DayOrder(String),
    /// What a number without a unit means; one of them as an example.
    Bare {
        example: String,
    },
    /// Whether rows that may be on record are.
    SameDay {
        rows: Vec<SameDayRow>,
    },
}

impl Ask {
    /// The field of the form that answers it.
    pub fn field(&self) -> &'static str {
        match self {
            Self::Date(_) => "date",
            Self::Venue(_) => "venue",
            Self::MatchName => "match_name",
            Self::Hours => "hours",
            Self::PegsAllotted => "pegs_allotted",
            Self::Groups => "groups",
            Self::Visibility => "visibility",
            Self::DayOrder(_) => "day_order",
            Self::Bare { .. } => "bare",
            Self::SameDay { .. } => "same_day",
        }
    }

    pub fn sentence(&self) -> String {
        match self {
            Self::Date(headings) => match nothing_taken_from(headings) {
                Some(which) => format!("No column is taken for the date. {which} Choose the one that holds the dates, or say on which day all of it was fished."),
                None => "The file has no dates. On which day was it fished?".to_owned(),
            },
            Self::Venue(headings) => match nothing_taken_from(headings) {
                Some(which) => format!("No column is taken for the venue. {which} Choose the one that holds it, or say which venue it was."),
                None => "The file does not say where. Which venue was it?".to_owned(),
            },
            Self::MatchName => "The file does not name the matches. What were they called?".to_owned(),
            Self::Hours => "The file does not say how long was fished. How many hours? Tick the box where nobody knows; the catches then count for no rates.".to_owned(),
            Self::PegsAllotted => "How did pegs come to anglers: drawn from a bag, of choice, roving, or is it not known?".to_owned(),
            Self::Groups => "Which fish do the weights count? Tick every group that went on the scales together.".to_owned(),
            Self::Visibility => "Who may see these sessions: the club, or each angler alone?".to_owned(),
            Self::DayOrder(asks) => asks.clone(),
            Self::Bare { example } => format!("Weights like {} have no unit. What do they mean in this file?", quoted(example)),
            Self::SameDay { rows } => same_day::question(rows),
        }
    }
}

/// `Nothing is taken from the column “When”.`
pub fn nothing_taken_from(headings: &[String]) -> Option<String> {
    let names: Vec<String> = headings.iter().take(12).map(|name| quoted(name)).collect();
    match names.len() {
        0 => None,
        1 => Some(format!("Nothing is taken from the column {}.", names[0])),
        _ => Some(format!(
            "Nothing is taken from the columns {}.",
            wording::list(&names)
        )),
    }
}
