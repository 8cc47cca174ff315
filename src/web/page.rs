//! The frame around a page: the club, where we are, who is signed in, a notice.

use std::sync::Arc;

use askama::Template;
use axum::{
    http::{StatusCode, header},
    response::{Html, IntoResponse, Response},
};

use super::{assets, errors::PageError, people::Visitor, state::Site};
use crate::{
    domain::{accounts::Role, units::Units},
    store::{StoreError, settings},
};

/// Which part of the site a page belongs to, for the navigation.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Section {
    Home,
    Venues,
    Matches,
    Weather,
    Report,
    Anglers,
    Committee,
    Nowhere,
}

impl Section {
    fn word(self) -> &'static str {
        match self {
            Self::Home => "home",
            Self::Venues => "venues",
            Self::Matches => "matches",
            Self::Weather => "weather",
            Self::Report => "report",
            Self::Anglers => "anglers",
            Self::Committee => "committee",
            Self::Nowhere => "",
        }
    }
}

/// What a page says at its head after something was done: a closed list, so that no link can put
/// words into the club's mouth. In an address it is `?done=<word>`.
const NOTICES: &[(&str, &str)] = &[
    ("saved", "Saved."),
    (
        "report-saved",
        "Saved. Your report is in the club’s record.",
    ),
    ("report-saved-private", "Saved. Only you see it."),
    ("report-saved-team", "Saved. Your team sees it."),
    (
        "report-removed",
        "Taken back. The report is no longer shown or counted.",
    ),
    (
        "weather-saved",
        "Saved. The days you wrote are in the record.",
    ),
    ("reading-saved", "Saved. The reading is in the record."),
    (
        "reading-removed",
        "Taken out. The reading is no longer shown or counted.",
    ),
    (
        "water-removed",
        "Removed. The water is no longer on record.",
    ),
    (
        "water-gone",
        "Removed already: the water was taken off the record before you sent that.",
    ),
    ("imported", "Brought in. You can undo the whole file below."),
    (
        "undone",
        "Undone. Nothing from that file is shown or counted now.",
    ),
    ("taken-out", "Taken out of the diary."),
    (
        "discarded",
        "Thrown away. Nothing of that file was in the record.",
    ),
    (
        "joined",
        "Joined. Everything recorded under either name stands here now.",
    ),
    ("published", "Published. The result is on the club’s pages."),
    (
        "called-off",
        "Called off. The match takes no entries and no weights until it is put on again.",
    ),
    ("on-again", "The match is on again."),
    ("signed-in", "You are signed in."),
    ("signed-out", "You are signed out."),
    (
        "password-changed",
        "Your password is changed. Every other browser is signed out.",
    ),
    (
        "password-set",
        "Your password is set and you are signed in.",
    ),
    ("signed-out-others", "Every other browser is signed out."),
];

pub fn notice(word: &str) -> Option<&'static str> {
    NOTICES
        .iter()
        .find(|(known, _)| *known == word)
        .map(|(_, sentence)| *sentence)
}

/// Who is signed in, as the frame shows them.
#[derive(Clone, Debug)]
pub struct FramePerson {
    pub name: String,
    pub role_word: &'static str,
    pub is_officer: bool,
    pub is_administrator: bool,
}

/// Everything `layout/site.html` needs. Every page struct has one called `frame`.
#[derive(Clone, Debug)]
pub struct Frame {
    pub club: String,
    pub section: Section,
    pub who: Option<FramePerson>,
    /// How figures are shown to whoever is reading.
    pub units: Units,
    pub notice: Option<&'static str>,
    pub demo: bool,
    pub error: bool,
    /// The day at the club, for the foot of a printed page.
    pub today: String,
    prefix: String,
}

impl Frame {
    /// The frame for somebody looking at a page of `section`.
    pub async fn new(site: &Site, visitor: &Visitor, section: Section) -> Result<Self, StoreError> {
        let head = match visitor.settings {
            Some(mark) => site.answers.head(site, mark).await?,
            None => Arc::new(settings::head(&mut *site.db.read().await?).await?),
        };
        let club = head.club_name.as_deref().unwrap_or("Our club");
        Ok(Self {
            club: club.to_owned(),
            section,
            who: visitor.who.as_ref().map(|who| FramePerson {
                name: who.name.clone(),
                role_word: who.role.as_str(),
                is_officer: who.role.is_officer(),
                is_administrator: who.role == Role::Administrator,
            }),
            units: visitor.units(),
            notice: visitor.notice.as_deref().and_then(notice),
            demo: head.made_up,
            error: false,
            today: site.now().day(&head.zone).long(),
            prefix: site.settings.prefix().to_owned(),
        })
    }

    /// The same page again with problems on it: its title begins "Error:".
    pub fn with_problems(mut self, any: bool) -> Self {
        self.error = any;
        self
    }

    /// The address of `path` (which begins with a slash) wherever the site lives.
    pub fn url(&self, path: &str) -> String {
        format!("{}{path}", self.prefix)
    }

    /// The address of a static file.
    pub fn asset(&self, name: &str) -> String {
        format!("{}{}", self.prefix, assets::address(name))
    }

    pub fn current(&self, section: &str) -> bool {
        self.section.word() == section
    }

    pub fn is_officer(&self) -> bool {
        self.who.as_ref().is_some_and(|who| who.is_officer)
    }

    pub fn is_administrator(&self) -> bool {
        self.who.as_ref().is_some_and(|who| who.is_administrator)
    }

    pub fn is_signed_in(&self) -> bool {
        self.who.is_some()
    }
}

/// Answers with a page.
pub fn page(template: impl Template) -> Result<Response, PageError> {
    Ok(Html(template.render()?).into_response())
}

/// Answers with a page whose form has problems: 422, so that nobody takes it for saved.
pub fn page_again(template: impl Template) -> Result<Response, PageError> {
    let html = Html(template.render()?);
    Ok((StatusCode::UNPROCESSABLE_ENTITY, html).into_response())
}

/// How a browser may keep a form that holds only its sender's own typing: to itself, and asked about
/// before it is shown anew. Told not to keep it at all, it brings back an empty form when somebody goes
/// back from a sending that never arrived.
const FOR_BACK: &str = "private, no-cache";

/// Answers with a form that Back finds as it was left.
pub fn form_page(status: StatusCode, template: impl Template) -> Result<Response, PageError> {
    let html = Html(template.render()?);
    Ok((status, [(header::CACHE_CONTROL, FOR_BACK)], html).into_response())
}
