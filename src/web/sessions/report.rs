//! `/report`: an angler reports a session.

use askama::Template;
use axum::{
    extract::{Query, State},
    http::StatusCode,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    choices::Choices,
    form::{self, ReportForm},
    of_entry, pairs, quick,
    told::Told,
    typed::{self, Reading},
    waters,
};
use crate::{
    actions::{
        ActionError, report_in_match,
        save_session::{self, Kept, Sent},
        tokens,
    },
    domain::{
        ids::{Pid, VenueId},
        sessions::Visibility,
    },
    store::{
        anglers,
        sessions::{
            choices,
            reading::{self, Head},
        },
    },
    web::{
        errors::PageError,
        forms::Form,
        links::go_with,
        page::{Frame, Section, form_page},
        people::{Member, Visitor},
        state::Site,
    },
};

#[derive(Template)]
#[template(path = "sessions/report.html")]
pub struct ReportPage {
    frame: Frame,
    form: ReportForm,
    /// The report being changed; none for a new one.
    session: Option<Pid>,
    /// The waters that it may be moved to, its own with them; none where there is no choice.
    waters: Vec<(String, String)>,
    /// Why the water of a match's session cannot be chosen.
    stands: Option<String>,
    /// The match whose entry a new report was begun from.
    joins: Option<String>,
    /// The form was accepted before with other words.
    other_words: bool,
    /// What was saved of it then, each line marked that what was sent now does not have.
    standing: Option<Told>,
    /// The report that was being changed has been taken back.
    taken_back: bool,
}

impl ReportPage {
    /// Where the form is sent.
    fn here(&self) -> String {
        match &self.session {
            Some(pid) => self.frame.url(&format!("/sessions/{pid}/edit")),
            None => self.frame.url("/report"),
        }
    }
}

#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Asked {
    venue: String,
    peg: String,
    date: String,
    /// The session of a match that the report is to join.
    session: String,
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    member: Member,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let frame = Frame::new(&site, &visitor, Section::Report).await?;
    if asked.venue.is_empty() {
        return waters::which(&site, &member, frame).await;
    }
    let venue = form::number(&asked.venue)
        .map(VenueId)
        .ok_or(PageError::NotFound)?;
    let choices = Choices::load(&site, &member, venue).await?;
    let remembered = default_visibility(&site, &member).await?;
    let mut pairs = pairs::fresh(
        site.now().day(&choices.zone),
        &member.who.name,
        &choices,
        remembered,
    );
    if let Some(day) = crate::domain::dates::Day::parse(&asked.date) {
        pairs[0].1 = day.to_string();
    }
    let joins = of_entry::told(&site, &member, &asked.session, &choices).await?;
    let joins = joins.map(|(name, told)| {
        pairs.retain(|(name, _)| name != "date");
        pairs.extend(told);
        name
    });
    if joins.is_none() {
        pairs.push(("peg".to_owned(), asked.peg));
    }
    let shown = ReportPage {
        frame,
        form: ReportForm::new(&Form::from_pairs(pairs), &choices, None),
        session: None,
        waters: Vec::new(),
        stands: None,
        joins,
        other_words: false,
        standing: None,
        taken_back: false,
    };
    form_page(StatusCode::OK, shown)
}

