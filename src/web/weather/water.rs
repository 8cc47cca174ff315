//! `/venues/{venue}/water`: readings of the water, a form for the next, and what the water's
//! temperature is reckoned to be where nobody read it.

use askama::Template;
use axum::{
    extract::{Query, State},
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::typed_reading::{self, ReadingFields};
use crate::{
    actions::{ActionError, keep_readings},
    domain::{
        dates::{Day, Zone},
        ids::VenueId,
        venues::Venue,
        weather::water::Clarity,
    },
    formats::csv::Writer,
    statistics::water_temperature::{self, WaterTemperature},
    store::{venues, weather::readings},
    web::{
        errors::PageError,
        exports::csv_file,
        forms::{Form, Problems},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::{Member, Visitor},
        places::Place,
        state::Site,
    },
};

/// Readings on one page.
const ROWS: i64 = 50;

struct Row {
    when: String,
    place: String,
    temperature: String,
    level: String,
    clarity: &'static str,
    change: Option<String>,
}

/// Which part of the list is asked for.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Asked {
    from: String,
}

#[derive(Template)]
#[template(path = "weather/water.html")]
struct WaterPage {
    frame: Frame,
    venue: Venue,
    fields: ReadingFields,
    known: String,
    lag: String,
    rows: Vec<Row>,
    first: i64,
    last: i64,
    total: i64,
    previous: Option<String>,
    next: Option<String>,
    problems: Problems,
}

impl WaterPage {
    async fn new(
        site: &Site,
        visitor: &Visitor,
        venue: Venue,
        asked: &Asked,
        (form, problems): (&Form, Problems),
    ) -> Result<Self, PageError> {
        let frame = Frame::new(site, visitor, Section::Weather)
            .await?
            .with_problems(!problems.is_empty());
        let skip = asked.from.parse::<i64>().unwrap_or(1).clamp(1, 1_000_000) - 1;
        let mut reading = site.db.read().await?;
        let (total, days) = readings::counts(&mut reading, venue.id).await?;
        let listed = readings::of_venue(&mut reading, venue.id, skip, ROWS).await?;
        drop(reading);
        let (known, lag) = estimate(site, &venue, days).await?;
        let address = |from: i64| frame.url(&format!("/venues/{}/water?from={from}", venue.id));
        let last = skip + listed.len() as i64;
        let by = visitor.by();
        let row = |one: readings::Reading| {
            let may = by
                .as_ref()
                .is_some_and(|by| keep_readings::may_change(by, &one));
            row(&one, &venue.zone, may.then(|| change_path(&venue, &one)))
        };
        Ok(Self {
            fields: ReadingFields::new(form, &problems),
            known,
            lag,
            rows: listed.into_iter().map(row).collect(),
            first: skip + 1,
            last,
            total,
            previous: (skip > 0).then(|| address((skip - ROWS).max(0) + 1)),
            next: (last < total).then(|| address(last + 1)),
            frame,
            venue,
            problems,
        })
    }

    fn clarities(&self) -> Vec<(&'static str, &'static str)> {
        typed_reading::clarities()
    }
}

fn change_path(venue: &Venue, reading: &readings::Reading) -> String {
    format!("/venues/{}/water/{}", venue.id, reading.id)
}

fn row(reading: &readings::Reading, zone: &Zone, change: Option<String>) -> Row {
    let place = [
        reading
            .peg_number
            .as_ref()
            .map(|number| format!("peg {number}")),
        reading
            .figures
            .depth_m
            .map(|depth| format!("{depth} m down")),
    ];
    Row {
        when: reading.at.in_words(zone),
        place: place.into_iter().flatten().collect::<Vec<_>>().join(", "),
        temperature: reading
            .figures
            .temp_c
            .map(typed_reading::temperature)
            .unwrap_or_default(),
        level: reading
            .figures
            .level_m
            .map(typed_reading::level)
            .unwrap_or_default(),
        clarity: reading.figures.clarity.map_or("", Clarity::label),
        change,
    }
}

