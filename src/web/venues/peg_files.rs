//! The hours and the methods of a peg as files to keep: what its page shows of them, and no more.
//! How anybody fished is his own, so nothing stands in them that three anglers do not stand behind.

use std::sync::Arc;

use axum::{
    extract::{Path, State},
    response::Response,
};

use super::{number_of, peg_counts::method_name};
use crate::{
    statistics::{hours::HourCounts, methods::MethodCounts},
    store::marks::AtPeg,
    web::{answers::PegAnswers, errors::PageError, exports::List, people::Member, state::Site},
};

const HOURS: [&str; 6] = [
    "series",
    "hour since the start",
    "days",
    "sessions",
    "rod_hours",
    "fish",
];

const METHODS: [&str; 12] = [
    "series",
    "method",
    "days",
    "sessions",
    "sessions_without_hours",
    "rod_hours",
    "fish",
    "fish_sessions",
    "fish_rod_hours",
    "weight_g",
    "weight_sessions",
    "weight_rod_hours",
];

/// A peg with a file to be made of it.
struct Asked {
    answers: Arc<PegAnswers>,
    marks: AtPeg,
    /// What the file is kept as. Matches too tell their hours and methods only where the angler
    /// shared his part.
    name: String,
}

async fn asked(site: &Site, venue: &str, peg: &str, what: &str) -> Result<Asked, PageError> {
    let (id, number) = (number_of(venue)?, peg.to_uppercase());
    let marks = site.answers.marks(site, id).await?.at_peg(&number);
    let layout = site.answers.layout(site, id, marks.water).await?;
    if !layout.pegs.iter().any(|peg| peg.number == number) {
        return Err(PageError::NotFound);
    }
    let venue = site.answers.venue(site, id, marks.club).await?;
    Ok(Asked {
        // Files give grams and counts, which are the same in every scale.
        answers: (site.answers)
            .peg(site, id, &number, venue.weighs_in, &marks)
            .await?,
        marks,
        name: format!(
            "{} peg {number} {what} shared with the club.csv",
            venue.name
        ),
    })
}

/// The hours, a row an hour since the start.
pub async fn hours(
    State(site): State<Site>,
    _: Member,
    Path((venue, peg)): Path<(String, String)>,
) -> Result<Response, PageError> {
    let asked = asked(&site, &venue, &peg, "hours").await?;
    let mut list = List::under(&HOURS)?;
    for counts in &asked.answers.counts {
        for hour in counts.hours.iter().flat_map(|hours| &hours.hours) {
            list.row(&of_hour(counts.series.slug(), hour))?;
        }
    }
    list.file(&asked.name)
}

/// The methods, a row a method.
pub async fn methods(
    State(site): State<Site>,
    _: Member,
    Path((venue, peg)): Path<(String, String)>,
) -> Result<Response, PageError> {
    let asked = asked(&site, &venue, &peg, "methods").await?;
    let names = site.answers.methods(&site, asked.marks.club).await?;
    let mut list = List::under(&METHODS)?;
    for counts in &asked.answers.counts {
        for method in &counts.methods {
            let name = method_name(method, &names);
            list.row(&of_method(counts.series.slug(), name, method))?;
        }
    }
    list.file(&asked.name)
}

fn of_hour(series: &str, hour: &HourCounts) -> [String; 6] {
    [
        series.to_owned(),
        (hour.hour + 1).to_string(),
        hour.days.to_string(),
        hour.sessions.to_string(),
        format!("{:.2}", hour.rod_hours),
        hour.fish.to_string(),
    ]
}

fn of_method(series: &str, name: String, method: &MethodCounts) -> [String; 12] {
    let (fish, weight) = (&method.fish, &method.weight);
    // Nothing known is no nought.
    let known = |sessions: usize, figure: String| match sessions {
        0 => String::new(),
        _ => figure,
    };
    [
        series.to_owned(),
        name,
        method.days.to_string(),
        method.sessions.to_string(),
        method.without_hours.to_string(),
        format!("{:.2}", method.rod_hours),
        known(fish.sessions, format!("{:.0}", fish.total)),
        fish.sessions.to_string(),
        format!("{:.2}", fish.rod_hours),
        known(weight.sessions, format!("{:.1}", weight.total)),
        weight.sessions.to_string(),
        format!("{:.2}", weight.rod_hours),
    ]
}
