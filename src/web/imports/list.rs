//! Every file brought in, newest first, with its state and the way back.

use askama::Template;
use axum::{
    extract::{Query, State},
    response::Response,
};
use serde::Deserialize;

use crate::{
    domain::imports::ImportState,
    store::{
        imports::{self, Import},
        settings,
    },
    web::{
        errors::PageError,
        page::{Frame, Section, page},
        people::Member,
        state::Site,
    },
};

const A_PAGE: i64 = 50;

#[derive(Deserialize)]
pub struct Asked {
    #[serde(default)]
    page: String,
}

struct Line {
    import: Import,
    at: String,
    made: String,
}

impl Line {
    fn may_undo(&self) -> bool {
        self.import.state == ImportState::Done
    }
}

#[derive(Template)]
#[template(path = "imports/list.html")]
struct ListPage {
    frame: Frame,
    lines: Vec<Line>,
    total: i64,
    at: i64,
}

impl ListPage {
    fn first(&self) -> i64 {
        self.at * A_PAGE + 1
    }

    fn last(&self) -> i64 {
        self.at * A_PAGE + self.lines.len() as i64
    }

    /// What the pager counts.
    fn noun(&self) -> &'static str {
        if self.total == 1 { "file" } else { "files" }
    }

    fn page_at(&self, at: i64) -> String {
        self.frame.url(&format!("/imports?page={}", at + 1))
    }

    fn previous(&self) -> Option<String> {
        (self.at > 0).then(|| self.page_at(self.at - 1))
    }

    fn next(&self) -> Option<String> {
        (self.last() < self.total).then(|| self.page_at(self.at + 1))
    }
}

pub async fn show(
    State(site): State<Site>,
    member: Member,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let at = asked.page.parse::<i64>().unwrap_or(1).clamp(1, 100_000) - 1;
    let frame = Frame::new(&site, &member.visitor(), Section::Committee).await?;
    let mut reading = site.db.read().await?;
    let zone = settings::club(&mut reading).await?.zone;
    let mut lines = Vec::new();
    for import in imports::list(&mut reading, A_PAGE, at * A_PAGE).await? {
        lines.push(Line {
            at: import.at.in_words(&zone),
            made: made(&mut reading, &import).await?,
            import,
        });
    }
    page(ListPage {
        total: imports::count(&mut reading).await?,
        frame,
        lines,
        at,
    })
}

/// `3 matches, 60 entries, 58 sessions`; empty where nothing was made.
pub(super) async fn made(
    reading: &mut crate::store::Connection,
    import: &Import,
) -> Result<String, PageError> {
    let made = imports::made(reading, import.id).await?;
    let words: Vec<_> = made.iter().map(|(kind, n)| kind.counted(*n)).collect();
    Ok(words.join(", "))
}
