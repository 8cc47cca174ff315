//! `/venues/{venue}/what-it-took`: the weights of the latest matches like one asked about, for
//! the evening before, when no peg is drawn yet.

use std::collections::BTreeMap;

use askama::Template;
use axum::{
    extract::{Path, Query, State},
    response::Response,
};

mod asking; // the form: what is typed, what is offered
mod rows; // the like matches as a file has them
mod units; // pounds or kilograms, as the reader chose
mod words; // what is said beside the figures

use self::asking::{Offered, Typed, choices, is_unknown, like, nearest, offer, read, wanted};
use self::words::{of_sections, places};
use super::the_venue;
use crate::{
    domain::{ids::MatchId, units::Scale, venues::Venue},
    statistics::{
        what_it_took::{PastMatch, Spread, Took, WhatItTook},
        wording,
    },
    store::statistics::entries,
    web::{
        errors::PageError,
        exports::csv_file,
        figures::{GAP, weights_held},
        filters,
        forms::{Field, Problems},
        links::escaped,
        page::{Frame, Section, page, page_again},
        people::Visitor,
        state::Site,
    },
};

const FORMULA: &str = "The latest ten matches here that counted the same groups, whose length is within an hour and \
    whose field within a third. Middle: the median. Rod-hours: the match’s hours for each who fished, with one rod. Those who did not weigh stand below every weight. In brackets: the lowest and the highest of those matches, or of their sections. \
    Where a match states no frame, one place for every eight anglers. The field of a match to come: the median of \
    the latest ten of its name, else of the latest ten here, or those entered where they are more. Where no match \
    is like, those like the one nearest in field.";
const SOURCE: &str = "Common practice, no source";
/// Matches to come that the page can be asked for.
const MOST_COMING: i64 = 200;

/// A like match as its row shows it.
struct Row {
    day: String,
    name: String,
    link: String,
    anglers: usize,
    won: String,
    framed: String,
    /// Paid places, and whether by custom.
    places: String,
    sections: Vec<String>,
    middle: String,
    lowest: String,
    blanks: usize,
    did_not_weigh: usize,
    apart: String,
}

#[derive(Template)]
#[template(path = "venues/what_it_took.html")]
struct TookPage {
    frame: Frame,
    venue: Venue,
    problems: Problems,
    groups: Field,
    hours: Field,
    field: Field,
    choices: Vec<(i64, String)>,
    offered: Offered,
    answer: Option<WhatItTook>,
    /// The address names a match that is not to come here.
    unknown: bool,
    /// That no match was like the one asked about, where the answer is of the nearest in size.
    unlike: Option<String>,
    names: BTreeMap<MatchId, String>,
    sort: Sort,
    falling: bool,
    /// The unit of weights in the address.
    chosen: Option<Scale>,
}

/// What the rows are sorted by.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Sort {
    Day,
    Anglers,
    Won,
    Framed,
    Middle,
}

impl Sort {
    const ALL: [(Self, &'static str); 5] = [
        (Self::Day, "day"),
        (Self::Anglers, "anglers"),
        (Self::Won, "won"),
        (Self::Framed, "framed"),
        (Self::Middle, "middle"),
    ];

    fn parse(word: &str) -> Self {
        let known = Self::ALL.into_iter().find(|(_, name)| *name == word);
        known.map_or(Self::Day, |(sort, _)| sort)
    }

    fn key(self, took: &Took) -> f64 {
        match self {
            Self::Day => took.day.number() as f64,
            Self::Anglers => took.anglers as f64,
            Self::Won => took.winning.unwrap_or(-1.0),
            Self::Framed => took.framed.unwrap_or(-1.0),
            Self::Middle => took.median.unwrap_or(-1.0),
        }
    }
}

impl TookPage {
    fn known(&self) -> String {
        match &self.answer {
            Some(answer) => {
                let said = weights_held(&answer.sentence(self.scale()));
                let anglers = wording::count(answer.asked.field, "angler", "anglers");
                match &self.unlike {
                    Some(none) => format!("{none} The nearest in size had {anglers}. {said}"),
                    None => said,
                }
            }
            None if self.problems.is_empty() => {
                "No match is on record here yet, so nobody can say what it takes.".to_owned()
            }
            None => "Say what kind of match it is, and this page answers.".to_owned(),
        }
    }

