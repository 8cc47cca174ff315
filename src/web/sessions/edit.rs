//! `/sessions/{session}/edit`: an angler changes a report, or takes it back.

use askama::Template;
use axum::{
    extract::{Path, State},
    http::StatusCode,
    response::{Html, IntoResponse, Response},
};

use super::{
    choices::Choices,
    form::{self, ReportForm},
    pairs,
    report::{self, ReportPage, again},
    session,
    told::Told,
    typed::{self, Reading},
};
use crate::{
    actions::{ActionError, change_session, report_in_match, save_session::Kept},
    domain::{
        dates::Instant,
        ids::{Pid, VenueId},
        sessions::Report,
    },
    store::sessions::reading::{self, Head},
    web::{
        errors::PageError,
        forms::{Form, Problems},
        links::go_with,
        page::{Frame, Section, form_page},
        people::Member,
        state::Site,
    },
};

/// Two versions of one report, the reader to choose.
#[derive(Template)]
#[template(path = "sessions/versions.html")]
struct VersionsPage {
    frame: Frame,
    session: Pid,
    saved: Told,
    yours: Told,
    /// What was sent, to be sent again over what is saved.
    pairs: Vec<(String, String)>,
}

/// This member's own report; anything else is not found.
async fn own(site: &Site, member: &Member, session: &str) -> Result<Head, PageError> {
    let pid = Pid::parse(session).ok_or(PageError::NotFound)?;
    reading::by_pid(&mut *site.db.read().await?, &pid)
        .await?
        .filter(|head| head.has_report && member.who.angler == Some(head.angler))
        .ok_or(PageError::NotFound)
}

pub async fn show(
    State(site): State<Site>,
    member: Member,
    Path(session): Path<String>,
) -> Result<Response, PageError> {
    let head = own(&site, &member, &session).await?;
    let saved = as_saved(&site, &member, head, Problems::default()).await?;
    form_page(StatusCode::OK, saved)
}

/// The edit of a report as it stands in the record.
async fn as_saved(
    site: &Site,
    member: &Member,
    head: Head,
    problems: Problems,
) -> Result<ReportPage, PageError> {
    let choices = Choices::load(site, member, head.venue).await?;
    let report = reading::report(&mut *site.db.read().await?, &head).await?;
    let mut pairs = pairs::pairs_of(&report, &choices);
    pairs.push(("ver".to_owned(), head.ver.to_string()));
    let mut shown = ReportForm::new(&Form::from_pairs(pairs), &choices, None);
    shown.sure = shown.sure.problems(&problems);
    shown.problems = problems;
    again(site, member, shown, Some(&head)).await
}

