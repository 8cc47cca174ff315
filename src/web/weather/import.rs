//! `/venues/{venue}/weather/import`: choosing a weather file, and the files brought in before.

use askama::Template;
use axum::{
    extract::State,
    response::{IntoResponse, Response},
};

use crate::{
    actions::{ActionError, import::weather as bring},
    domain::{dates::Zone, ids::VenueId, imports::ImportState},
    formats::weather_csv::LAYOUT,
    store::{
        imports::{self, Import},
        weather::{self, WeatherVenue},
    },
    web::{
        errors::PageError,
        forms::Problems,
        links::go,
        page::{Frame, Section, page, page_again},
        people::Member,
        places::Place,
        state::Site,
        uploads::Upload,
    },
};

/// Files listed.
const MOST_FILES: i64 = 100;

#[derive(Template)]
#[template(path = "weather/import.html")]
struct ImportPage {
    frame: Frame,
    venue: WeatherVenue,
    files: Vec<Import>,
    zone: Zone,
    problems: Problems,
}

impl ImportPage {
    async fn new(
        site: &Site,
        member: &Member,
        venue: WeatherVenue,
        problems: Problems,
    ) -> Result<Self, PageError> {
        let frame = Frame::new(site, &member.visitor(), Section::Weather)
            .await?
            .with_problems(!problems.is_empty());
        let mut reading = site.db.read().await?;
        Ok(Self {
            frame,
            files: imports::weather_of(&mut reading, venue.id, MOST_FILES).await?,
            zone: Zone::named(&venue.zone).unwrap_or_else(Zone::utc),
            venue,
            problems,
        })
    }

    fn here(&self) -> String {
        format!("/venues/{}/weather/import", self.venue.id)
    }

    fn file_path(&self, file: &Import) -> String {
        format!("{}/{}", self.here(), file.id)
    }

    fn when(&self, file: &Import) -> String {
        file.at.in_words(&self.zone)
    }

    fn hidden(&self, file: &Import) -> bool {
        file.state == ImportState::Undone
    }

    fn heading_line(&self) -> String {
        LAYOUT.join(",")
    }
}

pub async fn show(
    State(site): State<Site>,
    member: Member,
    Place(venue): Place<VenueId>,
) -> Result<Response, PageError> {
    let venue = fetch(&site, venue).await?;
    page(ImportPage::new(&site, &member, venue, Problems::default()).await?)
}

/// Keeps the file and goes on to how it is to be read. Nothing is in the record yet.
pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Place(venue): Place<VenueId>,
    upload: Upload,
) -> Result<Response, PageError> {
    let venue = fetch(&site, venue).await?;
    let mut problems = Problems::default();
    match upload.files.into_iter().find(|file| file.field == "file") {
        Some(file) if !file.bytes.is_empty() => {
            let (db, now, by) = (&site.db, site.now(), member.by());
            match bring::lay_out(db, now, &by, venue.id, (&file.name, file.bytes)).await {
                Err(ActionError::Refused { sentence, .. }) => problems.add("file", sentence),
                laid_out => {
                    let path = format!("/venues/{}/weather/import/{}", venue.id, laid_out?);
                    return Ok(go(&site, &path).into_response());
                }
            }
        }
        Some(file) if !file.name.is_empty() => {
            problems.add(
                "file",
                "The file is empty. Choose the file that holds the days.",
            );
        }
        _ => problems.add("file", "Choose the file that holds the days."),
    }
    page_again(ImportPage::new(&site, &member, venue, problems).await?)
}

pub(super) async fn fetch(site: &Site, venue: VenueId) -> Result<WeatherVenue, PageError> {
    weather::venue(&mut *site.db.read().await?, venue)
        .await?
        .ok_or(PageError::NotFound)
}
