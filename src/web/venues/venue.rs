//! One water: today's run-up and how boldly to begin, what its pegs add, how it fishes, what is
//! on and what was won there, its diary, its rules.

use askama::Template;
use axum::{
    extract::{Path, State},
    response::Response,
};

use super::{
    like_days::{days_file, own_days},
    record::in_short,
    reeds, the_venue,
    today::WaterToday,
};
use crate::{
    domain::{
        cautions::{Called, DEFERS},
        close_season::{Shut, close_season},
        customs::{self, Reason},
        dates::Day,
        ids::BankId,
        pegs::{Closure, Peg, closed_together, peg_words},
        venues::{Bank, Venue},
        weather::compass::Compass,
    },
    statistics::{fished_days::Series, peg_effects, rates, series_study, wording},
    store::{
        statistics::{
            entries::{self, Coming, Posted},
            studies::Kept,
        },
        venues::diary::{self, DiaryLine},
    },
    web::{
        answers::VenueRecord,
        errors::PageError,
        figures::weights_held,
        page::{Frame, Section, page},
        people::Visitor,
        pictures::{ReedLine, RunUpStrip},
        state::Site,
        strips,
    },
};

/// Diary entries the page shows before it leads to the whole.
const DIARY_LINES: i64 = 5;
/// Results, and matches to come.
const RESULTS: i64 = 6;
const COMING: i64 = 3;

/// A bank with its pegs in use.
struct BankWalk {
    id: BankId,
    name: String,
    facing: Option<&'static str>,
    pegs: Vec<Peg>,
}

impl BankWalk {
    fn of(bank: &Bank, pegs: &[Peg], today: Day) -> Option<Self> {
        let pegs: Vec<_> = pegs
            .iter()
            .filter(|peg| peg.bank == bank.id && peg.existed_on(today))
            .cloned()
            .collect();
        (!pegs.is_empty()).then(|| Self {
            id: bank.id,
            name: bank.name.clone(),
            facing: bank.facing_deg.map(|d| Compass::of(d).name()),
            pegs,
        })
    }
}

/// A custom that holds today, and what the water's own matches say of such days.
struct Held {
    words: String,
    own_days: String,
}

impl Held {
    fn of(reason: &Reason, kept: Option<&Kept>) -> Self {
        let own_days = kept.and_then(|kept| own_days(kept, reason.rule));
        Self {
            words: format!(
                "For beginning {}: {}",
                reason.rule.approach.word(),
                reason.rule.words
            ),
            own_days: own_days.unwrap_or_else(|| {
                "Matches: nothing has been worked out of such days yet.".to_owned()
            }),
        }
    }
}

#[derive(Template)]
#[template(path = "venues/venue.html")]
struct VenuePage {
    frame: Frame,
    venue: Venue,
    today: Day,
    banks: Vec<BankWalk>,
    record: std::sync::Arc<VenueRecord>,
    short: Option<String>,
    pegs_found: String,
    found: reeds::Found,
    reeds: Vec<(BankId, ReedLine)>,
    water: WaterToday,
    held: Vec<Held>,
    /// The days behind what the water's own matches say; empty where there is no file yet.
    days_file: String,
    strip: RunUpStrip,
    shut: Shut,
    coming: Vec<Coming>,
    results: Vec<Posted>,
    diary: Vec<DiaryLine>,
}

impl VenuePage {
    fn peg_count(&self) -> usize {
        self.banks.iter().map(|bank| bank.pegs.len()).sum()
    }

    /// What is on record, in one sentence.
    fn known(&self) -> String {
        let member = self.frame.is_signed_in();
        let on_record = match member {
            true => &self.record.with_reports,
            false => &self.record.on_record,
        };
        match (on_record.first, on_record.latest) {
            (Some(first), Some(latest)) => {
                let days = wording::count(on_record.match_days, "match day", "match days");
                let sessions = wording::count(on_record.sessions, "session", "sessions");
                wording::sentence(&format!(
                    "{days} and {sessions} are on record here, the first on {}, the latest on {}",
                    first.short(),
                    latest.short()
                ))
            }
            _ if member => {
                "Nothing can be told of it yet: the first match, or reports of three anglers, begin it."
                    .to_owned()
            }
            _ => "No match is on record here yet.".to_owned(),
        }
    }