/// The edit of a report as it was typed, nothing of it judged yet.
async fn as_typed(
    site: &Site,
    member: &Member,
    head: &Head,
    form: Form,
    problems: Problems,
) -> Result<ReportPage, PageError> {
    let form = with_ticks_of_its_water(form);
    let (choices, _) = at_the_water(site, member, head, &form).await?;
    let asked = typed::questions_only(&form, &choices, site.now());
    let mut shown = ReportForm::new(&form, &choices, Some(&asked));
    shown.sure = shown.sure.problems(&problems);
    shown.problems = problems;
    again(site, member, shown, Some(head)).await
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Path(session): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let head = match own(&site, &member, &session).await {
        Err(PageError::NotFound) => return gone(&site, &member, &form, &session).await,
        head => head?,
    };
    let form = with_ticks_of_its_water(form);
    let (choices, wrong) = at_the_water(&site, &member, &head, &form).await?;
    let act = form.get("do");
    if act == "water" || act.starts_with("add-") {
        let mut asked = match act {
            "water" => pegs_only(&form, &choices, site.now()),
            _ => typed::questions_only(&form, &choices, site.now()),
        };
        asked.problems.list.extend(wrong.list);
        return shown(&site, &member, &head, &form, &choices, &asked).await;
    }
    let mut read = typed::read(&form, &choices, site.now());
    if !wrong.is_empty() {
        read.report = None;
        read.problems.list.extend(wrong.list);
    }
    let another = typed::another(&form);
    let said = another.ticked;
    if said {
        read.questions.push(("start".to_owned(), another));
    }
    let ver = form::number(form.get("ver")).unwrap_or(0);
    if let Some(report) = &read.report {
        let (by, sent, now) = (member.by(), (report, said), site.now());
        let read_back = form::asks_back(&form);
        let kept = match read_back {
            true => change_session::would_change(&site.db, now, &by, &head.pid, ver, sent).await,
            false => change_session::change(&site.db, now, &by, &head.pid, ver, sent).await,
        };
        match kept {
            Ok(Kept::Reported(other)) => read.reported(&site, &other),
            Ok(Kept::Overlaps(other)) => read.overlaps(&site, &form, &other, choices.water.id),
            Ok(_) if read_back => {
                return shown(&site, &member, &head, &form, &choices, &read).await;
            }
            Ok(_) => return Ok(report::saved(&site, &head.pid, report.visibility)),
            Err(ActionError::Changed) => {
                return versions(&site, &member, &form, &choices, report, &head.pid).await;
            }
            Err(ActionError::NotFound) => {
                return report::taken_back(&site, &member, &form, &choices).await;
            }
            Err(ActionError::Refused { field, sentence }) => read.problems.add(field, sentence),
            Err(error) => return Err(error.into()),
        }
    }
    if let Some(report) = read.understood.as_ref().filter(|_| read.see.is_empty()) {
        let by = member.by();
        let other = match said || read.report.is_some() {
            true => None,
            false => change_session::overlaps(&site.db, &head, report).await?,
        };
        let against = report_in_match::all_against(&site.db, &by, Some(&head), report).await?;
        if let Some(other) = other {
            read.overlaps(&site, &form, &other, choices.water.id);
        }
        read.add_against(against);
    }
    shown(&site, &member, &head, &form, &choices, &read).await
}

/// The form with what was sent, and what is to be mended of it.
async fn shown(
    site: &Site,
    member: &Member,
    head: &Head,
    form: &Form,
    choices: &Choices,
    read: &Reading,
) -> Result<Response, PageError> {
    let status = match read.problems.is_empty() {
        true => StatusCode::OK,
        false => StatusCode::UNPROCESSABLE_ENTITY,
    };
    let shown = ReportForm::new(form, choices, Some(read));
    form_page(status, again(site, member, shown, Some(head)).await?)
}

/// The form without ticks that were given about pegs of another water than it names now.
fn with_ticks_of_its_water(form: Form) -> Form {
    if !form.has("shown") || form.get("shown") == form.get("venue") {
        return form;
    }
    let of_a_peg = |name: &str| name.starts_with("peg") && name.ends_with("_sure");
    let pairs = form.pairs().iter().filter(|(name, _)| !of_a_peg(name));
    Form::from_pairs(pairs.cloned().collect())
}

/// What is chosen from at the water that the form names. A water that it cannot be moved to is a
/// problem, and the choices are those of where it stands.
async fn at_the_water(
    site: &Site,
    member: &Member,
    head: &Head,
    form: &Form,
) -> Result<(Choices, Problems), PageError> {
    let mut problems = Problems::default();
    let named = form::number(form.get("venue")).map_or(head.venue, VenueId);
    if named != head.venue && head.entry.is_some() {
        let sentence = format!(
            "This is your report of a match at {}. Keep that water.",
            head.venue_name
        );
        problems.add("venue", sentence);
    } else if named != head.venue {
        match Choices::load(site, member, named).await {
            Err(PageError::NotFound) => problems.add(
                "venue",
                "That water is not on record any longer. Choose another.",
            ),
            choices => return Ok((choices?, problems)),
        }
    }
    Ok((Choices::load(site, member, head.venue).await?, problems))
}

/// Of a form that was to show another water, only what is wrong with its pegs there.
fn pegs_only(form: &Form, choices: &Choices, now: Instant) -> Reading {
    let of_a_peg = |field: &str| field == "peg" || field.starts_with("peg_");
    let mut read = typed::read(form, choices, now);
    read.problems
        .list
        .retain(|problem| of_a_peg(&problem.field));
    read.questions.retain(|(field, _)| of_a_peg(field));
    Reading {
        report: None,
        understood: None,
        echoes: Vec::new(),
        ..read
    }
}

