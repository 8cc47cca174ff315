//! Where sources say different things of a day: every figure, which one is believed, and one form
//! in which an officer says so for all of them.

use askama::Template;
use axum::{
    extract::{Query, State},
    response::{IntoResponse, Response},
};

use super::window::{Asked, Conflict, Window, in_words};
use crate::{
    actions::{
        ActionError,
        choose_weather::{self, Belief},
    },
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

/// One element of a day in which sources differ.
struct Line {
    /// Of its box in the form.
    name: String,
    was_name: String,
    label: &'static str,
    /// What each source says, and which is believed.
    said: String,
    /// The number of the source an officer has chosen; empty where the ranks decide.
    chosen: String,
    choices: Vec<(String, String)>,
}

/// The lines of one day.
struct DayOf {
    day: Day,
    /// Number and name of every source in its lines.
    sources: Vec<(String, String)>,
    lines: Vec<Line>,
}

#[derive(Template)]
#[template(path = "weather/conflicts.html")]
struct ConflictsPage {
    frame: Frame,
    venue: String,
    period: String,
    grid: String,
    here: String,
    days: Vec<DayOf>,
    small: usize,
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
        days: by_day(&window),
        small: window.small_differences(),
    })
}

fn by_day(window: &Window) -> Vec<DayOf> {
    let mut days: Vec<DayOf> = Vec::new();
    for conflict in window.conflicts() {
        if days.last().is_none_or(|last| last.day != conflict.day) {
            days.push(DayOf {
                day: conflict.day,
                sources: Vec::new(),
                lines: Vec::new(),
            });
        }
        if let Some(last) = days.last_mut() {
            for of in &conflict.said {
                let source = (of.source.to_string(), window.name(of));
                if !last.sources.contains(&source) {
                    last.sources.push(source);
                }
            }
            last.lines.push(line(window, &conflict));
        }
    }
    days
}

fn line(window: &Window, conflict: &Conflict<'_>) -> Line {
    let (day, element) = (conflict.day, conflict.element);
    let chosen = window.choice(day, element);
    let chosen = chosen.filter(|source| conflict.said.iter().any(|of| of.source == *source));
    let believed = match chosen {
        Some(_) => ", believed by an officer’s choice",
        None => ", believed",
    };
    let words = |of| in_words(element, of, window.unit);
    let each = conflict.said.iter().map(|of| {
        let mark = match of.source == conflict.kept.source {
            true => believed,
            false => "",
        };
        format!("{}: {}{mark}", window.name(of), words(&of.weather))
    });
    let said: Vec<String> = each.collect();
    let ranked = conflict.ranked;
    let by_rank = format!("the usual order: {}", window.name(ranked));
    let mut choices = vec![(String::new(), by_rank)];
    choices.extend(conflict.said.iter().map(|of| {
        let words = format!("{}: {}", window.name(of), words(&of.weather));
        (of.source.to_string(), words)
    }));
    Line {
        name: box_name(day, element),
        was_name: format!("was_{}", box_name(day, element)),
        label: element.label(),
        said: said.join("; "),
        chosen: chosen.map(|source| source.to_string()).unwrap_or_default(),
        choices,
    }
}

fn box_name(day: Day, element: Element) -> String {
    format!("{}_{day}", element.slug())
}

/// Records what is believed wherever the form says otherwise than it was shown. A source believed
/// for a whole day is believed wherever it differs from another, small differences included.
pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Place(venue): Place<VenueId>,
    Query(asked): Query<Asked>,
    form: Form,
) -> Result<Response, PageError> {
    let window = Window::fetch(&site, venue, &asked).await?;
    let beliefs = read(&window, &form)?;
    let done = choose_weather::choose(&site.db, site.now(), &member.by(), venue, &beliefs).await;
    match done {
        Err(ActionError::Refused { sentence, .. }) => Err(PageError::Unreadable(sentence)),
        done => {
            done?;
            let path = window.path("/conflicts", window.to);
            Ok(go_with(&site, &path, "saved").into_response())
        }
    }
}

fn read(window: &Window, form: &Form) -> Result<Vec<Belief>, PageError> {
    let mut beliefs = Vec::new();
    for conflict in window.differences() {
        let (day, element) = (conflict.day, conflict.element);
        let whole = source(form, &format!("day_{day}"))?
            .filter(|source| conflict.said.iter().any(|of| of.source == *source));
        let name = box_name(day, element);
        let touched = form.has(&name) && form.get(&name) != form.get(&format!("was_{name}"));
        let source = match whole {
            Some(_) => whole,
            None if touched => source(form, &name)?,
            None => continue,
        };
        beliefs.push(Belief {
            day,
            element,
            source,
        });
    }
    Ok(beliefs)
}

/// The source a box names; `None` for an empty box.
fn source(form: &Form, name: &str) -> Result<Option<SourceId>, PageError> {
    match form.get(name) {
        "" => Ok(None),
        text => match text.parse() {
            Ok(id) => Ok(Some(SourceId(id))),
            Err(_) => Err(PageError::Unreadable(
                "Choose a source on the page and send it again.".into(),
            )),
        },
    }
}
