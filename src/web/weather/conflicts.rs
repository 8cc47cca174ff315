//! Where sources say different things of a day: every figure, which one is believed, and one form
//! in which an officer says so for all of them.

use askama::Template;
use axum::{
    extract::{Query, State},
    http::StatusCode,
    response::{Html, IntoResponse, Response},
};

use super::{
    typed_beliefs::{Both, both, box_name, day_name, read, standing, touched, was_name},
    window::{Asked, Conflict, Window, in_words},
};
use crate::{
    actions::{ActionError, choose_weather},
    domain::{dates::Day, ids::VenueId},
    web::{
        errors::PageError,
        forms::{Form, Problems},
        links::go_with,
        page::{Frame, Section, page, page_again},
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
    /// What the choice is measured against when it is sent.
    was: String,
    label: &'static str,
    /// What each source says, and which is believed.
    said: String,
    /// The number of the source that was typed, or else the one an officer has chosen; empty where
    /// the ranks decide.
    chosen: String,
    choices: Vec<(String, String)>,
    problem: String,
}

/// The lines of one day.
struct DayOf {
    day: Day,
    /// Number and name of every source in its lines.
    sources: Vec<(String, String)>,
    lines: Vec<Line>,
    /// Of the box for the whole day.
    name: String,
    chosen: String,
    problem: String,
}

/// A form that was sent, and why nothing of it is saved. Empty for a page that is only looked at.
#[derive(Default)]
struct Sent {
    form: Form,
    problems: Problems,
    /// Another officer chose meanwhile; what both chose.
    changed: Option<Vec<Both>>,
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
    problems: Problems,
    changed: Option<Vec<Both>>,
}

impl ConflictsPage {
    fn new(frame: Frame, window: &Window, sent: Sent) -> Self {
        Self {
            frame: frame.with_problems(!sent.problems.is_empty() || sent.changed.is_some()),
            venue: window.venue.name.clone(),
            period: format!("{} to {}", window.from.brief(), window.to.short()),
            grid: window.path("", window.to),
            here: window.path("/conflicts", window.to),
            days: by_day(window, &sent),
            small: window.small_differences(),
            problems: sent.problems,
            changed: sent.changed,
        }
    }
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Place(venue): Place<VenueId>,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let window = Window::fetch(&site, venue, &asked, visitor.units().wind).await?;
    let frame = Frame::new(&site, &visitor, Section::Weather).await?;
    page(ConflictsPage::new(frame, &window, Sent::default()))
}

fn by_day(window: &Window, sent: &Sent) -> Vec<DayOf> {
    let mut days: Vec<DayOf> = Vec::new();
    for conflict in window.conflicts() {
        if days.last().is_none_or(|last| last.day != conflict.day) {
            let name = day_name(conflict.day);
            days.push(DayOf {
                day: conflict.day,
                sources: Vec::new(),
                lines: Vec::new(),
                chosen: sent.form.get(&name).to_owned(),
                problem: sent.problems.at(&name).to_owned(),
                name,
            });
        }
        if let Some(last) = days.last_mut() {
            for of in &conflict.said {
                let source = (of.source.to_string(), window.name(of));
                if !last.sources.contains(&source) {
                    last.sources.push(source);
                }
            }
            last.lines.push(line(window, &conflict, sent));
        }
    }
    days
}

fn line(window: &Window, conflict: &Conflict<'_>, sent: &Sent) -> Line {
    let (day, element) = (conflict.day, conflict.element);
    let stands = standing(window, day, element);
    let believed = match stands {
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
    let (name, was_name) = (box_name(day, element), was_name(day, element));
    let stands = stands.map(|source| source.to_string()).unwrap_or_default();
    // A box nobody touched shows the record; what was chosen in the others stays.
    let (chosen, was) = match touched(&sent.form, day, element) {
        true if sent.changed.is_some() => (sent.form.get(&name).to_owned(), stands),
        true => (
            sent.form.get(&name).to_owned(),
            sent.form.get(&was_name).to_owned(),
        ),
        false => (stands.clone(), stands),
    };
    Line {
        problem: sent.problems.at(&name).to_owned(),
        name,
        was_name,
        was,
        label: element.label(),
        said: said.join("; "),
        chosen,
        choices,
    }
}

/// Records what is believed wherever the form says otherwise than it was shown: all of it, or
/// nothing and the page again with what was chosen.
pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Place(venue): Place<VenueId>,
    Query(asked): Query<Asked>,
    form: Form,
) -> Result<Response, PageError> {
    let wind = member.who.units.wind;
    let window = Window::fetch(&site, venue, &asked, wind).await?;
    let mut problems = Problems::default();
    let beliefs = read(&window, &form, &mut problems);
    let frame = Frame::new(&site, &member.visitor(), Section::Weather).await?;
    let mut sent = Sent {
        form,
        problems,
        changed: None,
    };
    if !sent.problems.is_empty() {
        return page_again(ConflictsPage::new(frame, &window, sent));
    }
    match choose_weather::choose(&site.db, site.now(), &member.by(), venue, &beliefs).await {
        Err(ActionError::Refused { sentence, .. }) => {
            let window = Window::fetch(&site, venue, &asked, wind).await?;
            read(&window, &sent.form, &mut sent.problems);
            if sent.problems.is_empty() {
                sent.problems.add("", sentence);
            }
            page_again(ConflictsPage::new(frame, &window, sent))
        }
        Err(ActionError::Changed) => {
            let window = Window::fetch(&site, venue, &asked, wind).await?;
            sent.changed = Some(both(&window, &beliefs));
            let shown = ConflictsPage::new(frame, &window, sent);
            Ok((StatusCode::CONFLICT, Html(shown.render()?)).into_response())
        }
        done => {
            done?;
            let path = window.path("/conflicts", window.to);
            Ok(go_with(&site, &path, "saved").into_response())
        }
    }
}
