//! `/sessions.csv`: a member's own sessions; for officers every session that the club may see.
//! One row a session and group of fish; what is not known is left empty.

use axum::{
    extract::{Query, State},
    response::Response,
};
use serde::Deserialize;

use super::{AT_ONCE, List, Piece, csv_file, in_pieces};
use crate::{
    domain::{
        dates::{Instant, Zone},
        ids::SessionId,
        names::{Name, NamesOpen, Reader, shown},
    },
    store::sessions::listing::{self, SessionRow, Whose},
    web::{
        errors::PageError,
        people::{Member, Visitor},
        state::Site,
    },
};

/// What a member's own sessions are kept as.
const OWN: &str = "my-sessions.csv";

const HEADING: [&str; 17] = [
    "date",
    "venue",
    "angler",
    "match",
    "pegs",
    "from",
    "to",
    "rod-hours",
    "hours from",
    "fish",
    "number",
    "weight g",
    "weighed in",
    "methods",
    "baits",
    "seen by",
    "session",
];

#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Asked {
    /// `own`: only the officer's own.
    whose: String,
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    member: Member,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let club = visitor.is_officer() && asked.whose != "own";
    match (club, member.who.angler) {
        (true, _) => file(site, Whose::Club, AT_ONCE).await,
        (false, Some(angler)) => file(site, Whose::Angler(angler), AT_ONCE).await,
        (false, None) => List::under(&HEADING)?.file(OWN),
    }
}

/// The list, `at_once` sessions read at a time.
pub async fn file(site: Site, whose: Whose, at_once: i64) -> Result<Response, PageError> {
    let name = match whose {
        Whose::Club => "sessions.csv",
        Whose::Angler(_) => OWN,
    };
    let read = move |after| piece(site.clone(), whose, after, at_once);
    let body = in_pieces(&HEADING, SessionId(0), read).await?;
    Ok(csv_file(name, body))
}

async fn piece(
    site: Site,
    whose: Whose,
    after: SessionId,
    most: i64,
) -> Result<Piece<SessionId, 17>, PageError> {
    let found = listing::after(&mut *site.db.read().await?, whose, after, most).await?;
    Ok(Piece {
        on: found.last().map(|row| row.id),
        rows: found.into_iter().map(cells).collect(),
    })
}

fn cells(row: SessionRow) -> [String; 17] {
    let zone = Zone::named(&row.zone).unwrap_or_else(Zone::utc);
    let clock = |at: Option<Instant>| at.map(|at| at.clock(&zone)).unwrap_or_default();
    let name = row.given.map(|given| Name::from_label(given, row.surname));
    // Own sessions and officers: the name in full, as on the session's own page.
    let (reader, open) = (Reader::Officer, NamesOpen::Full);
    [
        row.on.to_string(),
        row.venue_name,
        shown(name.as_ref(), row.was_junior, reader, open, None),
        row.match_name.unwrap_or_default(),
        row.pegs.unwrap_or_default(),
        clock(row.start),
        clock(row.end),
        row.rod_hours.map(|h| format!("{h:.2}")).unwrap_or_default(),
        row.effort_source.unwrap_or_default(),
        row.groups.map(|set| set.to_string()).unwrap_or_default(),
        row.count.map(|n| n.to_string()).unwrap_or_default(),
        row.weight_g.map(|g| format!("{g:.1}")).unwrap_or_default(),
        if row.official == Some(1) { "yes" } else { "" }.to_owned(),
        row.methods.unwrap_or_default(),
        row.baits.unwrap_or_default(),
        row.visibility,
        row.pid.to_string(),
    ]
}
