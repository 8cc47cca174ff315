//! The front page: what is on, the latest results, and the run-up to today at each water.

use askama::Template;
use axum::{extract::State, response::Response};

use super::{
    errors::PageError,
    figures::weights_held,
    filters,
    page::{Frame, Section, page},
    people::Visitor,
    pictures::{RunUpScale, SmallRunUpStrip},
    state::Site,
    strips,
};
use crate::{
    domain::{
        customs::{Advice, advise},
        dates::{Day, Zone},
        ids::VenueId,
        units::Speed,
    },
    statistics::{run_up_words, wording},
    store::{
        settings::{self, Begun},
        statistics::{
            entries::{self, Coming, Posted},
            run_up::WeatherRecord,
        },
        weather,
    },
    web::weather::window,
};

/// Matches to come, and results.
const LINES: i64 = 6;

/// One water today.
struct WaterLine {
    id: VenueId,
    name: String,
    /// Absent where none of the days before is written down.
    strip: Option<SmallRunUpStrip>,
    words: String,
    /// `By custom, begin carefully: …`; empty without any weather.
    approach: String,
}

#[derive(Template)]
#[template(path = "home.html")]
struct HomePage {
    frame: Frame,
    /// Has anybody given the club a name?
    named: bool,
    /// How far a new club has come, for officers.
    begun: Option<Begun>,
    waters: Vec<WaterLine>,
    coming: Vec<Coming>,
    results: Vec<Posted>,
}

impl HomePage {
    /// The first step of a new club, for whoever may take it.
    fn is_to_be_named(&self) -> bool {
        !self.named && self.frame.is_administrator()
    }

    /// Stands until there is a water, a second person, and a first match or report.
    fn first_steps(&self) -> Option<Begun> {
        self.begun
            .filter(|begun| self.waters.is_empty() || !begun.people || !begun.records)
    }

    /// What won was weighed, so it stands as in its result, whatever a reader chose.
    fn won_with(&self, posted: &Posted) -> String {
        let fished = usize::try_from(posted.fished).unwrap_or(0);
        let fished = wording::count(fished, "angler", "anglers");
        match posted.won() {
            Some(won) => format!("{fished}, won with {}", weights_held(&won.words())),
            None => format!("{fished}, nothing weighed"),
        }
    }

    fn has_variable_wind(&self) -> bool {
        let mut strips = self.waters.iter().filter_map(|water| water.strip.as_ref());
        strips.any(SmallRunUpStrip::has_variable_wind)
    }

    fn has_unwritten_direction(&self) -> bool {
        let mut strips = self.waters.iter().filter_map(|water| water.strip.as_ref());
        strips.any(SmallRunUpStrip::has_unwritten_direction)
    }

    fn venue(&self, id: VenueId, page: &str) -> String {
        self.frame.url(&format!("/venues/{id}{page}"))
    }
}

pub async fn show(State(site): State<Site>, visitor: Visitor) -> Result<Response, PageError> {
    let frame = Frame::new(&site, &visitor, Section::Home).await?;
    let mut reading = site.db.read().await?;
    let mut found = Vec::new();
    for venue in weather::venues(&mut reading).await? {
        let record = site.db.weather().of(&mut reading, venue.id).await?;
        let today = window::today(&venue, site.now());
        found.push((venue.id, venue.name, record, today));
    }
    // The earliest of the waters' days, so that a match of today stands until it is over everywhere.
    let today = found.iter().map(|(_, _, _, today)| *today).min();
    let today = today.unwrap_or_else(|| site.now().day(&Zone::utc()));
    let coming = entries::coming(&mut reading, None, today, LINES).await?;
    let results = entries::latest_results(&mut reading, None, LINES).await?;
    let named = settings::get(&mut reading, "club_name").await?.is_some();
    let begun = match frame.is_officer() {
        true => Some(settings::begun(&mut reading).await?),
        false => None,
    };
    drop(reading);
    let speed = frame.units.wind;
    let days: Vec<_> = found
        .iter()
        .flat_map(|(_, _, record, today)| strips::days(record, *today, speed))
        .collect();
    let scale = RunUpScale::holding(&days);
    page(HomePage {
        waters: found
            .into_iter()
            .map(|(id, name, record, today)| water(id, name, &record, today, (scale, speed)))
            .collect(),
        frame,
        named,
        begun,
        coming,
        results,
    })
}

fn water(
    id: VenueId,
    name: String,
    record: &WeatherRecord,
    today: Day,
    (scale, speed): (RunUpScale, Speed),
) -> WaterLine {
    let run_up = record.run_up(today);
    let usual = record.usual(today);
    let any = strips::any(record, today);
    WaterLine {
        strip: any.then(|| strips::small(&format!("water-{id}"), record, today, scale, speed)),
        words: run_up_words::summary(&run_up, &record.weather, usual, speed),
        approach: match any {
            true => approach(&advise(&run_up.conditions(usual)), record, today),
            false => String::new(),
        },
        id,
        name,
    }
}

/// The advice, with the last day's fall that it does not see.
fn approach(advice: &Advice, record: &WeatherRecord, today: Day) -> String {
    let unseen = run_up_words::fall_unseen(advice.approach, &record.weather, today);
    [Some(advice.sentence()), unseen]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(" ")
}
