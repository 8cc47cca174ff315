//! Where two sources say different things of one day: both figures, and which one is believed.

use askama::Template;
use axum::{
    extract::{Query, State},
    response::{IntoResponse, Response},
};

use super::window::{Asked, Conflict, Window, in_words};
use crate::{
    actions::{ActionError, choose_weather},
    domain::{
        dates::Day,
        ids::{SourceId, VenueId},
        weather::sources::Element,
    },
    web::{
        errors::PageError,
        forms::Form,
        links::go_with,
        page::{Frame, Section, page},
        people::{Member, Visitor},
        places::Place,
        state::Site,
    },
};

struct Said {
    source: String,
    name: String,
    words: String,
    kept: bool,
}

struct Line {
    title: String,
    day: String,
    element: &'static str,
    said: Vec<Said>,
    chosen: bool,
}

#[derive(Template)]
#[template(path = "weather/conflicts.html")]
struct ConflictsPage {
    frame: Frame,
    venue: String,
    period: String,
    grid: String,
    here: String,
    lines: Vec<Line>,
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Place(venue): Place<VenueId>,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let window = Window::fetch(&site, venue, &asked).await?;
    page(ConflictsPage {
        frame: Frame::new(&site, &visitor, Section::Weather).await?,
        venue: window.venue.name.clone(),
        period: format!("{} to {}", window.from.brief(), window.to.short()),
        grid: window.path("", window.to),
        here: window.path("/conflicts", window.to),
        lines: window
            .conflicts()
            .iter()
            .map(|conflict| line(&window, conflict))
            .collect(),
    })
}

/// Records the choice of one source for one element of one day; an empty source leaves it to the
/// venue's ranks.
pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Place(venue): Place<VenueId>,
    Query(asked): Query<Asked>,
    form: Form,
) -> Result<Response, PageError> {
    let window = Window::fetch(&site, venue, &asked).await?;
    let unreadable =
        || PageError::Unreadable("Choose a source on the page and send it again.".into());
    let day = Day::parse(form.get("day")).ok_or_else(unreadable)?;
    let element = Element::from_slug(form.get("element")).ok_or_else(unreadable)?;
    let source = match form.get("source") {
        "" => None,
        text => Some(SourceId(text.parse().map_err(|_| unreadable())?)),
    };
    let done = choose_weather::choose(
        &site.db,
        site.now(),
        &member.by(),
        venue,
        (day, element),
        source,
    )
    .await;
    match done {
        Err(ActionError::Refused { sentence, .. }) => Err(PageError::Unreadable(sentence)),
        done => {
            done?;
            let path = window.path("/conflicts", window.to);
            Ok(go_with(&site, &path, "saved").into_response())
        }
    }
}

fn line(window: &Window, conflict: &Conflict<'_>) -> Line {
    let (day, element) = (conflict.day, conflict.element);
    let said = conflict.said.iter().map(|of| Said {
        source: of.source.to_string(),
        name: window.name(of),
        words: in_words(element, &of.weather, window.unit),
        kept: of.source == conflict.kept.source,
    });
    Line {
        title: format!("{}, {}", day.brief(), element.label()),
        day: day.to_string(),
        element: element.slug(),
        said: said.collect(),
        chosen: window
            .choices
            .iter()
            .any(|choice| choice.day == day && choice.element == element),
    }
}
