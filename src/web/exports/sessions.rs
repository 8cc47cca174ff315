//! `/sessions.csv`: a member's own sessions; for officers every session that the club may see.
//! One row a session and group of fish; what is not known is left empty.

use axum::{
    extract::{Query, State},
    response::Response,
};
use serde::Deserialize;

use super::List;
use crate::{
    domain::{
        dates::{Instant, Zone},
        names::{Name, NamesOpen, Reader, shown},
    },
    store::sessions::listing::{self, SessionRow, Whose},
    web::{
        errors::PageError,
        people::{Member, Visitor},
        state::Site,
    },
};

/// Sessions read at once.
const AT_ONCE: i64 = 5_000;

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
    let mut list = List::under(&[
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
    ])?;
    let whose = match (club, member.0.angler) {
        (true, _) => Some(Whose::Club),
        (false, Some(angler)) => Some(Whose::Angler(angler)),
        (false, None) => None,
    };
    if let Some(whose) = whose {
        let mut reading = site.db.read().await?;
        let last = listing::last(&mut reading).await?;
        let mut after = 0;
        while after < last {
            for row in listing::between(&mut reading, whose, (after, after + AT_ONCE)).await? {
                list.row(&cells(row))?;
            }
            after += AT_ONCE;
        }
    }
    list.file(if club {
        "sessions.csv"
    } else {
        "my-sessions.csv"
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
        row.effort_source,
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
