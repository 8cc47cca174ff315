//! One peg by its number: what stands on record there. Published matches are open; reports are
//! added up, and only with three anglers behind them; one's own are always one's own to see.

use askama::Template;
use axum::{
    extract::{Path, State},
    response::Response,
};

use super::the_venue;
use crate::{
    domain::{
        dates::Day,
        names::{Name, NamesOpen, Reader, shown},
        pegs::{Closure, Peg, neighbours},
        units::{Scale, Weight},
        venues::{Bank, Venue},
    },
    store::{
        settings,
        venues::{self, PegReports, PegSession},
    },
    web::{
        errors::PageError,
        page::{Frame, Section, page},
        people::Visitor,
        state::Site,
    },
};

/// Anglers that must stand behind any figure made of reports.
const ANGLERS_BEHIND_REPORTS: i64 = 3;
/// Grams in a dram.
const DRAM_G: f64 = 1.771_845_195_312_5;

/// A session as its row shows it.
struct Line {
    day: Day,
    what: String,
    who: String,
    groups: String,
    fish: String,
    weight: String,
    hours: String,
}

impl Line {
    fn of(
        session: PegSession,
        venue: &Venue,
        number: &str,
        reader: Reader,
        open: NamesOpen,
    ) -> Self {
        let own = session.series == "report";
        let name = session
            .given
            .map(|given| Name::from_label(given, session.surname));
        Self {
            day: session.day,
            what: session
                .match_name
                .unwrap_or_else(|| "Your own report".to_owned()),
            who: if own {
                "You".to_owned()
            } else {
                shown(
                    name.as_ref(),
                    session.was_junior,
                    reader,
                    open,
                    Some(number),
                )
            },
            groups: session.groups.to_string(),
            fish: session.fish.map(|n| n.to_string()).unwrap_or_default(),
            weight: match (session.did_not_weigh, session.weight_g) {
                (true, _) => "Did not weigh".to_owned(),
                (false, Some(grams)) => weight_words(grams, venue.weighs_in),
                (false, None) => String::new(),
            },
            hours: session
                .rod_hours
                .map(|h| format!("{h:.1}"))
                .unwrap_or_default(),
        }
    }
}

/// Grams from the record in the unit of the water's own scales.
fn weight_words(grams: f64, scale: Scale) -> String {
    let amount = match scale {
        Scale::Grams => grams,
        Scale::Drams => grams / DRAM_G,
    };
    match Weight::new(amount.round() as i64, scale) {
        Some(weight) if weight.is_nothing() => "Blank".to_owned(),
        Some(weight) => weight.words(),
        None => String::new(),
    }
}

#[derive(Template)]
#[template(path = "venues/peg.html")]
struct PegPage {
    frame: Frame,
    venue: Venue,
    peg: Peg,
    bank: Bank,
    today: Day,
    before: Option<String>,
    after: Option<String>,
    sessions: Vec<Line>,
    reports: PegReports,
}

impl PegPage {
    fn closure(&self) -> Option<&Closure> {
        self.peg.closed_on(self.today)
    }

    fn known(&self) -> String {
        match self.sessions.len() {
            0 => "No match is on record from this peg yet.".to_owned(),
            1 => "1 session is on record below.".to_owned(),
            n => format!("{n} sessions are on record below, the latest first."),
        }
    }

    /// The club's reports, where enough anglers stand behind them and the reader is of the club.
    fn reports_words(&self) -> String {
        if !self.frame.is_signed_in() {
            return "Members’ reports are shown to members.".to_owned();
        }
        if self.reports.anglers < ANGLERS_BEHIND_REPORTS {
            return "Fewer than three anglers have shared reports of this peg with the club, so nothing is shown of them.".to_owned();
        }
        let hours = self
            .reports
            .rod_hours
            .map(|h| format!(", {h:.1} rod-hours"))
            .unwrap_or_default();
        format!(
            "{} reports by {} anglers{hours}, shared with the club. They are volunteered and favour good days, so they stand apart from matches.",
            self.reports.sessions, self.reports.anglers
        )
    }
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Path((venue, number)): Path<(String, String)>,
) -> Result<Response, PageError> {
    let venue = the_venue(&site, &venue).await?;
    let frame = Frame::new(&site, &visitor, Section::Venues).await?;
    let today = site.now().day(&venue.zone);
    let number = number.to_uppercase();
    let mut reading = site.db.read().await?;
    let pegs = venues::pegs(&mut reading, venue.id).await?;
    // The peg in use stands before one that bore the number earlier.
    let of_number = pegs.iter().filter(|peg| peg.number == number);
    let peg = of_number
        .max_by_key(|peg| (peg.valid_to.is_none(), peg.valid_from))
        .cloned()
        .ok_or(PageError::NotFound)?;
    let bank = venues::banks(&mut reading, venue.id)
        .await?
        .into_iter()
        .find(|bank| bank.id == peg.bank)
        .ok_or(PageError::NotFound)?;
    let open = settings::get(&mut reading, "names_open")
        .await?
        .and_then(|word| NamesOpen::parse(&word))
        .unwrap_or_default();
    let own = visitor.0.as_ref().and_then(|who| who.angler);
    let reader = match (visitor.is_officer(), visitor.0.is_some()) {
        (true, _) => Reader::Officer,
        (false, true) => Reader::Member,
        (false, false) => Reader::Visitor,
    };
    let sessions = venues::peg_sessions(&mut reading, venue.id, &number, own).await?;
    let (before, after) = neighbours(&pegs, peg.id, today);
    page(PegPage {
        before: before.map(|peg| peg.number.clone()),
        after: after.map(|peg| peg.number.clone()),
        sessions: sessions
            .into_iter()
            .map(|one| Line::of(one, &venue, &number, reader, open))
            .collect(),
        reports: venues::peg_reports(&mut reading, venue.id, &number).await?,
        frame,
        venue,
        peg,
        bank,
        today,
    })
}
