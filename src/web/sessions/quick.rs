//! `/report/quick`: the same water and peg as last time, last time's hours to confirm, and a number.
//! Its form is sent to `/report`; where something is missing the whole report's page takes over.

use askama::Template;
use axum::{
    extract::State,
    response::{IntoResponse, Response},
};

use super::{choices::Choices, form::ReportForm, pairs};
use crate::{
    domain::groups::Group,
    store::sessions::reading,
    web::{
        errors::PageError,
        forms::Form,
        links::go,
        page::{Frame, Section, page},
        people::{Member, Visitor},
        state::Site,
    },
};

#[derive(Template)]
#[template(path = "sessions/quick.html")]
struct QuickPage {
    frame: Frame,
    form: ReportForm,
    last: String,
    today: String,
    /// The groups reported last time.
    groups: Vec<&'static str>,
}

impl QuickPage {
    fn asks(&self, name: &str) -> bool {
        self.groups.contains(&name)
    }
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    member: Member,
) -> Result<Response, PageError> {
    let mut reading = site.db.read().await?;
    let latest = match member.who.angler {
        Some(angler) => reading::latest(&mut reading, angler).await?,
        None => None,
    };
    let head = match latest {
        Some(pid) => reading::by_pid(&mut reading, &pid).await?,
        None => None,
    };
    let Some(head) = head else {
        return Ok(go(&site, "/report").into_response());
    };
    let report = reading::report(&mut reading, &head).await?;
    drop(reading);
    let choices = Choices::load(&site, &member, head.venue).await?;
    let today = site.now().day(&choices.zone);
    let carried = [
        "venue",
        "peg",
        "start",
        "end",
        "visibility",
        "method_1",
        "bait_1",
        "line_1",
        "rods_1",
    ];
    let mut pairs: Vec<_> = pairs::pairs_of(&report, &choices)
        .into_iter()
        .filter(|(name, _)| carried.contains(&name.as_str()))
        .collect();
    if report
        .spells
        .iter()
        .filter(|spell| !spell.uncovered)
        .count()
        > 1
    {
        pairs.retain(|(name, _)| !name.ends_with("_1"));
    }
    pairs.push(("date".to_owned(), today.to_string()));
    let groups: Vec<_> = Group::ALL
        .into_iter()
        .filter(|group| {
            report
                .caught
                .iter()
                .any(|c| c.groups == (*group).into() && c.count != Some(0))
        })
        .map(Group::name)
        .collect();
    page(QuickPage {
        frame: Frame::new(&site, &visitor, Section::Report).await?,
        form: ReportForm::new(&Form::from_pairs(pairs), &choices, None),
        last: head.day.long(),
        today: today.long(),
        groups: if groups.is_empty() {
            Group::ALL.map(Group::name).to_vec()
        } else {
            groups
        },
    })
}
