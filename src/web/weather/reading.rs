//! `/venues/{venue}/water/{reading}`: one reading of the water, corrected or taken out.

use askama::Template;
use axum::{
    extract::State,
    http::StatusCode,
    response::{Html, IntoResponse, Response},
};

use super::{
    typed_reading::{self, ReadingFields},
    water::the_venue,
};
use crate::{
    actions::{ActionError, keep_readings},
    domain::{
        ids::{ReadingId, VenueId},
        venues::Venue,
    },
    store::{
        venues,
        weather::readings::{self, Reading},
    },
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

#[derive(Template)]
#[template(path = "weather/reading.html")]
struct ReadingPage {
    frame: Frame,
    venue: Venue,
    reading: Reading,
    fields: ReadingFields,
    /// What somebody else has saved meanwhile, in words.
    theirs: Option<String>,
    problems: Problems,
}

impl ReadingPage {
    async fn new(
        site: &Site,
        member: &Member,
        (venue, reading): (Venue, Reading),
        (form, problems): (&Form, Problems),
        theirs: Option<String>,
    ) -> Result<Self, PageError> {
        Ok(Self {
            frame: Frame::new(site, &member.visitor(), Section::Weather)
                .await?
                .with_problems(!problems.is_empty() || theirs.is_some()),
            fields: ReadingFields::new(form, &problems),
            venue,
            reading,
            theirs,
            problems,
        })
    }

    fn clarities(&self) -> Vec<(&'static str, &'static str)> {
        typed_reading::clarities()
    }

    fn here(&self) -> String {
        format!("/venues/{}/water/{}", self.venue.id, self.reading.id)
    }

    fn when(&self) -> String {
        self.reading.at.in_words(&self.venue.zone)
    }

    fn says(&self) -> String {
        typed_reading::in_words(&self.reading.figures)
    }
}

pub async fn show(
    State(site): State<Site>,
    member: Member,
    Place(ids): Place<(VenueId, ReadingId)>,
) -> Result<Response, PageError> {
    let (venue, reading) = fetch(&site, &member, ids).await?;
    let form = typed_reading::typed(&reading, &venue.zone);
    let kept = (&form, Problems::default());
    page(ReadingPage::new(&site, &member, (venue, reading), kept, None).await?)
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Place(ids): Place<(VenueId, ReadingId)>,
    form: Form,
) -> Result<Response, PageError> {
    let (venue, reading) = fetch(&site, &member, ids).await?;
    let pegs = venues::pegs(&mut *site.db.read().await?, venue.id).await?;
    let mut problems = Problems::default();
    if let Some(new) = typed_reading::read(&form, &venue.zone, &pegs, &mut problems) {
        let which = (venue.id, reading.id, version(&form));
        match keep_readings::correct(&site.db, site.now(), &member.by(), which, &new).await {
            Err(ActionError::Refused { field, sentence }) => problems.add(field, sentence),
            Err(ActionError::Changed) => {
                let theirs = format!(
                    "In the record now: {}, {}.",
                    reading.at.in_words(&venue.zone),
                    typed_reading::in_words(&reading.figures)
                );
                let kept = (&form, Problems::default());
                let shown =
                    ReadingPage::new(&site, &member, (venue, reading), kept, Some(theirs)).await?;
                return Ok((StatusCode::CONFLICT, Html(shown.render()?)).into_response());
            }
            done => {
                done?;
                return Ok(back(&site, &venue, "reading-saved"));
            }
        }
    }
    page_again(ReadingPage::new(&site, &member, (venue, reading), (&form, problems), None).await?)
}

/// Takes the reading out of the record.
pub async fn remove(
    State(site): State<Site>,
    member: Member,
    Place(ids): Place<(VenueId, ReadingId)>,
    form: Form,
) -> Result<Response, PageError> {
    let (venue, reading) = fetch(&site, &member, ids).await?;
    let which = (venue.id, reading.id, version(&form));
    keep_readings::remove(&site.db, site.now(), &member.by(), which).await?;
    Ok(back(&site, &venue, "reading-removed"))
}

/// The reading, if this person may change it.
async fn fetch(
    site: &Site,
    member: &Member,
    (venue, reading): (VenueId, ReadingId),
) -> Result<(Venue, Reading), PageError> {
    let venue = the_venue(site, venue).await?;
    let reading = readings::by_id(&mut *site.db.read().await?, venue.id, reading)
        .await?
        .ok_or(PageError::NotFound)?;
    match keep_readings::may_change(&member.by(), &reading) {
        true => Ok((venue, reading)),
        false => Err(PageError::NotAllowed),
    }
}

/// The version that was shown; none of ours where the form lost it.
fn version(form: &Form) -> i64 {
    form.get("version").parse().unwrap_or(0)
}

fn back(site: &Site, venue: &Venue, done: &str) -> Response {
    go_with(site, &format!("/venues/{}/water", venue.id), done).into_response()
}
