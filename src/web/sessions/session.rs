//! `/sessions/{session}`: one session, to whom its angler lets see it.

use askama::Template;
use axum::{
    extract::{Path, State},
    http::StatusCode,
    response::{Html, IntoResponse, Response},
};

use super::{
    choices::Choices,
    told::{Told, scales_words},
};
use crate::{
    actions::report_in_match,
    domain::{
        ids::Pid,
        names::{Name, NamesOpen, Reader, shown},
        sessions::Visibility,
    },
    statistics::run_up_words,
    store::{
        anglers,
        sessions::reading::{self, Head, WeighedIn},
    },
    web::{
        errors::PageError,
        page::{Frame, Section, page},
        people::{Member, Visitor},
        pictures::RunUpStrip,
        state::Site,
        strips,
    },
};

#[derive(Template)]
#[template(path = "sessions/session.html")]
struct SessionPage {
    frame: Frame,
    head: Head,
    angler: String,
    told: Told,
    /// What was weighed in at its match, a sentence for each set of groups of fish.
    weighed: Vec<String>,
    own: bool,
    /// The match not posted yet whose entry this report will join.
    awaited: Option<String>,
    /// The report changed under the hand that would take it back.
    kept: bool,
    /// The numbers of its pegs.
    pegs: Vec<String>,
    /// The run-up to the day, where any of it is written down.
    strip: Option<RunUpStrip>,
    run_up: String,
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    member: Member,
    Path(session): Path<String>,
) -> Result<Response, PageError> {
    let pid = Pid::parse(&session).ok_or(PageError::NotFound)?;
    page(SessionPage::of(&site, &visitor, &member, &pid).await?)
}

/// 409: a report that was to be taken back had changed meanwhile. What now stands is shown.
pub(super) async fn not_taken_back(
    site: &Site,
    member: &Member,
    session: &Pid,
) -> Result<Response, PageError> {
    let mut shown = SessionPage::of(site, &member.visitor(), member, session).await?;
    shown.frame = shown.frame.with_problems(true);
    shown.kept = true;
    Ok((StatusCode::CONFLICT, Html(shown.render()?)).into_response())
}

impl SessionPage {
    fn venue(&self, page: &str) -> String {
        self.frame
            .url(&format!("/venues/{}{page}", self.head.venue))
    }

    fn weather(&self) -> String {
        self.venue(&format!("/weather?until={}", self.head.day))
    }

    async fn of(
        site: &Site,
        visitor: &Visitor,
        member: &Member,
        session: &Pid,
    ) -> Result<Self, PageError> {
        let mut reading = site.db.read().await?;
        let head = reading::by_pid(&mut reading, session)
            .await?
            .ok_or(PageError::NotFound)?;
        let own = member.who.angler == Some(head.angler);
        let same_team = match member.who.angler {
            Some(reader) => reading::same_team(&mut reading, reader, head.angler, head.day).await?,
            None => false,
        };
        let visibility = Visibility::parse(&head.visibility).unwrap_or(Visibility::Private);
        // A match without a report has nothing here of the angler's own: its result has a page elsewhere.
        if !visibility.admits(own, same_team) || (!head.has_report && !own) {
            return Err(PageError::NotFound);
        }
        let angler = anglers::by_id(&mut reading, head.angler).await?;
        let name = angler.and_then(|a| a.given.map(|given| Name::from_label(given, a.surname)));
        let reader = if visitor.is_officer() || own {
            Reader::Officer
        } else {
            Reader::Member
        };
        let report = reading::report(&mut reading, &head).await?;
        let weighed = match head.entry {
            Some(entry) => reading::weighed_in(&mut reading, entry).await?,
            None => Vec::new(),
        };
        let awaited = match own && head.has_report && head.entry.is_none() {
            true => report_in_match::awaited(&mut reading, head.angler, &report).await?,
            false => None,
        };
        let weather = site.db.weather().of(&mut reading, head.venue).await?;
        drop(reading);
        let speed = member.who.units.wind;
        let choices = Choices::load(site, member, head.venue).await?;
        let mut pegs: Vec<String> = Vec::new();
        for spell in &report.spells {
            let peg = choices.pegs.iter().find(|peg| Some(peg.id) == spell.peg);
            let number = peg.map(|peg| peg.number.clone());
            pegs.extend(number.filter(|number| !pegs.contains(number)));
        }
        Ok(Self {
            frame: Frame::new(site, visitor, Section::Report).await?,
            angler: shown(
                name.as_ref(),
                head.was_junior,
                reader,
                NamesOpen::Full,
                None,
            ),
            weighed: weighed.iter().map(weighed_words).collect(),
            told: Told::new(&report, &choices),
            strip: strips::any(&weather, head.day)
                .then(|| strips::large("run-up", &weather, head.day, None, speed)),
            run_up: run_up_words::summary(
                &weather.run_up(head.day),
                &weather.weather,
                weather.usual(head.day),
                speed,
            ),
            pegs,
            head,
            own,
            awaited: awaited
                .filter(|entry| report.agrees(&entry.part()))
                .map(|entry| entry.match_name),
            kept: false,
        })
    }
}

/// `Carp: 4 lb 10 oz, weighed in`.
fn weighed_words(posted: &WeighedIn) -> String {
    let weight = match posted.weight_g {
        Some(0.0) => "nothing weighed in".to_owned(),
        Some(grams) => format!("{}, weighed in", scales_words(grams, posted.scale())),
        None if posted.disqualified => return format!("{}: disqualified", posted.groups),
        None => "did not weigh".to_owned(),
    };
    let then = if posted.disqualified {
        ", disqualified"
    } else {
        ""
    };
    format!("{}: {weight}{then}", posted.groups)
}
