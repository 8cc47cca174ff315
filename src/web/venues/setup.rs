//! One page sets up a water: what it is, its rules, its banks and their pegs.

use askama::Template;
use axum::{
    extract::{Path, State},
    http::StatusCode,
    response::{Html, IntoResponse, Response},
};

use super::{
    removal, the_venue,
    typed::{BankRow, Typed, bank_rows},
};
use crate::{
    actions::{self, ActionError},
    domain::{
        units::Scale,
        venues::{Venue, WaterKind},
        weather::compass::Compass,
    },
    store::{
        settings,
        venues::{self, removal::recorded},
    },
    web::{
        errors::PageError,
        forms::{Field, Form, Problems},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::Member,
        state::Site,
    },
};

#[derive(Template)]
#[template(path = "venues/setup.html")]
struct SetupPage {
    frame: Frame,
    /// The water as saved; a new one has none.
    venue: Option<Venue>,
    version: i64,
    typed: Typed,
    problems: Problems,
    /// Where somebody saved first: field, theirs, yours.
    differences: Vec<(String, String, String)>,
    /// What is recorded at the water, so that it cannot be removed.
    standing: Option<String>,
    /// The tick without which it is not removed.
    sure: Field,
    /// It was to be removed, and is not: the problems are of that.
    removing: bool,
}

impl SetupPage {
    async fn of(
        site: &Site,
        member: &Member,
        venue: Option<Venue>,
        typed: Typed,
        problems: Problems,
    ) -> Result<Self, PageError> {
        let standing = match &venue {
            Some(venue) => {
                let recorded = recorded(&mut *site.db.read().await?, venue.id).await?;
                removal::standing(&recorded)
            }
            None => None,
        };
        Ok(Self {
            frame: Frame::new(site, &member.visitor(), Section::Venues)
                .await?
                .with_problems(!problems.is_empty()),
            version: venue.as_ref().map_or(0, |venue| venue.version),
            venue,
            typed,
            sure: Field::new("sure", "Yes, remove this water", "").problems(&problems),
            problems,
            differences: Vec::new(),
            standing,
            removing: false,
        })
    }

    fn field(&self, name: &str) -> Field {
        self.typed.field(name, &self.problems)
    }

    fn banks(&self) -> Vec<BankRow> {
        bank_rows(&self.typed, &self.problems)
    }

    fn kinds(&self) -> Vec<(&'static str, &'static str)> {
        WaterKind::ALL
            .map(|kind| (kind.as_str(), kind.as_str()))
            .to_vec()
    }

    fn scales(&self) -> Vec<(&'static str, &'static str)> {
        Scale::ALL
            .map(|scale| (scale.as_str(), scale.words()))
            .to_vec()
    }

    fn facings(&self) -> Vec<(&'static str, &'static str)> {
        Compass::all()
            .map(|point| (point.letters(), point.name()))
            .collect()
    }

    fn path(&self) -> String {
        match &self.venue {
            Some(venue) => format!("/venues/{}/setup", venue.id),
            None => "/venues/new".to_owned(),
        }
    }
}

pub async fn show_new(State(site): State<Site>, member: Member) -> Result<Response, PageError> {
    let club = settings::club(&mut *site.db.read().await?).await?;
    let typed = Typed::blank(&club.zone);
    page(SetupPage::of(&site, &member, None, typed, Problems::default()).await?)
}

pub async fn submit_new(
    State(site): State<Site>,
    member: Member,
    form: Form,
) -> Result<Response, PageError> {
    save(&site, &member, None, &form).await
}

pub async fn show(
    State(site): State<Site>,
    member: Member,
    Path(venue): Path<String>,
) -> Result<Response, PageError> {
    let venue = the_venue(&site, &venue).await?;
    let typed = on_record(&site, &venue).await?;
    page(SetupPage::of(&site, &member, Some(venue), typed, Problems::default()).await?)
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Path(venue): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let venue = the_venue(&site, &venue).await?;
    save(&site, &member, Some(venue), &form).await
}

/// The page as saved, with what keeps the water from being removed.
pub(super) async fn not_removed(
    site: &Site,
    member: &Member,
    venue: Venue,
    problems: Problems,
) -> Result<impl Template, PageError> {
    let typed = on_record(site, &venue).await?;
    let mut shown = SetupPage::of(site, member, Some(venue), typed, problems).await?;
    shown.frame = shown.frame.with_problems(true);
    shown.removing = true;
    Ok(shown)
}

async fn on_record(site: &Site, venue: &Venue) -> Result<Typed, PageError> {
    let mut reading = site.db.read().await?;
    let banks = venues::banks(&mut reading, venue.id).await?;
    let pegs = venues::pegs(&mut reading, venue.id).await?;
    Ok(Typed::from_record(venue, &banks, &pegs))
}

async fn save(
    site: &Site,
    member: &Member,
    venue: Option<Venue>,
    form: &Form,
) -> Result<Response, PageError> {
    let typed = Typed::from_form(form);
    let version = form.get("version").parse().unwrap_or(0);
    let mut problems = Problems::default();
    if let Some(setup) = typed.read(&mut problems) {
        let over = venue.as_ref().map(|venue| (venue.id, version));
        match actions::venues::save(&site.db, site.now(), &member.by(), over, &setup).await {
            Ok(id) => return Ok(go_with(site, &format!("/venues/{id}"), "saved").into_response()),
            Err(ActionError::Refused { field, sentence }) => problems.add(field, sentence),
            Err(ActionError::Changed) => return changed(site, member, venue, typed).await,
            Err(other) => return Err(other.into()),
        }
    }
    let mut shown = SetupPage::of(site, member, venue, typed, problems).await?;
    shown.version = version;
    page_again(shown)
}

/// Somebody saved first: both versions side by side, and the form ready to save this one over theirs.
async fn changed(
    site: &Site,
    member: &Member,
    venue: Option<Venue>,
    typed: Typed,
) -> Result<Response, PageError> {
    let venue = venue.ok_or(PageError::Changed)?;
    let venue = the_venue(site, &venue.id.to_string()).await?;
    let theirs = on_record(site, &venue).await?;
    let differences = theirs.differences(&typed);
    let mut shown = SetupPage::of(site, member, Some(venue), typed, Problems::default()).await?;
    shown.frame = shown.frame.with_problems(true);
    shown.differences = differences;
    Ok((StatusCode::CONFLICT, Html(shown.render()?)).into_response())
}
