//! `/sessions`: a member's own sessions, latest first.

use askama::Template;
use axum::{
    extract::{Query, State},
    response::Response,
};
use serde::Deserialize;

use super::{form, told::scales_words};
use crate::{
    domain::sessions::Visibility,
    store::sessions::reading::{self, Listed},
    web::{
        errors::PageError,
        page::{Frame, Section, page},
        people::{Member, Visitor},
        state::Site,
    },
};

/// Rows on one page.
const ROWS: i64 = 50;

#[derive(Template)]
#[template(path = "sessions/mine.html")]
struct MinePage {
    frame: Frame,
    rows: Vec<Row>,
    total: i64,
    first: i64,
    last: i64,
    previous: Option<String>,
    next: Option<String>,
}

/// A session as the list says it.
struct Row {
    address: String,
    day: String,
    water: String,
    pegs: String,
    hours: String,
    caught: String,
    weight: String,
    match_name: Option<String>,
    seen_by: &'static str,
}

impl Row {
    fn new(frame: &Frame, listed: Listed) -> Self {
        Self {
            weight: weight_words(&listed),
            address: frame.url(&format!("/sessions/{}", listed.pid)),
            day: listed.day.short(),
            water: listed.venue_name,
            pegs: listed.pegs.unwrap_or_else(|| "not known".to_owned()),
            hours: listed
                .rod_hours
                .map_or("not known".to_owned(), |h| format!("{h:.1}")),
            caught: match (listed.caught, listed.has_report) {
                (Some(n), _) => n.to_string(),
                (None, true) => "not counted".to_owned(),
                (None, false) => "not reported".to_owned(),
            },
            match_name: listed.match_name,
            seen_by: Visibility::parse(&listed.visibility).map_or("", Visibility::words),
        }
    }
}

/// `4 lb 10 oz, weighed in`: a posted weight stands before the angler's own.
fn weight_words(listed: &Listed) -> String {
    let weight = match listed.weight_g {
        Some(0.0) => "nothing".to_owned(),
        Some(grams) => scales_words(grams, listed.scale()),
        None if listed.did_not_weigh => return "did not weigh".to_owned(),
        None => return "not known".to_owned(),
    };
    if listed.official {
        format!("{weight}, weighed in")
    } else {
        weight
    }
}

#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Asked {
    from: String,
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    member: Member,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let frame = Frame::new(&site, &visitor, Section::Report).await?;
    let skip = form::number::<i64>(&asked.from)
        .unwrap_or(1)
        .clamp(1, 1_000_000)
        - 1;
    let mut reading = site.db.read().await?;
    let (listed, total) = match member.who.angler {
        Some(angler) => (
            reading::of_angler(&mut reading, angler, skip, ROWS).await?,
            reading::count_of_angler(&mut reading, angler).await?,
        ),
        None => (Vec::new(), 0),
    };
    let address = |from: i64| frame.url(&format!("/sessions?from={from}"));
    let last = skip + listed.len() as i64;
    page(MinePage {
        rows: listed
            .into_iter()
            .map(|one| Row::new(&frame, one))
            .collect(),
        total,
        first: skip + 1,
        last,
        previous: (skip > 0).then(|| address((skip - ROWS).max(0) + 1)),
        next: (last < total).then(|| address(last + 1)),
        frame,
    })
}