/// Who may see this member's reports, as answered last.
pub async fn default_visibility(
    site: &Site,
    member: &Member,
) -> Result<Option<&'static str>, PageError> {
    let Some(angler) = member.who.angler else {
        return Ok(None);
    };
    let angler = anglers::by_id(&mut *site.db.read().await?, angler).await?;
    Ok(form::remembered(
        angler.and_then(|a| a.default_visibility).as_deref(),
    ))
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    form: Form,
) -> Result<Response, PageError> {
    let venue = form::number(form.get("venue"))
        .map(VenueId)
        .ok_or(PageError::NotFound)?;
    let choices = Choices::load(&site, &member, venue).await?;
    let act = form.get("do");
    // The whole form, of a quick report too, with everything typed so far.
    if act == "whole" || act.starts_with("add-") {
        let asked = typed::questions_only(&form, &choices, site.now());
        let shown = ReportForm::new(&form, &choices, Some(&asked));
        return form_page(StatusCode::OK, again(&site, &member, shown, None).await?);
    }
    let mut read = typed::read(&form, &choices, site.now());
    let another = typed::another(&form);
    let said = another.ticked;
    if said {
        read.questions.push(("start".to_owned(), another));
    }
    let mut shown = ReportForm::new(&form, &choices, Some(&read));
    let Some(report) = &read.report else {
        return to_mend(&site, &member, &form, (&choices, read)).await;
    };
    let sent = Sent {
        key: &shown.key,
        body_sha256: tokens::hash(&words_of(&form)),
        report,
        zone: &choices.water.zone,
        name: read.name.as_ref(),
        another_person: form.has("another_person"),
        another: said,
    };
    let (by, now) = (member.by(), site.now());
    let kept = match shown.told.is_some() {
        true => save_session::would_keep(&site.db, now, &by, sent).await,
        false => save_session::keep(&site.db, now, &by, sent).await,
    };
    match kept {
        Ok(Kept::Saved(_)) if shown.told.is_some() => read_back(&site, &member, &form, shown).await,
        Ok(Kept::Saved(pid)) => Ok(saved(&site, &pid, report.visibility)),
        Ok(Kept::Already(pid)) => match standing(&site, &pid).await? {
            Some(_) => Ok(saved(&site, &pid, report.visibility)),
            None => taken_back(&site, &member, &form, &choices).await,
        },
        Ok(Kept::OfAnother) => {
            let sentence = "This form was saved before, from another account. If it tells of a session of your own, save it once more.";
            shown.problems.add("", sentence);
            shown.key = tokens::new_pid().to_string();
            shown.told = None;
            mend(&site, &member, &form, shown).await
        }
        Ok(Kept::OtherWords(pid)) => other_words(&site, &member, &form, &choices, &read, pid).await,
        Ok(Kept::Overlaps(other)) => {
            read.overlaps(&site, &form, &other, venue);
            let shown = ReportForm::new(&form, &choices, Some(&read));
            mend(&site, &member, &form, shown).await
        }
        Ok(Kept::SentBefore(pid)) => {
            read.sent_before(&site, &form, &pid);
            let shown = ReportForm::new(&form, &choices, Some(&read));
            mend(&site, &member, &form, shown).await
        }
        Ok(Kept::Reported(pid)) => {
            read.reported(&site, &pid);
            let shown = ReportForm::new(&form, &choices, Some(&read));
            mend(&site, &member, &form, shown).await
        }
        Err(ActionError::Refused { field, sentence }) => {
            read.problems.add(field, sentence);
            to_mend(&site, &member, &form, (&choices, read)).await
        }
        Err(error) => Err(error.into()),
    }
}

/// The form it was sent from, with what was understood of it; nothing is saved.
async fn read_back(
    site: &Site,
    member: &Member,
    form: &Form,
    shown: ReportForm,
) -> Result<Response, PageError> {
    if form.has("quick") {
        let page = quick::again(site, member, form, shown).await?;
        return form_page(StatusCode::OK, page);
    }
    form_page(StatusCode::OK, again(site, member, shown, None).await?)
}

/// The form again, with all that is to be mended: of the form itself, and of the match it tells of.
async fn to_mend(
    site: &Site,
    member: &Member,
    form: &Form,
    (choices, mut read): (&Choices, Reading),
) -> Result<Response, PageError> {
    let name_refused = !read.problems.at("given").is_empty();
    if let Some(report) = &read.understood {
        let by = member.by();
        let other = match typed::another(form).ticked || read.report.is_some() {
            true => None,
            false => save_session::overlaps(&site.db, &by, form.get("key"), report).await?,
        };
        let against = report_in_match::all_against(&site.db, &by, None, report).await?;
        if let Some(other) = other {
            read.overlaps(site, form, &other, choices.water.id);
        }
        read.add_against(against);
    }
    let mut shown = ReportForm::new(form, choices, Some(&read));
    shown.ask_another |= name_refused && read.name.is_some();
    mend(site, member, form, shown).await
}

/// The session of a form that was saved before, unless its report was taken back since.
async fn standing(site: &Site, pid: &Pid) -> Result<Option<Head>, PageError> {
    let head = reading::by_pid(&mut *site.db.read().await?, pid).await?;
    Ok(head.filter(|head| head.has_report))
}

