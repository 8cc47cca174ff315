//! `/matches/{match}/result.csv`: a posted result, one row an entry, names as the page has them; with
//! `?posting=1` that posting, else the newest.
//! Weights stand with their units: a spreadsheet turns a bare 12-8 into a date. Where rows of an old
//! sheet were left out the name of the file says so: a row for them would stand among the anglers.

use axum::{
    extract::{Path, Query, State},
    response::Response,
};
use serde::Deserialize;

use super::List;
use crate::{
    domain::matches::{Figures, Line, Place},
    store::imports::records,
    web::{
        errors::PageError,
        matches::{Naming, found, result::Posted},
        people::Visitor,
        state::Site,
    },
};

#[derive(Deserialize)]
pub struct Asked {
    posting: Option<String>,
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Path(id): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let the_match = found(&site, &id).await?;
    if !the_match.state.is_posted() {
        return Err(PageError::NotFound);
    }
    let naming = Naming::of(&site, &visitor).await?;
    let posted = Posted::of(&site, &the_match, asked.posting.as_deref()).await?;
    let mut list = List::under(&[
        "match",
        "date",
        "venue",
        "place",
        "place in section",
        "angler",
        "peg",
        "section",
        "team",
        "outcome",
        "weight",
        "weight g",
        "nets",
    ])?;
    let names = naming.of_result(&posted.figures, &posted.entered);
    for line in &posted.figures.lines {
        let name = names.get(&line.entry).cloned().unwrap_or_default();
        list.row(&row(&posted.figures, line, name))?;
    }
    let posting = match asked.posting {
        Some(_) => format!("-posting-{}", posted.ord),
        None => String::new(),
    };
    let lacking = records::lacking(&mut *site.db.read().await?, the_match.id).await?;
    let counted = |lacks: &str, rows: usize| match rows {
        1 => format!("-{lacks}-1-row"),
        several => format!("-{lacks}-{several}-rows"),
    };
    let lacks = match (lacking.rows, lacking.perhaps) {
        // A later posting may have had them added.
        _ if posted.ord > 1 => String::new(),
        (0, 0) => String::new(),
        (0, perhaps) => counted("may-lack", perhaps),
        (rows, _) => counted("lacks", rows),
    };
    list.file(&format!(
        "result-{}-{}{posting}{lacks}.csv",
        posted.figures.on, the_match.id
    ))
}

/// Match, date and water stand in every row, so that rows of several files may be put together.
fn row(figures: &Figures, line: &Line, name: String) -> [String; 13] {
    let place = |place: Option<Place>| place.map(|place| place.to_string()).unwrap_or_default();
    let weighed = line.outcome.may_have_weight() && !line.nets.is_empty();
    let figure = |text: String| if weighed { text } else { String::new() };
    let nets: Vec<String> = line
        .nets
        .iter()
        .map(|net| format!("{} {}", net.weight.words(), net.groups))
        .collect();
    [
        figures.title.clone(),
        figures.on.to_string(),
        figures.venue.clone(),
        place(line.place),
        place(line.section_place),
        name,
        line.peg.clone().unwrap_or_default(),
        line.section.clone().unwrap_or_default(),
        line.team.clone().unwrap_or_default(),
        line.outcome.to_string(),
        figure(line.counted.words()),
        figure(format!("{:.1}", line.counted.as_grams())),
        nets.join("; "),
    ]
}