    /// `Pegs 12 to 16 and 20.`, and on what days and why: pegs closed alike are said together.
    fn closed(&self) -> Vec<(String, String)> {
        let pegs = self.banks.iter().flat_map(|bank| &bank.pegs);
        let closed = pegs.filter_map(|peg| Some((&*peg.number, peg.closed_on(self.today)?)));
        closed_together(closed)
            .into_iter()
            .map(|(closure, pegs)| (wording::sentence(&peg_words(pegs)), closure.words()))
            .collect()
    }

    fn closed_today<'a>(&self, peg: &'a Peg) -> Option<&'a Closure> {
        peg.closed_on(self.today)
    }

    fn reed_line(&self, bank: &BankWalk) -> Option<&ReedLine> {
        let found = self.reeds.iter().find(|(id, _)| *id == bank.id);
        found.map(|(_, line)| line)
    }

    fn caution_title(&self, called: &Called, because: &str) -> String {
        format!("{}: {because}", called.caution.heading)
    }

    fn defers(&self) -> &'static str {
        DEFERS
    }

    fn customs_formula(&self) -> &'static str {
        series_study::CUSTOMS_FORMULA
    }

    fn customs_csv(&self) -> &str {
        &self.days_file
    }

    fn customs_source(&self) -> &'static str {
        customs::SOURCE
    }

    /// What won was weighed, so it stands as in its result, whatever a reader chose.
    fn won_with(&self, posted: &Posted) -> String {
        let fished = wording::count(
            usize::try_from(posted.fished).unwrap_or(0),
            "angler",
            "anglers",
        );
        match posted.won() {
            Some(won) => format!("{fished}, won with {}", weights_held(&won.words())),
            None => format!("{fished}, nothing weighed"),
        }
    }

    fn rate_formula(&self) -> &'static str {
        rates::FORMULA
    }

    fn rate_source(&self) -> &'static str {
        rates::SOURCE
    }

    fn formula(&self) -> &'static str {
        peg_effects::FORMULA
    }

    fn source(&self) -> &'static str {
        peg_effects::SOURCE
    }

    fn address(&self, page: &str) -> String {
        self.frame.url(&format!("/venues/{}{page}", self.venue.id))
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
    let marks = site.answers.marks(&site, venue.id).await?;
    let study = site.answers.study(&site, venue.id, &marks).await?;
    let mut reading = site.db.read().await?;
    let weather = site.db.weather().of(&mut reading, venue.id).await?;
    let coming = entries::coming(&mut reading, Some(venue.id), today, COMING).await?;
    let results = entries::latest_results(&mut reading, Some(venue.id), RESULTS).await?;
    let diary = diary::of_venue(&mut reading, venue.id, DIARY_LINES).await?;
    drop(reading);
    let layout = site.answers.layout(&site, venue.id, marks.water).await?;
    let (banks, pegs) = (&layout.banks, &layout.pegs);
    let scale = frame.units.scale(venue.weighs_in);
    let record = (site.answers)
        .record(&site, venue.id, scale, marks.water)
        .await?;
    let matches = record.figures.iter().any(|one| one.series == Series::Match);
    let found = reeds::Found::of((*study).as_ref(), matches, &venue);
    let address = |number: &str| frame.url(&format!("/venues/{}/pegs/{number}", venue.id));
    let water = WaterToday::of(&weather, today, banks, frame.units.wind);
    // One bank has a way of looking; several have not.
    let facing = match &banks[..] {
        [only] => only.facing_deg,
        _ => None,
    };
    let studied = (*study).as_ref().filter(|kept| kept.study.is_some());
    page(VenuePage {
        held: (water.advice.reasons.iter())
            .map(|reason| Held::of(reason, studied))
            .collect(),
        days_file: studied.map_or_else(String::new, |kept| days_file(&frame, venue.id, kept)),
        reeds: reeds::lines(banks, pegs, &found, today, &address),
        pegs_found: reeds::of_water(pegs, &found, today),
        found,
        strip: strips::large("run-up", &weather, today, facing, frame.units.wind),
        banks: banks
            .iter()
            .filter_map(|bank| BankWalk::of(bank, pegs, today))
            .collect(),
        short: in_short(&record.figures),
        shut: close_season(venue.kind, venue.close_season, today),
        record,
        water,
        coming,
        results,
        diary,
        frame,
        venue,
        today,
    })
}
