//! The result as posted: overall, by section, what was corrected, and the postings before.

use std::collections::BTreeMap;

use askama::Template;
use axum::{
    extract::{Path, Query, State},
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    Naming, changed_since_posting,
    corrections::{self, Corrected},
    found,
    laid::{Laid, SortBy},
};
use crate::{
    actions::publish_results::figures,
    domain::{
        dates::Day,
        ids::EntryId,
        matches::{DAYS_TO_OBJECT, Figures, MatchState, entry::NotReady},
        names::FORMER_MEMBER,
    },
    statistics::wording,
    store::{
        imports::records::{self, Lacking},
        matches::{
            Match,
            entries::{self, Entry},
            publications::{self, Publication},
            weights::{self, Net},
        },
    },
    web::{
        errors::PageError,
        filters,
        links::go,
        page::{Frame, Section, page},
        people::Visitor,
        state::Site,
    },
};

#[derive(Deserialize)]
pub struct Asked {
    posting: Option<String>,
    #[serde(default)]
    sort: String,
    #[serde(default)]
    order: String,
}

#[derive(Template)]
#[template(path = "matches/result.html")]
struct ResultPage {
    frame: Frame,
    the_match: Match,
    title: String,
    /// Where and when, as posted.
    venue: String,
    on: Day,
    /// An objection may still be heard.
    open: bool,
    /// The record no longer says what stands posted; officers are told.
    unposted: bool,
    /// The day on which the old sheet was brought in that it is of; empty of a match made here.
    brought_in: String,
    /// That rows of that sheet are not in it, under a heading.
    lacks: Option<(&'static str, String)>,
    /// One for a visitor; for all others one for the screen and one for paper.
    views: Vec<View>,
    postings: Vec<Publication>,
    /// The number of the posting shown; 0 where the result came in from an old sheet.
    ord: i64,
}

/// The result with names as one kind of reader sees them. A printed page is pinned to a notice board,
/// so on paper stands what visitors see, whoever prints it.
struct View {
    /// Where it is shown, as a class: everywhere, on the screen, on paper.
    class: &'static str,
    /// Goes before the identifiers of its headings, which a page has once each.
    ids: &'static str,
    laid: Laid,
    corrections: Vec<Corrected>,
}

impl ResultPage {
    fn address(&self, page: &str) -> String {
        self.frame
            .url(&format!("/matches/{}{page}", self.the_match.id))
    }

    fn is_final(&self) -> bool {
        self.the_match.state == MatchState::Final
    }

    fn posted(&self, posting: &Publication) -> String {
        posting.at.in_words(&self.the_match.zone())
    }

    fn is_newest(&self) -> bool {
        self.postings
            .first()
            .is_none_or(|newest| newest.ord == self.ord)
    }

    /// The file of the posting that is shown.
    fn file_link(&self) -> String {
        match self.is_newest() {
            true => self.address("/result.csv"),
            false => self.address(&format!("/result.csv?posting={}", self.ord)),
        }
    }

