//! `/matches.csv`: every match, planned and posted, the latest first. A result that is posted
//! stands as posted, to officers too.

use axum::{extract::State, response::Response};

use super::{AT_ONCE, Piece, csv_file, in_pieces};
use crate::{
    domain::{dates::Day, ids::MatchId},
    store::matches::listing::{self, MatchRow},
    web::{errors::PageError, state::Site},
};

/// A number of anglers for each thing a result says of its field, in its words.
const HEADING: [&str; 12] = [
    "date",
    "match",
    "venue",
    "state",
    "pegs",
    "entered",
    "fished",
    "weighed in",
    "blanked",
    "did not weigh",
    "disqualified",
    "absent",
];

/// The day and the match that the rows before ended with.
type Stand = (Day, MatchId);

pub async fn show(State(site): State<Site>) -> Result<Response, PageError> {
    file(site, AT_ONCE).await
}

/// The list, `at_once` matches read at a time.
pub async fn file(site: Site, at_once: i64) -> Result<Response, PageError> {
    let read = move |after| piece(site.clone(), after, at_once);
    let body = in_pieces(&HEADING, None, read).await?;
    Ok(csv_file("matches.csv", body))
}

async fn piece(
    site: Site,
    after: Option<Stand>,
    most: i64,
) -> Result<Piece<Option<Stand>, 12>, PageError> {
    let found = listing::after(&mut *site.db.read().await?, after, most).await?;
    Ok(Piece {
        on: found.last().map(|line| Some((line.on, line.id))),
        rows: found.into_iter().map(cells).collect(),
    })
}

fn cells(line: MatchRow) -> [String; 12] {
    let posted = |n: Option<i64>| n.map(|n| n.to_string()).unwrap_or_default();
    [
        line.on.to_string(),
        line.name,
        line.venue_name,
        line.state.to_string(),
        line.pegs_allotted.to_string(),
        line.entered.to_string(),
        posted(line.fished),
        posted(line.weighed),
        posted(line.blanked),
        posted(line.did_not_weigh),
        posted(line.disqualified),
        posted(line.absent),
    ]
}
