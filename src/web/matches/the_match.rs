//! One match: when, where, who is on which peg, and where it stands.

use askama::Template;
use axum::{
    extract::{Path, State},
    response::Response,
};

use super::{Naming, changed_since_posting, found};
use crate::{
    domain::{dates::Day, groups::GroupSet, matches::MatchState, venues::Venue},
    store::{
        matches::{self, Match, entries},
        venues,
    },
    web::{
        errors::PageError,
        figures,
        page::{Frame, Section, page},
        people::Visitor,
        state::Site,
    },
};

mod acts; // what can be done with it, the next thing first
mod ahead; // what can be asked before it

use ahead::Ahead;

pub(super) struct Row {
    pub peg: String,
    pub name: String,
    pub section: String,
    pub team: String,
    pub outcome: String,
    /// The reader's own entry.
    pub own: bool,
}

#[derive(Template)]
#[template(path = "matches/the_match.html")]
struct MatchPage {
    frame: Frame,
    the_match: Match,
    ahead: Option<Ahead>,
    kinds: Vec<GroupSet>,
    rows: Vec<Row>,
    venue: Option<Venue>,
    /// The posted result is the old one; officers are told.
    unposted: bool,
    today: Day,
}

impl MatchPage {
    fn when(&self) -> String {
        let zone = self.the_match.zone();
        let clock = |at: crate::domain::dates::Instant| at.clock(&zone);
        let mut words = self.the_match.on.long();
        if let Some(place) = &self.the_match.meet_place {
            words += &format!(". Meet at {place}");
        }
        if let Some(meet) = self.the_match.meet {
            words += &format!(", {}", clock(meet));
        }
        if let Some((start, finish)) = self.the_match.start.zip(self.the_match.finish) {
            words += &format!(". Fishing from {} to {}", clock(start), clock(finish));
        }
        words
    }

    fn is_off(&self) -> bool {
        self.the_match.state == MatchState::Abandoned
    }

    /// Where it stands, in people's words.
    fn stands(&self) -> &'static str {
        match self.the_match.state {
            MatchState::Planned => "Planned: nothing posted yet",
            MatchState::Fished => "Fished: nothing posted yet",
            MatchState::Published => "The result is posted, as provisional",
            MatchState::Final => "The result is final",
            MatchState::Abandoned => "Called off",
            MatchState::Void => "Declared void",
            MatchState::Postponed => "Put off to another day",
        }
    }

    fn counted(&self) -> String {
        let kinds: Vec<String> = self.kinds.iter().map(ToString::to_string).collect();
        kinds.join("; ")
    }

    fn address(&self, page: &str) -> String {
        self.frame
            .url(&format!("/matches/{}{page}", self.the_match.id))
    }

    /// Some pegs are drawn.
    fn drawn(&self) -> bool {
        self.rows.iter().any(|row| !row.peg.is_empty())
    }

    /// What came of some is written down.
    fn told(&self) -> bool {
        self.rows.iter().any(|row| !row.outcome.is_empty())
    }
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Path(id): Path<String>,
) -> Result<Response, PageError> {
    let the_match = found(&site, &id).await?;
    let naming = Naming::of(&site, &visitor).await?;
    let frame = Frame::new(&site, &visitor, Section::Matches).await?;
    let unposted = frame.is_officer() && changed_since_posting(&site, &the_match).await?;
    let mut reading = site.db.read().await?;
    let mut entered = entries::of_match(&mut reading, the_match.id).await?;
    entered.sort_by(|a, b| match (&a.peg_number, &b.peg_number) {
        (Some(a), Some(b)) => crate::domain::pegs::by_number(a, b),
        (a, b) => b.is_some().cmp(&a.is_some()),
    });
    let reader = visitor.0.as_ref().and_then(|who| who.angler);
    let own = entered.iter().find(|entry| Some(entry.angler) == reader);
    let today = site.now().day(&the_match.zone());
    let mut the_match = the_match;
    the_match.name = figures::unbroken(&the_match.name);
    let ahead = Ahead::of(
        &the_match,
        today,
        own.and_then(|entry| entry.peg_number.as_deref()),
    );
    let rows = entered
        .iter()
        .map(|entry| Row {
            peg: entry.peg_number.clone().unwrap_or_default(),
            name: naming.show(entry),
            section: entry.section_name.clone().unwrap_or_default(),
            team: entry.team_name.clone().unwrap_or_default(),
            outcome: entry.outcome.map(|o| o.to_string()).unwrap_or_default(),
            own: Some(entry.angler) == reader,
        })
        .collect();
    page(MatchPage {
        frame,
        unposted,
        today,
        kinds: matches::net_kinds(&mut reading, the_match.id).await?,
        venue: venues::by_id(&mut reading, the_match.venue).await?,
        the_match,
        rows,
        ahead,
    })
}
