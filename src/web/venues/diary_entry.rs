//! One entry of a venue's diary, put right or taken out. A later save is shown both versions.

use askama::Template;
use axum::{
    extract::{Path, State},
    http::StatusCode,
    response::{Html, IntoResponse, Response},
};

use super::{
    diary::{Days, EntryFields, measure, read},
    the_venue,
};
use crate::{
    actions::{ActionError, write_diary},
    domain::{groups::Group, ids::DiaryId, venues::Venue},
    store::venues::diary::{self, DiaryLine},
    web::{
        errors::PageError,
        forms::{Form, Problems},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::{Member, Visitor},
        state::Site,
    },
};

#[derive(Template)]
#[template(path = "venues/diary_entry.html")]
struct EntryPage {
    frame: Frame,
    venue: Venue,
    saved: DiaryLine,
    fields: EntryFields,
    problems: Problems,
    /// Somebody saved while the form was open.
    changed: bool,
}

impl EntryPage {
    async fn of(
        site: &Site,
        visitor: &Visitor,
        (venue, saved): (Venue, DiaryLine),
        form: &Form,
        problems: Problems,
    ) -> Result<Self, PageError> {
        Ok(Self {
            frame: Frame::new(site, visitor, Section::Venues)
                .await?
                .with_problems(!problems.is_empty()),
            fields: EntryFields::of(form, &problems, days(site, &venue, &saved)),
            venue,
            saved,
            problems,
            changed: false,
        })
    }

    fn measure(&self) -> String {
        measure(&self.saved.entry(), self.venue.weighs_in)
    }
}

/// The venue and the entry that an address names.
async fn found(site: &Site, venue: &str, entry: &str) -> Result<(Venue, DiaryLine), PageError> {
    let venue = the_venue(site, venue).await?;
    let id = entry.parse().map_err(|_| PageError::NotFound)?;
    let line = diary::by_id(&mut *site.db.read().await?, venue.id, DiaryId(id)).await?;
    Ok((venue, line.ok_or(PageError::NotFound)?))
}

fn days(site: &Site, venue: &Venue, saved: &DiaryLine) -> Days {
    Days {
        today: site.now().day(&venue.zone),
        was: Some(saved.on),
    }
}

/// The form that would be read as this entry.
fn as_form(line: &DiaryLine) -> Form {
    let group = Group::ALL
        .into_iter()
        .find(|group| line.group == Some(group.bit()));
    let pairs = [
        ("on", line.on.to_string()),
        ("kind", line.kind.clone()),
        ("words", line.words.clone()),
        ("kg", line.kg.map(|kg| kg.to_string()).unwrap_or_default()),
        ("group", group.map_or("", Group::slug).to_owned()),
    ];
    Form::from_pairs(pairs.map(|(name, value)| (name.to_owned(), value)).to_vec())
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Path((venue, entry)): Path<(String, String)>,
) -> Result<Response, PageError> {
    let found = found(&site, &venue, &entry).await?;
    let form = as_form(&found.1);
    page(EntryPage::of(&site, &visitor, found, &form, Problems::default()).await?)
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Path((venue, entry)): Path<(String, String)>,
    form: Form,
) -> Result<Response, PageError> {
    let (venue, saved) = found(&site, &venue, &entry).await?;
    let mut problems = Problems::default();
    let days = days(&site, &venue, &saved);
    let Some(typed) = read(&form, days, &mut problems) else {
        let visitor = member.visitor();
        return page_again(EntryPage::of(&site, &visitor, (venue, saved), &form, problems).await?);
    };
    let at = (venue.id, saved.id, form.get("version").parse().unwrap_or(0));
    match write_diary::correct(&site.db, site.now(), &member.by(), at, &typed).await {
        Ok(()) => {
            let back = format!("/venues/{}/diary", venue.id);
            Ok(go_with(&site, &back, "saved").into_response())
        }
        Err(ActionError::Changed) => both(&site, &member, (venue, saved), &form).await,
        Err(error) => Err(error.into()),
    }
}

/// 409: what is saved now, above what was sent.
async fn both(
    site: &Site,
    member: &Member,
    (venue, saved): (Venue, DiaryLine),
    form: &Form,
) -> Result<Response, PageError> {
    let line = diary::by_id(&mut *site.db.read().await?, venue.id, saved.id).await?;
    let found = (venue, line.ok_or(PageError::NotFound)?);
    let visitor = member.visitor();
    let mut shown = EntryPage::of(site, &visitor, found, form, Problems::default()).await?;
    shown.frame = shown.frame.with_problems(true);
    shown.changed = true;
    Ok((StatusCode::CONFLICT, Html(shown.render()?)).into_response())
}

/// Takes the entry out; with an old version it is shown as it now stands.
pub async fn take_out(
    State(site): State<Site>,
    member: Member,
    Path((venue, entry)): Path<(String, String)>,
    form: Form,
) -> Result<Response, PageError> {
    let (venue, saved) = found(&site, &venue, &entry).await?;
    let at = (venue.id, saved.id, form.get("version").parse().unwrap_or(0));
    match write_diary::take_out(&site.db, site.now(), &member.by(), at).await {
        Ok(()) => {
            let back = format!("/venues/{}/diary", venue.id);
            Ok(go_with(&site, &back, "taken-out").into_response())
        }
        Err(ActionError::Changed) => {
            let form = as_form(&saved);
            both(&site, &member, (venue, saved), &form).await
        }
        Err(error) => Err(error.into()),
    }
}
