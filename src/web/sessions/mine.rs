//! `/sessions`: a member's own sessions, latest first.

use askama::Template;
use axum::{
    extract::{Query, State},
    response::Response,
};
use serde::Deserialize;

use super::{form, told::scales_words};
use crate::{
    domain::sessions::{Caught, Visibility},
    statistics::wording,
    store::sessions::reading::{self, Listed},
    web::{
        errors::PageError,
        figures::weights_held,
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
            caught: caught_words(&listed),
            address: frame.url(&format!("/sessions/{}", listed.pid)),
            day: listed.day.short(),
            water: listed.venue_name,
            pegs: listed.pegs.unwrap_or_else(|| "not known".to_owned()),
            hours: listed
                .rod_hours
                .map_or("not known".to_owned(), |h| format!("{h:.1}")),
            match_name: listed.match_name,
            seen_by: Visibility::parse(&listed.visibility).map_or("", Visibility::words),
        }
    }
}

/// `9`, `carp 9; silvers not counted`: the angler's own count.
fn caught_words(listed: &Listed) -> String {
    match (listed.caught, listed.has_report) {
        (Some(n), _) => n.to_string(),
        (None, true) => {
            let known = |one: &Caught| one.count.map(|n| n.to_string());
            in_part(&listed.reported(), known, "not counted")
                .unwrap_or_else(|| "not counted".to_owned())
        }
        (None, false) => "not reported".to_owned(),
    }
}

/// `4 lb 10 oz, weighed in`: a posted weight stands before the angler's own.
fn weight_words(listed: &Listed) -> String {
    if listed.disqualified {
        let grams = listed.weight_g.filter(|grams| *grams > 0.0);
        return grams.map_or("disqualified".to_owned(), |grams| {
            format!("{}, disqualified", scales_words(grams, listed.scale()))
        });
    }
    let weight = match listed.weight_g {
        Some(0.0) if listed.official => return "blank".to_owned(),
        Some(0.0) => "nothing".to_owned(),
        Some(grams) => scales_words(grams, listed.scale()),
        None if listed.did_not_weigh => return "did not weigh".to_owned(),
        None => {
            let known = |one: &Caught| Some(weights_held(&one.weight?.words()));
            return in_part(&listed.reported(), known, "not known")
                .unwrap_or_else(|| "not known".to_owned());
        }
    };
    if listed.official {
        format!("{weight}, weighed in")
    } else {
        weight
    }
}

/// `carp 9; silvers not counted`: what is known of some groups and not of others; `None` where
/// nothing is known.
fn in_part(
    reported: &[Caught],
    known: impl Fn(&Caught) -> Option<String>,
    otherwise: &str,
) -> Option<String> {
    let (mut told, mut untold) = (Vec::new(), Vec::new());
    for one in reported {
        let fish = one.groups.within();
        match known(one) {
            Some(words) => told.push(format!("{fish} {words}")),
            None => untold.push(fish),
        }
    }
    let (some, none) = (told.join(", "), wording::list(&untold));
    match (told.is_empty(), untold.is_empty()) {
        (true, _) => None,
        (false, true) => Some(some),
        (false, false) => Some(format!("{some}; {none} {otherwise}")),
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