    fn posting_link(&self, posting: &Publication) -> String {
        self.address(&format!("/result?posting={}", posting.ord))
    }
}

/// Of whom a correction is: as the result names everybody, else as the reader sees names.
pub(super) fn named(
    id: EntryId,
    names: &BTreeMap<EntryId, String>,
    entered: &[Entry],
    naming: Naming,
) -> String {
    let entry = || entered.iter().find(|entry| entry.id == id);
    match names.get(&id) {
        Some(name) => name.clone(),
        None => entry().map_or_else(
            || FORMER_MEMBER.to_owned(),
            |entry| naming.show(entry, None),
        ),
    }
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Path(id): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let the_match = found(&site, &id).await?;
    if !the_match.state.is_posted() {
        return Ok(go(&site, &format!("/matches/{}", the_match.id)).into_response());
    }
    let naming = Naming::of(&site, &visitor).await?;
    let posted = Posted::of(&site, &the_match, asked.posting.as_deref()).await?;
    let frame = Frame::new(&site, &visitor, Section::Matches).await?;
    let unposted = frame.is_officer() && changed_since_posting(&site, &the_match).await?;
    let sort = (SortBy::parse(&asked.sort), asked.order == "down");
    let posting = match &asked.posting {
        Some(ord) => format!("posting={}&", crate::web::links::escaped(ord)),
        None => String::new(),
    };
    let heading = |by: &str, falling: bool| {
        let order = if falling { "down" } else { "up" };
        frame.url(&format!(
            "/matches/{}/result?{posting}sort={by}&order={order}",
            the_match.id
        ))
    };
    let on = posted.figures.on;
    let today = site.now().day(&the_match.zone());
    let mut reading = site.db.read().await?;
    let all = publications::corrections(&mut reading, the_match.id).await?;
    let brought_in = records::brought_in(&mut reading, the_match.id).await?;
    let lacking = records::lacking(&mut reading, the_match.id).await?;
    drop(reading);
    let view = |naming: Naming, class: &'static str, ids: &'static str| {
        let names = naming.of_result(&posted.figures, &posted.entered);
        View {
            class,
            ids,
            laid: Laid::out(&posted.figures, &posted.entered, naming)
                .sorted(sort.0, sort.1)
                .with_headings(sort, heading),
            corrections: corrections::told(
                &all,
                &the_match.zone(),
                |entry| named(entry, &names, &posted.entered, naming),
                |name| naming.account(name),
            ),
        }
    };
    let views = match visitor.who {
        None => vec![view(naming, "", "")],
        Some(_) => vec![
            view(naming, "on-screen", ""),
            view(naming.for_everybody(), "on-paper", "paper-"),
        ],
    };
    page(ResultPage {
        frame,
        title: posted.figures.title.clone(),
        venue: posted.figures.venue.clone(),
        on,
        unposted,
        open: today.days_since(on) <= DAYS_TO_OBJECT,
        brought_in: brought_in
            .map(|at| at.day(&the_match.zone()).long())
            .unwrap_or_default(),
        lacks: lacks(lacking, posted.ord),
        views,
        ord: posted.ord,
        the_match,
        postings: posted.postings,
    })
}

/// A posting of a match, and what is around it.
pub(in crate::web) struct Posted {
    pub figures: Figures,
    /// Its number; 0 where the result came in from an old sheet.
    pub ord: i64,
    postings: Vec<Publication>,
    /// All that any posting may name, those who withdrew since among them.
    pub entered: Vec<Entry>,
}

impl Posted {
    /// The posting asked for, or the newest.
    pub async fn of(
        site: &Site,
        the_match: &Match,
        asked: Option<&str>,
    ) -> Result<Self, PageError> {
        let mut reading = site.db.read().await?;
        let entered = entries::ever_of_match(&mut reading, the_match.id).await?;
        let postings = publications::of_match(&mut reading, the_match.id).await?;
        let wanted = match asked {
            None => postings.first(),
            Some(text) => {
                let posting = postings.iter().find(|p| p.ord.to_string() == text);
                Some(posting.ok_or(PageError::NotFound)?)
            }
        };
        let figures = match wanted {
            Some(posting) => Figures::thaw(&posting.figures_json)
                .map_err(|e| PageError::Fault(format!("frozen figures: {e}")))?,
            None => {
                let booked = entries::of_match(&mut reading, the_match.id).await?;
                let nets = weights::of_match(&mut reading, the_match.id).await?;
                as_on_record(the_match, &booked, &nets)?
            }
        };
        Ok(Self {
            figures,
            ord: wanted.map_or(0, |posting| posting.ord),
            entered,
            postings,
        })
    }

    /// The match as it is posted. Where and when to meet is never posted, so it is left out.
    pub(super) fn head(&self, mut the_match: Match) -> Match {
        let figures = &self.figures;
        the_match.name = figures.title.clone();
        the_match.on = figures.on;
        (the_match.start, the_match.finish) = (figures.start, figures.finish);
        the_match.pegs_allotted = figures.pegs_allotted;
        (the_match.meet, the_match.meet_place) = (None, None);
        the_match
    }
}

/// A result that came in from an old sheet was never posted here: it is worked out from the record.
fn as_on_record(the_match: &Match, entered: &[Entry], nets: &[Net]) -> Result<Figures, PageError> {
    let ready: Vec<Entry> = entered
        .iter()
        .filter(|entry| {
            let weighed = nets
                .iter()
                .any(|n| n.entry == entry.id && n.weight.is_some());
            NotReady::check(entry.outcome, weighed).is_none()
        })
        .cloned()
        .collect();
    figures(the_match, &ready, nets).map_err(|why| PageError::Fault(why.join(" ")))
}

/// `Three rows of the sheet could not be read and are not in this result.` A later posting may have
/// had them added.
fn lacks(lacking: Lacking, ord: i64) -> Option<(&'static str, String)> {
    let counted = |rows| wording::count(rows, "row", "rows");
    let of = |rows, rest: String| {
        let words = format!("{} of the sheet {rest}", counted(rows));
        wording::sentence(&words)
    };
    let (rows, mut sentences) = (lacking.rows, Vec::new());
    if rows > 0 {
        let why = match (rows == lacking.not_read, rows) {
            (true, _) => "could not be read",
            (false, 1) => "was left out",
            (false, _) => "were left out",
        };
        let ends = match (ord > 1, rows) {
            (true, 1) => "was not in the first posting",
            (true, _) => "were not in the first posting",
            (false, 1) => "is not in this result",
            (false, _) => "are not in this result",
        };
        sentences.push(of(rows, format!("{why} and {ends}")));
    }
    if lacking.perhaps > 0 {
        let rest = "could not be read and may be of this match or of another";
        sentences.push(of(lacking.perhaps, rest.to_owned()));
    }
    let heading = match rows {
        0 => "Rows may be lacking.",
        _ => "Rows are lacking.",
    };
    (!sentences.is_empty()).then(|| (heading, sentences.join(" ")))
}