    /// What stands behind the figures, as a sentence.
    fn behind(&self) -> String {
        let behind = self.answer.as_ref().map(|answer| answer.behind.words());
        wording::sentence(&behind.unwrap_or_default())
    }

    /// A spread as label, middle and range.
    fn spreads(&self) -> Vec<(&'static str, String, String)> {
        let Some(answer) = &self.answer else {
            return Vec::new();
        };
        let weight = |grams| weights_held(&wording::weight(grams, self.scale()));
        let pair = |label, spread: Option<Spread>| {
            let spread = spread?;
            let range = match spread.count {
                1 => "one only".to_owned(),
                _ => format!("{} to {}", weight(spread.lowest), weight(spread.highest)),
            };
            Some((label, weight(spread.median), range))
        };
        [
            pair("Won with", answer.winning),
            pair("In the frame", answer.framed),
            pair("Won a section", answer.section_winning)
                .map(|(label, middle, range)| (label, middle, range + &of_sections(answer))),
            pair("Middle angler", answer.median),
            pair("Most carp by one angler", answer.best_carp),
            pair("Most silvers by one angler", answer.best_silvers),
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    fn rows(&self) -> Vec<Row> {
        let Some(answer) = &self.answer else {
            return Vec::new();
        };
        let mut matches: Vec<_> = answer.matches.iter().collect();
        matches.sort_by(|one, other| {
            let order = self.sort.key(one).total_cmp(&self.sort.key(other));
            if self.falling { order.reverse() } else { order }
        });
        matches.into_iter().map(|took| self.row(took)).collect()
    }

    fn row(&self, took: &Took) -> Row {
        let weight = |grams: Option<f64>| {
            let shown = grams.map(|grams| weights_held(&wording::weight(grams, self.scale())));
            shown.unwrap_or_else(|| GAP.to_owned())
        };
        let or_blank = |grams: Option<f64>| match grams {
            Some(0.0) => "a blank".to_owned(),
            grams => weight(grams),
        };
        let sections: Vec<_> = took
            .section_winning
            .iter()
            .map(|grams| weight(Some(*grams)))
            .collect();
        Row {
            day: took.day.short(),
            name: self.names.get(&took.match_id).cloned().unwrap_or_default(),
            link: self
                .frame
                .url(&format!("/matches/{}/result", took.match_id)),
            anglers: took.anglers,
            won: weight(took.winning),
            framed: or_blank(took.framed),
            places: places(took),
            sections,
            middle: or_blank(took.median),
            lowest: or_blank(took.lowest),
            blanks: took.blanks,
            did_not_weigh: took.did_not_weigh,
            apart: took
                .apart
                .map(|apart| {
                    format!(
                        "{} / {}",
                        weight(Some(apart.best_carp)),
                        weight(Some(apart.best_silvers))
                    )
                })
                .unwrap_or_default(),
        }
    }

    fn query(&self, weights: Option<Scale>) -> String {
        let part = |field: &Field| escaped(&field.value);
        let weights =
            weights.map_or_else(String::new, |scale| format!("&weights={}", scale.slug()));
        format!(
            "groups={}&hours={}&field={}{weights}",
            part(&self.groups),
            part(&self.hours),
            part(&self.field)
        )
    }

    fn csv(&self) -> String {
        let (id, query) = (self.venue.id, self.query(None));
        self.frame
            .url(&format!("/venues/{id}/what-it-took.csv?{query}"))
    }

    fn sort_link(&self, word: &str) -> String {
        let falling = Sort::parse(word) != self.sort || !self.falling;
        let order = if falling { "down" } else { "up" };
        let (id, query) = (self.venue.id, self.query(self.chosen));
        self.frame.url(&format!(
            "/venues/{id}/what-it-took?{query}&sort={word}&order={order}"
        ))
    }

    fn sorted(&self, word: &str) -> &'static str {
        match (Sort::parse(word) == self.sort, self.falling) {
            (false, _) => "",
            (true, true) => "descending",
            (true, false) => "ascending",
        }
    }

    fn formula(&self) -> &'static str {
        FORMULA
    }

