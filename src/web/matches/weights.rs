//! The weigh sheet typed up: nets and outcome of every entry, saved in one go. What two officers
//! type of different boxes is put together; only a box that both changed is asked about. Where a box
//! cannot stand, the anglers who have none such are saved all the same.

use askama::Template;
use axum::{
    extract::{Path, State},
    http::StatusCode,
    response::{Html, IntoResponse, Response},
};

use super::{
    changed_since_posting,
    meanwhile::Sent,
    version,
    weigh_sheet::{Again, Group, OUTCOMES, Sheet},
};
use crate::{
    actions::{ActionError, record_weights::record_weights},
    statistics::wording,
    store::matches::Match,
    web::{
        errors::PageError,
        filters,
        forms::{Form, Problems},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::{Member, Visitor},
        state::Site,
    },
};

/// Times a sheet is put together anew because somebody saved at that very moment.
const TRIES: usize = 5;

#[derive(Template)]
#[template(path = "matches/weights.html")]
struct WeightsPage {
    frame: Frame,
    the_match: Match,
    /// The version the form answers.
    version: i64,
    groups: Vec<Group>,
    /// How many are still to weigh.
    waiting: String,
    /// The box and the words of whom the scales come to next, where the page does not begin there.
    next: Option<(String, String)>,
    problems: Problems,
    /// Of how many anglers what was sent is saved, where that of others is not.
    saved: usize,
    /// Somebody else changed what was changed here.
    changed: bool,
    /// The posted result is the old one.
    unposted: bool,
    /// The day of the match is still to come.
    early: bool,
}

impl WeightsPage {
    fn address(&self, page: &str) -> String {
        self.frame
            .url(&format!("/matches/{}{page}", self.the_match.id))
    }

    /// `Two anglers are saved. What is named here is not yet, and still stands as you typed it.`
    fn kept(&self) -> String {
        let anglers = wording::count(self.saved, "angler", "anglers");
        let are = wording::are(self.saved);
        let saved = wording::sentence(&format!("{anglers} {are} saved"));
        format!("{saved} What is named here is not yet, and still stands as you typed it.")
    }

    fn outcomes(&self) -> Vec<(String, String)> {
        OUTCOMES
            .map(|(value, words)| (value.to_owned(), words.to_owned()))
            .to_vec()
    }

    async fn of(
        site: &Site,
        visitor: &Visitor,
        sheet: Sheet,
        again: Option<&Again<'_>>,
        problems: Problems,
    ) -> Result<Self, PageError> {
        Ok(Self {
            frame: Frame::new(site, visitor, Section::Matches)
                .await?
                .with_problems(!problems.is_empty()),
            groups: sheet.groups(again, &problems),
            waiting: sheet.waiting(),
            next: sheet.next_to_weigh(),
            unposted: changed_since_posting(site, &sheet.the_match).await?,
            early: sheet.is_early(site),
            version: sheet.the_match.version,
            the_match: sheet.the_match,
            problems,
            saved: 0,
            changed: again.is_some_and(|again| again.beside),
        })
    }
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Path(id): Path<String>,
) -> Result<Response, PageError> {
    let sheet = Sheet::of(&site, &id).await?;
    page(WeightsPage::of(&site, &visitor, sheet, None, Problems::default()).await?)
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let (mut fetched, mut saved) = (version(form.get("version"))?, 0);
    for _ in 0..TRIES {
        let sheet = Sheet::of(&site, &id).await?;
        let at = (sheet.the_match.id, sheet.the_match.version);
        let sent = Sent::new(&form, fetched, at.1);
        let mut read = sheet.read(&sent);
        let whole = read.problems.is_empty() && read.clashes.is_empty();
        if whole || read.spares_some() {
            match record_weights(&site.db, site.now(), &member.by(), at, &read.weighed).await {
                Ok(()) if !whole => {
                    // Those who are right are kept; the rest of the form answers the record as this
                    // very save made it.
                    saved += read.weighed.len();
                    if fetched == at.1 {
                        fetched += 1;
                    }
                    continue;
                }
                Ok(()) => {
                    let back = format!("/matches/{}/weights", at.0);
                    return Ok(go_with(&site, &back, "saved").into_response());
                }
                Err(ActionError::Refused { field, sentence }) => {
                    read.problems.add(field, sentence);
                }
                Err(ActionError::Changed) => continue,
                Err(other) => return Err(other.into()),
            }
        }
        // What cannot stand is mended first: until then the form answers the page it came from.
        let beside = read.problems.is_empty();
        let again = Again {
            sent: &sent,
            beside,
        };
        let problems = if beside { read.clashes } else { read.problems };
        let visitor = member.visitor();
        let mut shown = WeightsPage::of(&site, &visitor, sheet, Some(&again), problems).await?;
        if beside {
            return Ok((StatusCode::CONFLICT, Html(shown.render()?)).into_response());
        }
        shown.version = fetched;
        shown.saved = saved;
        return page_again(shown);
    }
    Err(ActionError::Busy.into())
}