/// The sentence on the water of yesterday, and how the lag was found, where there is one.
async fn estimate(site: &Site, venue: &Venue, days: i64) -> Result<(String, String), PageError> {
    let today = site.now().day(&venue.zone);
    let record = site
        .db
        .weather()
        .of(&mut *site.db.read().await?, venue.id)
        .await?;
    if !record.water.iter().any(|read| read.day < today) {
        let words = match days {
            0 => {
                "Nobody has read the temperature of this water yet. Eight days with a reading are needed before it can be estimated from the air."
            }
            _ => {
                "The first readings are of today; they count from tomorrow on. Eight days with a reading are needed before the water can be estimated from the air."
            }
        };
        return Ok((words.to_owned(), String::new()));
    }
    let found = tokio::task::spawn_blocking(move || {
        let found = water_temperature::before(today, &record.weather, &record.water);
        found.map(|found| (found, found.words_beside(today, &record.water)))
    })
    .await;
    let found = found.map_err(|error| PageError::Fault(error.to_string()))?;
    Ok(in_words(found, today.plus(-1), days))
}

/// `found`: the water, and its words.
fn in_words(found: Option<(WaterTemperature, String)>, eve: Day, days: i64) -> (String, String) {
    let day = eve.short();
    match found {
        Some((WaterTemperature::Measured { .. }, words)) => {
            (format!("On {day} the water was {words}."), String::new())
        }
        Some((
            WaterTemperature::Estimated {
                lag_days, error_c, ..
            },
            words,
        )) => (
            format!("On {day} the water was {words}."),
            format!(
                "Of 1, 2, 3, 5, 8, 12 and 20 days, {lag_days} foretold each reading best from the others; left out one at a time, the readings were missed by {error_c:.1} °C on average."
            ),
        ),
        None if days < 8 => (
            format!(
                "{days} of the eight days with a reading are there that an estimate needs. Until then the water is known only where somebody read it."
            ),
            String::new(),
        ),
        None => (
            format!(
                "There are readings of {days} days, but the air of the days before them, or before {day}, is not known well enough for an estimate."
            ),
            String::new(),
        ),
    }
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Place(venue): Place<VenueId>,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let venue = the_venue(&site, venue).await?;
    let form = typed_reading::blank(site.now(), &venue.zone);
    let kept = (&form, Problems::default());
    page(WaterPage::new(&site, &visitor, venue, &asked, kept).await?)
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Place(venue): Place<VenueId>,
    form: Form,
) -> Result<Response, PageError> {
    let venue = the_venue(&site, venue).await?;
    let pegs = venues::pegs(&mut *site.db.read().await?, venue.id).await?;
    let mut problems = Problems::default();
    if let Some(reading) = typed_reading::read(&form, &venue.zone, &pegs, &mut problems) {
        let by = member.by();
        match keep_readings::note(&site.db, site.now(), &by, venue.id, &reading).await {
            Err(ActionError::Refused { field, sentence }) => problems.add(field, sentence),
            done => {
                done?;
                let path = format!("/venues/{}/water", venue.id);
                return Ok(go_with(&site, &path, "reading-saved").into_response());
            }
        }
    }
    let kept = (&form, problems);
    page_again(WaterPage::new(&site, &member.visitor(), venue, &Asked::default(), kept).await?)
}

/// Every reading as CSV.
pub async fn csv(
    State(site): State<Site>,
    Place(venue): Place<VenueId>,
) -> Result<Response, PageError> {
    let venue = the_venue(&site, venue).await?;
    let all = readings::of_venue(&mut *site.db.read().await?, venue.id, 0, 1_000_000).await?;
    let fault = |error: std::io::Error| PageError::Fault(error.to_string());
    let heading = [
        "date", "time", "utc", "peg", "depth_m", "temp_c", "level_m", "clarity",
    ];
    let mut out = Writer::new(Vec::new(), &heading).map_err(fault)?;
    let figure = |value: Option<f64>| value.map(|v| v.to_string()).unwrap_or_default();
    for one in &all {
        out.row([
            one.day.to_string(),
            one.at.clock(&venue.zone),
            one.at.rfc3339(),
            one.peg_number.clone().unwrap_or_default(),
            figure(one.figures.depth_m),
            figure(one.figures.temp_c),
            figure(one.figures.level_m),
            one.figures.clarity.map_or("", Clarity::slug).to_owned(),
        ])
        .map_err(fault)?;
    }
    let bytes = out.finish().map_err(fault)?;
    Ok(csv_file("water.csv", bytes))
}

pub(super) async fn the_venue(site: &Site, id: VenueId) -> Result<Venue, PageError> {
    venues::by_id(&mut *site.db.read().await?, id)
        .await?
        .ok_or(PageError::NotFound)
}