    fn source(&self) -> &'static str {
        SOURCE
    }
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Path(venue): Path<String>,
    Query(typed): Query<Typed>,
) -> Result<Response, PageError> {
    let venue = the_venue(&site, &venue).await?;
    let frame = Frame::new(&site, &visitor, Section::Venues).await?;
    let shown = found(&site, frame, venue, &typed).await?;
    if shown.problems.is_empty() {
        page(shown)
    } else {
        page_again(shown)
    }
}

/// The like matches as a file.
pub async fn file(
    State(site): State<Site>,
    visitor: Visitor,
    Path(venue): Path<String>,
    Query(typed): Query<Typed>,
) -> Result<Response, PageError> {
    let venue = the_venue(&site, &venue).await?;
    let frame = Frame::new(&site, &visitor, Section::Venues).await?;
    let shown = found(&site, frame, venue, &typed).await?;
    if let Some(problem) = shown.problems.list.first() {
        return Err(PageError::Unreadable(problem.sentence.clone()));
    }
    let bytes = rows::csv(&shown).map_err(|e| PageError::Fault(e.to_string()))?;
    let name = format!("{} what it took.csv", shown.venue.name);
    Ok(csv_file(&name, bytes))
}

/// The form, and the answer where the form can be read.
async fn found(
    site: &Site,
    frame: Frame,
    venue: Venue,
    typed: &Typed,
) -> Result<TookPage, PageError> {
    let mut reading = site.db.read().await?;
    let heads = entries::heads(&mut reading, venue.id).await?;
    let today = site.now().day(&venue.zone);
    let coming = entries::coming(&mut reading, Some(venue.id), today, MOST_COMING).await?;
    let unknown = is_unknown(typed, &coming);
    let (offered, values) = offer(typed, wanted(typed, coming), &heads);
    let mut problems = Problems::default();
    let mut asked = read(&values, &heads, &mut problems).filter(|_| !heads.is_empty());
    let mut unlike = None;
    if let Some(first) = asked.filter(|asked| like(asked, &heads).is_empty())
        && let Some(instead) = nearest(&first, &heads)
    {
        unlike = Some(first.none_like());
        asked = Some(instead);
    }
    let answer = match asked {
        Some(asked) => {
            let like = like(&asked, &heads);
            let ids: Vec<_> = like.iter().map(|head| head.id).collect();
            let mut fished = entries::fished(&mut reading, &ids).await?;
            let past: Vec<_> = heads
                .iter()
                .map(|head| PastMatch {
                    match_id: head.id,
                    day: head.day,
                    groups: head.groups,
                    hours: head.hours(),
                    frame: None,
                    anglers: fished.remove(&head.id).unwrap_or_default(),
                })
                // Those without a length are only counted.
                .filter(|past| past.hours.is_none() || ids.contains(&past.match_id))
                .collect();
            Some(WhatItTook::of(asked, &past))
        }
        None => None,
    };
    let field =
        |name: &str, label: &str, value: &str| Field::new(name, label, value).problems(&problems);
    Ok(TookPage {
        groups: field("groups", "What counts", &values.groups),
        hours: field("hours", "Hours", &values.hours),
        field: field("field", "Anglers", &values.field),
        choices: choices(&heads, &offered),
        names: heads
            .iter()
            .map(|head| (head.id, head.name.clone()))
            .collect(),
        sort: Sort::parse(&typed.sort),
        falling: typed.order != "up",
        chosen: Scale::from_slug(&typed.weights),
        frame: frame.with_problems(!problems.is_empty()),
        venue,
        problems,
        offered,
        answer,
        unknown,
        unlike,
    })
}
