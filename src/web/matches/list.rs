//! Matches to come, and results in pages of fifty.

use askama::Template;
use axum::{
    extract::{Query, State},
    response::Response,
};
use serde::Deserialize;

use crate::{
    store::{
        matches::listing::{self, MatchLine, SortBy},
        settings,
    },
    web::{
        errors::PageError,
        filters,
        page::{Frame, Section, page},
        people::Visitor,
        state::Site,
    },
};

const A_PAGE: i64 = 50;
/// Days for which a match called off stands among those to come.
const OFF_SHOWN: i64 = 14;
/// Days for which officers find a match called off, to put it on again: two years.
const OFF_FOUND: i64 = 731;

#[derive(Deserialize)]
pub struct Asked {
    #[serde(default)]
    sort: String,
    #[serde(default)]
    order: String,
    #[serde(default)]
    page: String,
}

#[derive(Template)]
#[template(path = "matches/list.html")]
struct ListPage {
    frame: Frame,
    coming: Vec<MatchLine>,
    results: Vec<MatchLine>,
    /// For officers only: those called off.
    off: Vec<MatchLine>,
    total: i64,
    at: i64,
    sort: SortBy,
    falling: bool,
}

impl ListPage {
    fn link(&self, line: &MatchLine, page: &str) -> String {
        self.frame.url(&format!("/matches/{}{page}", line.id))
    }

    fn first(&self) -> i64 {
        self.at * A_PAGE + 1
    }

    fn last(&self) -> usize {
        usize::try_from(self.at * A_PAGE).unwrap_or(0) + self.results.len()
    }

    fn address(&self, sort: &str, falling: bool, at: i64) -> String {
        let order = if falling { "down" } else { "up" };
        self.frame.url(&format!(
            "/matches?sort={sort}&order={order}&page={}",
            at + 1
        ))
    }

    fn previous(&self) -> Option<String> {
        (self.at > 0).then(|| self.address(self.sort.as_str(), self.falling, self.at - 1))
    }

    fn next(&self) -> Option<String> {
        ((self.at + 1) * A_PAGE < self.total)
            .then(|| self.address(self.sort.as_str(), self.falling, self.at + 1))
    }

    /// Where a heading leads: the other way round when the list is sorted by it already.
    fn sort_link(&self, word: &str) -> String {
        let falling = if self.sort.as_str() == word {
            !self.falling
        } else {
            word == "date"
        };
        self.address(word, falling, 0)
    }

    fn sorted(&self, word: &str) -> &'static str {
        match (self.sort.as_str() == word, self.falling) {
            (false, _) => "",
            (true, true) => "descending",
            (true, false) => "ascending",
        }
    }
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let sort = SortBy::parse(&asked.sort).unwrap_or(SortBy::Date);
    let falling = match asked.order.as_str() {
        "up" => false,
        "down" => true,
        _ => sort == SortBy::Date,
    };
    let at = asked.page.parse::<i64>().unwrap_or(1).clamp(1, 100_000) - 1;
    let frame = Frame::new(&site, &visitor, Section::Matches).await?;
    let mut reading = site.db.read().await?;
    let today = site.now().day(&settings::club(&mut reading).await?.zone);
    let off = match visitor.is_officer() {
        true => listing::called_off(&mut reading, today.plus(-OFF_FOUND)).await?,
        false => Vec::new(),
    };
    page(ListPage {
        frame,
        coming: listing::without_result(&mut reading, today.plus(-OFF_SHOWN)).await?,
        results: listing::results(&mut reading, sort, falling, A_PAGE, at * A_PAGE).await?,
        off,
        total: listing::count_results(&mut reading).await?,
        at,
        sort,
        falling,
    })
}
