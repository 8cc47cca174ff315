//! One water: what is on record, its pegs by bank as one walks them, its diary, its rules.

use askama::Template;
use axum::{
    extract::{Path, State},
    response::Response,
};

use super::the_venue;
use crate::{
    domain::{
        dates::Day,
        pegs::{Closure, Peg},
        venues::{Bank, Venue},
        weather::compass::Compass,
    },
    store::venues::{
        self, OnRecord,
        diary::{self, DiaryLine},
    },
    web::{
        errors::PageError,
        page::{Frame, Section, page},
        people::Visitor,
        state::Site,
    },
};

/// Diary entries the page shows before it leads to the whole.
const DIARY_LINES: i64 = 5;

/// A bank with its pegs in use.
struct BankWalk {
    name: String,
    facing: Option<&'static str>,
    pegs: Vec<Peg>,
}

impl BankWalk {
    fn of(bank: Bank, pegs: &[Peg], today: Day) -> Option<Self> {
        let pegs: Vec<_> = pegs
            .iter()
            .filter(|peg| peg.bank == bank.id && peg.existed_on(today))
            .cloned()
            .collect();
        (!pegs.is_empty()).then(|| Self {
            name: bank.name,
            facing: bank.facing_deg.map(|d| Compass::of(d).name()),
            pegs,
        })
    }
}

#[derive(Template)]
#[template(path = "venues/venue.html")]
struct VenuePage {
    frame: Frame,
    venue: Venue,
    today: Day,
    banks: Vec<BankWalk>,
    on_record: OnRecord,
    diary: Vec<DiaryLine>,
}

impl VenuePage {
    fn peg_count(&self) -> usize {
        self.banks.iter().map(|bank| bank.pegs.len()).sum()
    }

    /// What is on record, in one sentence.
    fn known(&self) -> String {
        let many = |n: i64, one: &str| {
            if n == 1 {
                format!("1 {one}")
            } else {
                format!("{n} {one}s")
            }
        };
        match (self.on_record.first, self.on_record.latest) {
            (Some(first), Some(latest)) => format!(
                "{} and {} are on record here, the first on {}, the latest on {}.",
                many(self.on_record.match_days, "match day"),
                many(self.on_record.sessions, "session"),
                first.short(),
                latest.short()
            ),
            _ => "Nothing is on record here yet: the first match or report begins it.".to_owned(),
        }
    }

    fn closed(&self) -> Vec<(String, String)> {
        let pegs = self.banks.iter().flat_map(|bank| &bank.pegs);
        pegs.filter_map(|peg| {
            peg.closed_on(self.today)
                .map(|closure| (peg.number.clone(), closure.words()))
        })
        .collect()
    }

    fn closed_today<'a>(&self, peg: &'a Peg) -> Option<&'a Closure> {
        peg.closed_on(self.today)
    }

    fn in_close_season(&self) -> bool {
        self.venue
            .close_season
            .is_some_and(|season| season.includes(self.today))
    }
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Path(venue): Path<String>,
) -> Result<Response, PageError> {
    let venue = the_venue(&site, &venue).await?;
    let frame = Frame::new(&site, &visitor, Section::Venues).await?;
    let today = site.now().day(&venue.zone);
    let mut reading = site.db.read().await?;
    let pegs = venues::pegs(&mut reading, venue.id).await?;
    let banks = venues::banks(&mut reading, venue.id)
        .await?
        .into_iter()
        .filter_map(|bank| BankWalk::of(bank, &pegs, today))
        .collect();
    page(VenuePage {
        on_record: venues::on_record(&mut reading, venue.id).await?,
        diary: diary::of_venue(&mut reading, venue.id, DIARY_LINES).await?,
        frame,
        venue,
        today,
        banks,
    })
}
