//! The sessions of a peg as its page lists them, twenty-five at a time, sorted by link.

use std::sync::Arc;

use serde::Deserialize;

use crate::{
    domain::{
        names::{Name, NamesOpen, Reader, shown},
        units::{Scale, Weight},
    },
    statistics::wording::DRAM_G,
    store::statistics::pegs::{PegSession, SortBy},
    web::{figures::weights_held, page::Frame},
};

/// Rows on one page.
pub const ROWS: i64 = 25;

/// What the address asks for.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Asked {
    sort: String,
    order: String,
    from: String,
}

impl Asked {
    pub fn sort(&self) -> SortBy {
        SortBy::parse(&self.sort).unwrap_or(SortBy::Day)
    }

    pub fn falling(&self) -> bool {
        self.order != "up"
    }

    /// Rows before the first one shown.
    pub fn skip(&self) -> i64 {
        self.from.trim().parse().unwrap_or(1).clamp(1, 1_000_000) - 1
    }

    /// The list as it opens: the latest first, from the first.
    pub fn is_opening(&self) -> bool {
        self.sort() == SortBy::Day && self.falling() && self.skip() == 0
    }
}

/// How names stand for whoever is reading.
pub struct Naming<'a> {
    pub reader: Reader,
    pub open: NamesOpen,
    pub number: &'a str,
}

/// A session as its row shows it.
pub struct Line {
    pub day: String,
    pub what: String,
    /// Address of the result or the report, where the reader may open it.
    pub link: Option<String>,
    pub who: String,
    pub groups: String,
    pub fish: String,
    pub weight: String,
    pub hours: String,
}

impl Line {
    pub fn of(session: &PegSession, frame: &Frame, naming: &Naming<'_>, scale: Scale) -> Self {
        let given = session.given.clone();
        let name = given.map(|given| Name::from_label(given, session.surname.clone()));
        let report = session.series == "report";
        let link = match session.match_id {
            Some(id) => Some(format!("/matches/{id}/result")),
            None => {
                (report && frame.is_signed_in()).then(|| format!("/sessions/{}", session.session))
            }
        };
        Self {
            day: session.day.short(),
            what: match (&session.match_name, session.own) {
                (Some(name), _) => name.clone(),
                (None, true) => "Your own report".to_owned(),
                (None, false) => "A report".to_owned(),
            },
            link: link.map(|path| frame.url(&path)),
            who: if session.own {
                "You".to_owned()
            } else {
                shown(
                    name.as_ref(),
                    session.was_junior,
                    naming.reader,
                    naming.open,
                    Some(naming.number),
                )
            },
            groups: session.groups.to_string(),
            fish: session.fish.map(|n| n.to_string()).unwrap_or_default(),
            weight: match (session.did_not_weigh, session.weight_g) {
                (true, _) => "Did not weigh".to_owned(),
                (false, Some(grams)) => weight_words(grams, scale),
                (false, None) => String::new(),
            },
            hours: session
                .rod_hours
                .map(|h| format!("{h:.1}"))
                .unwrap_or_default(),
        }
    }
}

/// Grams from the record in the unit of the water's own scales.
fn weight_words(grams: f64, scale: Scale) -> String {
    let amount = match scale {
        Scale::Grams => grams,
        Scale::Drams => grams / DRAM_G,
    };
    match Weight::new(amount.round() as i64, scale) {
        Some(weight) if weight.is_nothing() => "Blank".to_owned(),
        Some(weight) => weights_held(&weight.words()),
        None => String::new(),
    }
}

/// One stretch of the list.
pub struct Listing {
    pub lines: Vec<Line>,
    /// Sessions in the whole list.
    pub total: i64,
}

/// One page of the list, and the ways on from it.
pub struct Listed {
    listing: Arc<Listing>,
    skip: i64,
    sort: SortBy,
    falling: bool,
    address: String,
}

impl Listed {
    /// `address`: the peg's page.
    pub fn new(listing: Arc<Listing>, asked: &Asked, address: String) -> Self {
        Self {
            listing,
            skip: asked.skip(),
            sort: asked.sort(),
            falling: asked.falling(),
            address,
        }
    }

    pub fn lines(&self) -> &[Line] {
        &self.listing.lines
    }

    pub fn total(&self) -> i64 {
        self.listing.total
    }

    pub fn first(&self) -> i64 {
        self.skip + 1
    }

    pub fn last(&self) -> i64 {
        self.skip + self.lines().len() as i64
    }

    fn link(&self, sort: SortBy, falling: bool, from: i64) -> String {
        let order = if falling { "down" } else { "up" };
        let (address, sort) = (&self.address, sort.as_str());
        format!("{address}?sort={sort}&order={order}&from={from}#sessions")
    }

    pub fn previous(&self) -> Option<String> {
        (self.skip > 0).then(|| self.link(self.sort, self.falling, (self.skip - ROWS).max(0) + 1))
    }

    pub fn next(&self) -> Option<String> {
        (self.last() < self.total()).then(|| self.link(self.sort, self.falling, self.last() + 1))
    }

    /// Where a heading leads: the other way round when the list is sorted by it already.
    pub fn sort_link(&self, word: &str) -> String {
        let sort = SortBy::parse(word).unwrap_or(SortBy::Day);
        self.link(sort, sort != self.sort || !self.falling, 1)
    }

    pub fn sorted(&self, word: &str) -> &'static str {
        match (self.sort.as_str() == word, self.falling) {
            (false, _) => "",
            (true, true) => "descending",
            (true, false) => "ascending",
        }
    }
}