/// What was typed for a report that its angler took back meanwhile; of anything else, nothing.
async fn gone(
    site: &Site,
    member: &Member,
    form: &Form,
    session: &str,
) -> Result<Response, PageError> {
    let pid = Pid::parse(session).ok_or(PageError::NotFound)?;
    let was = taken_back_at(site, member, &pid)
        .await?
        .ok_or(PageError::NotFound)?;
    let named = form::number(form.get("venue")).map_or(was, VenueId);
    let choices = match Choices::load(site, member, named).await {
        Err(PageError::NotFound) => Choices::load(site, member, was).await?,
        choices => choices?,
    };
    report::taken_back(site, member, form, &choices).await
}

/// The water of a report that this member took back; none of anything else.
async fn taken_back_at(
    site: &Site,
    member: &Member,
    session: &Pid,
) -> Result<Option<VenueId>, PageError> {
    let Some(angler) = member.who.angler else {
        return Ok(None);
    };
    Ok(reading::taken_back(&mut *site.db.read().await?, session, angler).await?)
}

async fn versions(
    site: &Site,
    member: &Member,
    form: &Form,
    choices: &Choices,
    yours: &Report,
    pid: &Pid,
) -> Result<Response, PageError> {
    let mut reading = site.db.read().await?;
    let head = reading::by_pid(&mut reading, pid)
        .await?
        .ok_or(PageError::NotFound)?;
    let saved = reading::report(&mut reading, &head).await?;
    drop(reading);
    let mut pairs: Vec<_> = form
        .pairs()
        .iter()
        .filter(|(name, _)| !matches!(name.as_str(), "ver" | "do" | "sure"))
        .cloned()
        .collect();
    pairs.push(("ver".to_owned(), head.ver.to_string()));
    let there = Choices::load(site, member, head.venue).await?;
    let (saved, yours) = Told::beside((&saved, &there), (yours, choices));
    let shown = VersionsPage {
        frame: Frame::new(site, &member.visitor(), Section::Report)
            .await?
            .with_problems(true),
        session: head.pid,
        saved,
        yours,
        pairs,
    };
    Ok((StatusCode::CONFLICT, Html(shown.render()?)).into_response())
}

/// Asks for the tick, beside the edit with all that was typed in it.
async fn ask_tick(
    site: &Site,
    member: &Member,
    session: &str,
    form: Form,
) -> Result<Response, PageError> {
    let typed = form.has("date");
    let head = match own(site, member, session).await {
        Err(PageError::NotFound) if typed => return gone(site, member, &form, session).await,
        head => head?,
    };
    let mut problems = Problems::default();
    problems.add("sure", "Tick that this report is to be taken back.");
    let page = match typed {
        true => as_typed(site, member, &head, form, problems).await?,
        false => as_saved(site, member, head, problems).await?,
    };
    form_page(StatusCode::UNPROCESSABLE_ENTITY, page)
}

/// Takes the report back, once that is ticked; with an old version the session is shown again, as it now stands.
pub async fn take_back(
    State(site): State<Site>,
    member: Member,
    Path(session): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let pid = Pid::parse(&session).ok_or(PageError::NotFound)?;
    if !form.has("sure") {
        return ask_tick(&site, &member, &session, form).await;
    }
    let ver = form::number(form.get("ver")).unwrap_or(0);
    let done = || go_with(&site, "/sessions", "report-removed").into_response();
    match change_session::take_back(&site.db, site.now(), &member.by(), &pid, ver).await {
        Ok(()) => Ok(done()),
        // A button tapped twice: the first tap did it.
        Err(ActionError::NotFound) => match taken_back_at(&site, &member, &pid).await? {
            Some(_) => Ok(done()),
            None => Err(PageError::NotFound),
        },
        Err(ActionError::Changed) => session::not_taken_back(&site, &member, &pid).await,
        Err(error) => Err(error.into()),
    }
}
