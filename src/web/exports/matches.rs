//! `/matches.csv`: every match, planned and posted, the latest first.

use axum::{extract::State, response::Response};

use super::List;
use crate::{
    store::matches::listing,
    web::{errors::PageError, state::Site},
};

pub async fn show(State(site): State<Site>) -> Result<Response, PageError> {
    let mut list = List::under(&[
        "date",
        "match",
        "venue",
        "state",
        "pegs",
        "entered",
        "weighed in",
    ])?;
    for line in listing::every(&mut *site.db.read().await?).await? {
        list.row(&[
            line.on.to_string(),
            line.name,
            line.venue_name,
            line.state.to_string(),
            line.pegs_allotted.to_string(),
            line.entered.to_string(),
            line.weighed.map(|n| n.to_string()).unwrap_or_default(),
        ])?;
    }
    list.file("matches.csv")
}