/// To the session's page, which says who sees the report.
pub(super) fn saved(site: &Site, pid: &Pid, visibility: Visibility) -> Response {
    let done = match visibility {
        Visibility::Private => "report-saved-private",
        Visibility::Team => "report-saved-team",
        Visibility::Club => "report-saved",
    };
    go_with(site, &format!("/sessions/{pid}"), done).into_response()
}

/// The form it was sent from, quick or whole, with what is to be mended.
async fn mend(
    site: &Site,
    member: &Member,
    form: &Form,
    shown: ReportForm,
) -> Result<Response, PageError> {
    let status = StatusCode::UNPROCESSABLE_ENTITY;
    if quick::holds(form, &shown.problems) {
        return form_page(status, quick::again(site, member, form, shown).await?);
    }
    form_page(status, again(site, member, shown, None).await?)
}

/// The form with what was sent, once more; `head`: the session whose report it changes.
pub async fn again(
    site: &Site,
    member: &Member,
    form: ReportForm,
    head: Option<&Head>,
) -> Result<ReportPage, PageError> {
    let frame = Frame::new(site, &member.visitor(), Section::Report).await?;
    let (waters, stands) = match head {
        Some(head) if head.entry.is_none() => (to_choose(site).await?, None),
        Some(head) => (Vec::new(), stands_in(head)),
        None => (Vec::new(), None),
    };
    Ok(ReportPage {
        frame: frame.with_problems(!form.problems.is_empty()),
        form,
        session: head.map(|head| head.pid.clone()),
        waters,
        stands,
        joins: None,
        other_words: false,
        standing: None,
        taken_back: false,
    })
}

/// The waters on record, where there is more than one.
async fn to_choose(site: &Site) -> Result<Vec<(String, String)>, PageError> {
    let waters = choices::waters(&mut *site.db.read().await?).await?;
    let more_than_one = waters.len() > 1;
    let waters = waters.into_iter().filter(|_| more_than_one);
    Ok(waters.map(|one| (one.id.to_string(), one.name)).collect())
}

fn stands_in(head: &Head) -> Option<String> {
    let (name, water) = (head.match_name.as_ref()?, &head.venue_name);
    Some(format!(
        "It stands in the match {name}, so its water stays {water}."
    ))
}

/// 409: the report that was being changed has been taken back. What was typed, as a new report.
pub(super) async fn taken_back(
    site: &Site,
    member: &Member,
    form: &Form,
    choices: &Choices,
) -> Result<Response, PageError> {
    let asked = typed::questions_only(form, choices, site.now());
    let mut shown = ReportForm::new(form, choices, Some(&asked));
    shown.key = tokens::new_pid().to_string();
    shown.ver = String::new();
    let mut page = again(site, member, shown, None).await?;
    page.taken_back = true;
    page.frame = page.frame.with_problems(true);
    form_page(StatusCode::CONFLICT, page)
}

/// 409: this very form was saved before with other words. The edit of that report, filled with what was sent.
async fn other_words(
    site: &Site,
    member: &Member,
    form: &Form,
    choices: &Choices,
    read: &Reading,
    pid: Pid,
) -> Result<Response, PageError> {
    let head = standing(site, &pid).await?;
    let mut shown = ReportForm::new(form, choices, Some(read));
    shown.told = None;
    let mut standing = None;
    match &head {
        Some(head) => {
            shown.ver = head.ver.to_string();
            let saved = reading::report(&mut *site.db.read().await?, head).await?;
            let there = Choices::load(site, member, head.venue).await?;
            let yours = read.report.as_ref();
            standing = yours.map(|yours| Told::beside((&saved, &there), (yours, choices)).0);
        }
        // The first was taken back: what was sent is a new report.
        None => shown.key = tokens::new_pid().to_string(),
    }
    let mut page = again(site, member, shown, head.as_ref()).await?;
    page.other_words = true;
    page.standing = standing;
    page.frame = page.frame.with_problems(true);
    form_page(StatusCode::CONFLICT, page)
}

/// What was sent, without the form's own marks, for telling one sending from another.
fn words_of(form: &Form) -> String {
    form.pairs()
        .iter()
        .filter(|(name, _)| !matches!(name.as_str(), "key" | "do" | "ver"))
        .map(|(name, value)| format!("{name}\u{1f}{value}\u{1e}"))
        .collect()
}
