//! The weigh sheet typed up: nets and outcome of every entry, saved in one go.

use askama::Template;
use axum::{
    extract::{Path, State},
    http::StatusCode,
    response::{Html, IntoResponse, Response},
};

use super::{
    changed_since_posting, version,
    weigh_sheet::{Row, Sheet},
};
use crate::{
    actions::{ActionError, record_weights::record_weights},
    store::matches::Match,
    web::{
        errors::PageError,
        filters,
        forms::{Field, Form, Problems},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::{Member, Visitor},
        state::Site,
    },
};

#[derive(Template)]
#[template(path = "matches/weights.html")]
struct WeightsPage {
    frame: Frame,
    the_match: Match,
    /// The version the form answers.
    version: i64,
    rows: Vec<Row>,
    problems: Problems,
    /// Somebody saved while the form was open.
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

    fn outcomes(&self) -> Vec<(String, String)> {
        [
            ("", "not yet weighed"),
            ("fished", "weighed in"),
            ("blank", "blank: caught nothing"),
            ("did not weigh", "fished, did not weigh in"),
            ("absent", "absent: did not fish"),
            ("disqualified", "disqualified"),
        ]
        .map(|(value, words)| (value.to_owned(), words.to_owned()))
        .to_vec()
    }
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Path(id): Path<String>,
) -> Result<Response, PageError> {
    let sheet = Sheet::of(&site, &id).await?;
    let problems = Problems::default();
    page(WeightsPage {
        frame: Frame::new(&site, &visitor, Section::Matches).await?,
        rows: sheet.rows(None, &problems),
        unposted: changed_since_posting(&site, &sheet.the_match).await?,
        early: sheet.is_early(&site),
        version: sheet.the_match.version,
        the_match: sheet.the_match,
        problems,
        changed: false,
    })
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let sheet = Sheet::of(&site, &id).await?;
    let at = (sheet.the_match.id, version(form.get("version"))?);
    let mut problems = Problems::default();
    let weighed = sheet.read(&form, &mut problems);
    if problems.is_empty() {
        match record_weights(&site.db, site.now(), &member.by(), at, &weighed).await {
            Ok(()) => {
                let back = format!("/matches/{}/weights", sheet.the_match.id);
                return Ok(go_with(&site, &back, "saved").into_response());
            }
            Err(ActionError::Refused { field, sentence }) => problems.add(field, sentence),
            Err(ActionError::Changed) => return both(&site, &member, &id, &form).await,
            Err(other) => return Err(other.into()),
        }
    }
    page_again(WeightsPage {
        frame: Frame::new(&site, &member.visitor(), Section::Matches)
            .await?
            .with_problems(true),
        rows: sheet.rows(Some(&form), &problems),
        unposted: changed_since_posting(&site, &sheet.the_match).await?,
        early: sheet.is_early(&site),
        // Still the one that was sent: what somebody saved meanwhile is shown before it is saved over.
        version: at.1,
        the_match: sheet.the_match,
        problems,
        changed: false,
    })
}

/// 409: the sheet as it was typed, with what the record says now beside each figure that differs.
async fn both(site: &Site, member: &Member, id: &str, form: &Form) -> Result<Response, PageError> {
    let sheet = Sheet::of(site, id).await?;
    let problems = Problems::default();
    let mut rows = sheet.rows(Some(form), &problems);
    for (typed, saved) in rows.iter_mut().zip(sheet.rows(None, &problems)) {
        compare(&mut typed.outcome, &saved.outcome);
        for (typed, saved) in typed.nets.iter_mut().zip(&saved.nets) {
            compare(&mut typed.field, &saved.field);
        }
    }
    let shown = WeightsPage {
        frame: Frame::new(site, &member.visitor(), Section::Matches)
            .await?
            .with_problems(true),
        rows,
        unposted: changed_since_posting(site, &sheet.the_match).await?,
        early: sheet.is_early(site),
        version: sheet.the_match.version,
        the_match: sheet.the_match,
        problems,
        changed: true,
    };
    Ok((StatusCode::CONFLICT, Html(shown.render()?)).into_response())
}

fn compare(typed: &mut Field, saved: &Field) {
    // 12-8 and 12 lb 8 oz are one weight.
    let same = typed.value == saved.value || (typed.echo.is_some() && typed.echo == saved.echo);
    if !same {
        let on_record = match saved.value.as_str() {
            "" => "nothing",
            words => words,
        };
        typed.hint = Some(format!("On record now: {on_record}"));
    }
}
