//! Choosing a sheet. It is kept as it came, laid out, so that it need not be chosen again.

use askama::Template;
use axum::{
    extract::State,
    response::{IntoResponse, Response},
};

use crate::{
    actions::{
        ActionError,
        import::{
            keep_file,
            sheet::{Plan, open, rows_of},
        },
    },
    domain::imports::ImportKind,
    web::{
        errors::PageError,
        forms::{Field, Problems},
        links::go,
        page::{Frame, Section, page, page_again},
        people::Member,
        state::Site,
        uploads::Upload,
    },
};

#[derive(Template)]
#[template(path = "imports/new.html")]
struct NewPage {
    frame: Frame,
    kind: String,
    problems: Problems,
}

impl NewPage {
    fn kind(&self) -> Field {
        Field::new("kind", "What the file holds", self.kind.as_str()).problems(&self.problems)
    }

    fn kinds(&self) -> Vec<(String, String)> {
        [
            (
                ImportKind::Results,
                "match results: a row is an angler in a match",
            ),
            (
                ImportKind::Sessions,
                "sessions that were no matches: a row is one angler’s day",
            ),
        ]
        .map(|(kind, words)| (kind.as_str().to_owned(), words.to_owned()))
        .to_vec()
    }
}

pub async fn show(State(site): State<Site>, member: Member) -> Result<Response, PageError> {
    page(NewPage {
        frame: Frame::new(&site, &member.visitor(), Section::Committee).await?,
        kind: ImportKind::Results.as_str().to_owned(),
        problems: Problems::default(),
    })
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    upload: Upload,
) -> Result<Response, PageError> {
    let mut problems = Problems::default();
    let kind = ImportKind::parse(upload.form.get("kind"));
    let of = kind.and_then(rows_of);
    if of.is_none() {
        problems.add("kind", "Say what the file holds.");
    }
    let file = upload.file("file");
    let sheet = match file {
        Some(file) => problems.take("file", open(&file.bytes)),
        None => {
            problems.add("file", "Choose the file: a CSV of at most 2 MiB.");
            None
        }
    };
    if let (Some(kind), Some(of), Some(file), Some(sheet)) = (kind, of, file, sheet) {
        let mut reading = site.db.read().await?;
        let begun = Plan::begun(&mut reading, (&sheet, &file.bytes), (kind, of)).await?;
        drop(reading);
        let plan = begun.json()?;
        let sent = (file.name.as_str(), file.bytes.as_slice());
        match keep_file(&site.db, site.now(), &member.by(), sent, kind, &plan).await {
            Ok(id) => return Ok(go(&site, &format!("/imports/{id}/columns")).into_response()),
            Err(ActionError::Refused { field, sentence }) => problems.add(field, sentence),
            Err(other) => return Err(other.into()),
        }
    }
    page_again(NewPage {
        frame: Frame::new(&site, &member.visitor(), Section::Committee)
            .await?
            .with_problems(true),
        kind: upload.form.get("kind").to_owned(),
        problems,
    })
}
