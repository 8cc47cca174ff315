//! Where a venue's weather comes from: the sources' names, ranks, and how each counts its days.

use askama::Template;
use axum::{
    extract::State,
    response::{IntoResponse, Response},
};

use crate::{
    actions::{ActionError, choose_weather, import::weather::fine_day_end},
    domain::ids::VenueId,
    store::weather::{self, Source, WeatherVenue},
    web::{
        errors::PageError,
        forms::{Form, Problems},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::Member,
        places::Place,
        state::Site,
    },
};

struct Line {
    id: i64,
    heading: String,
    name: String,
    rank: String,
    day_ends: String,
    min: bool,
    max: bool,
    rain: bool,
}

#[derive(Template)]
#[template(path = "weather/sources.html")]
struct SourcesPage {
    frame: Frame,
    venue: String,
    here: String,
    grid: String,
    lines: Vec<Line>,
    new_name: String,
    new_kind: String,
    problems: Problems,
}

const KINDS: [(&str, &str); 2] = [
    ("csv", "A table of days (CSV)"),
    ("ghcn-daily", "A station’s GHCN-Daily file"),
];

pub async fn show(
    State(site): State<Site>,
    member: Member,
    Place(venue): Place<VenueId>,
) -> Result<Response, PageError> {
    let (venue, sources) = fetch(&site, venue).await?;
    let frame = Frame::new(&site, &member.visitor(), Section::Weather).await?;
    let form = Form::default();
    page(laid_out(
        frame,
        &venue,
        &sources,
        &form,
        Problems::default(),
    ))
}

/// Saves the sources, or, where the form came from that button, adds one.
pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Place(venue): Place<VenueId>,
    form: Form,
) -> Result<Response, PageError> {
    let (venue, mut sources) = fetch(&site, venue).await?;
    let mut problems = Problems::default();
    let (db, now, by) = (&site.db, site.now(), member.by());
    let outcome = if form.has("add") {
        let kind = KINDS.iter().find(|(kind, _)| *kind == form.get("new_kind"));
        let kind = kind.map_or("csv", |(kind, _)| kind);
        choose_weather::add_source(db, now, &by, form.get("new_name"), kind)
            .await
            .map(|_| ())
    } else {
        for source in &mut sources {
            read_source(&form, source, &mut problems);
        }
        if problems.is_empty() {
            choose_weather::save_sources(db, now, &by, venue.id, &sources).await
        } else {
            Ok(())
        }
    };
    match outcome {
        Err(ActionError::Refused { sentence, .. }) => {
            let field = if form.has("add") { "new_name" } else { "" };
            problems.add(field, sentence);
        }
        outcome => outcome?,
    }
    if problems.is_empty() {
        let path = format!("/venues/{}/weather/sources", venue.id);
        return Ok(go_with(&site, &path, "saved").into_response());
    }
    let frame = Frame::new(&site, &member.visitor(), Section::Weather)
        .await?
        .with_problems(true);
    page_again(laid_out(frame, &venue, &sources, &form, problems))
}

async fn fetch(site: &Site, venue: VenueId) -> Result<(WeatherVenue, Vec<Source>), PageError> {
    let mut reading = site.db.read().await?;
    let venue = weather::venue(&mut reading, venue)
        .await?
        .ok_or(PageError::NotFound)?;
    let sources = weather::all_sources(&mut reading, venue.id).await?;
    Ok((venue, sources))
}

fn read_source(form: &Form, source: &mut Source, problems: &mut Problems) {
    let field = |key: &str| format!("{key}_{}", source.id);
    if !form.has(&field("name")) {
        return;
    }
    let shift = |key: &str| if form.has(&field(key)) { -1 } else { 0 };
    let (min_shift, max_shift, rain_shift) = (shift("min"), shift("max"), shift("rain"));
    let rank = match form.get(&field("rank")) {
        "" => Ok(None),
        text => text
            .parse::<i64>()
            .ok()
            .filter(|rank| (1..=99).contains(rank))
            .map(Some)
            .ok_or("Enter a rank from 1 to 99, 1 being believed first, or leave it empty where this water does not use the source."),
    };
    let rank = problems.take(&field("rank"), rank).flatten();
    let name = form.get(&field("name")).to_owned();
    let day_ends_at = form.get(&field("day_ends")).to_owned();
    if !fine_day_end(&day_ends_at) {
        problems.add(field("day_ends"), choose_weather::NO_DAY_END);
    }
    if let Err(ActionError::Refused { sentence, .. }) = choose_weather::fine_name(&name) {
        problems.add(field("name"), sentence);
    }
    source.name = name;
    source.day_ends_at = day_ends_at;
    source.rank = rank;
    (source.min_shift, source.max_shift, source.rain_shift) = (min_shift, max_shift, rain_shift);
}

fn laid_out(
    frame: Frame,
    venue: &WeatherVenue,
    sources: &[Source],
    form: &Form,
    problems: Problems,
) -> SourcesPage {
    let line = |source: &Source| {
        let rank = format!("rank_{}", source.id);
        Line {
            id: source.id.0,
            heading: match source.name.as_str() {
                "" => "A source without a name".to_owned(),
                name => name.to_owned(),
            },
            name: source.name.clone(),
            rank: match source.rank {
                Some(rank) => rank.to_string(),
                None => form.get(&rank).to_owned(),
            },
            day_ends: source.day_ends_at.clone(),
            min: source.min_shift != 0,
            max: source.max_shift != 0,
            rain: source.rain_shift != 0,
        }
    };
    SourcesPage {
        frame,
        venue: venue.name.clone(),
        here: format!("/venues/{}/weather/sources", venue.id),
        grid: format!("/venues/{}/weather", venue.id),
        lines: sources.iter().map(line).collect(),
        new_name: form.get("new_name").to_owned(),
        new_kind: form.get("new_kind").to_owned(),
        problems,
    }
}
