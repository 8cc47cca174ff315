//! One match: when, where, who is on which peg, and where it stands. Once a result is posted all but
//! officers see the match as it is posted.

use askama::Template;
use axum::{
    extract::{Path, State},
    response::Response,
};

use super::{Naming, changed_since_posting, found, result::Posted};
use crate::{
    domain::{
        dates::Day,
        groups::GroupSet,
        ids::AnglerId,
        matches::{MatchState, section_words},
        names::Reader,
        pegs::by_number,
        venues::Venue,
    },
    store::{
        imports::records,
        matches::{
            self, Match,
            entries::{self, Entry},
        },
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
    /// Said to officers, who see full names; all others see that of a junior shortened.
    pub junior: bool,
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
    /// How many are entered.
    entered: usize,
    /// Who they are is not for this reader: a visitor, before the result is posted.
    unnamed: bool,
    /// The result, once there is one, will show visitors who they are.
    opens: bool,
    venue: Option<Venue>,
    /// The posted result is the old one; officers are told.
    unposted: bool,
    today: Day,
    /// It is of an old sheet that was brought in.
    of_a_sheet: bool,
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
            MatchState::Published if self.of_a_sheet => {
                "The result stands as the club’s old sheet has it"
            }
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

    /// Some pegs are drawn, and say more than stands for the name already.
    fn drawn(&self) -> bool {
        self.rows
            .iter()
            .any(|row| !row.peg.is_empty() && row.name != format!("Peg {}", row.peg))
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
    let posted = match the_match.state.is_posted() && !frame.is_officer() {
        true => Some(Posted::of(&site, &the_match, None).await?),
        false => None,
    };
    let unnamed = visitor.who.is_none() && !the_match.state.is_posted();
    let to_come = matches!(
        the_match.state,
        MatchState::Planned | MatchState::Fished | MatchState::Postponed
    );
    let opens = to_come && naming.opens_results();
    let reader = visitor.who.as_ref().and_then(|who| who.angler);
    let mut reading = site.db.read().await?;
    let (mut the_match, mut rows) = match posted {
        Some(posted) => {
            let rows = as_posted(&posted, naming, reader);
            (posted.head(the_match), rows)
        }
        None => {
            let entered = entries::of_match(&mut reading, the_match.id).await?;
            (the_match, as_it_stands(&entered, naming, reader))
        }
    };
    rows.sort_by(|a, b| match (a.peg.as_str(), b.peg.as_str()) {
        ("", _) | (_, "") => a.peg.is_empty().cmp(&b.peg.is_empty()),
        (a, b) => by_number(a, b),
    });
    let entered = rows.len();
    if unnamed {
        rows.clear();
    }
    let own = rows.iter().find(|row| row.own && !row.peg.is_empty());
    let today = site.now().day(&the_match.zone());
    the_match.name = figures::unbroken(&the_match.name);
    let ahead = Ahead::of(&the_match, today, own.map(|row| row.peg.as_str()));
    page(MatchPage {
        frame,
        unposted,
        entered,
        unnamed,
        opens,
        today,
        kinds: matches::net_kinds(&mut reading, the_match.id).await?,
        venue: venues::by_id(&mut reading, the_match.venue).await?,
        of_a_sheet: records::brought_in(&mut reading, the_match.id)
            .await?
            .is_some(),
        the_match,
        rows,
        ahead,
    })
}

/// Who is entered, as the record has it now.
fn as_it_stands(entered: &[Entry], naming: Naming, reader: Option<AnglerId>) -> Vec<Row> {
    entered
        .iter()
        .map(|entry| Row {
            peg: entry.peg_number.clone().unwrap_or_default(),
            name: naming.show(entry, entry.peg_number.as_deref()),
            section: entry
                .section_name
                .as_deref()
                .map(section_words)
                .unwrap_or_default(),
            team: entry.team_name.clone().unwrap_or_default(),
            outcome: entry.outcome.map(|o| o.to_string()).unwrap_or_default(),
            junior: entry.was_junior && naming.reader == Reader::Officer,
            own: Some(entry.angler) == reader,
        })
        .collect()
}

/// Who stands posted.
fn as_posted(posted: &Posted, naming: Naming, reader: Option<AnglerId>) -> Vec<Row> {
    let names = naming.of_result(&posted.figures, &posted.entered);
    posted
        .figures
        .lines
        .iter()
        .map(|line| {
            let entry = posted.entered.iter().find(|entry| entry.id == line.entry);
            Row {
                peg: line.peg.clone().unwrap_or_default(),
                name: names.get(&line.entry).cloned().unwrap_or_default(),
                section: line.section.clone().unwrap_or_default(),
                team: line.team.clone().unwrap_or_default(),
                outcome: line.outcome.to_string(),
                junior: false,
                own: entry.is_some_and(|entry| Some(entry.angler) == reader),
            }
        })
        .collect()
}
