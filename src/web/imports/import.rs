//! One file: what saving it would make, row by row where something is wrong; later, what it made.

use askama::Template;
use axum::{
    extract::{Path, State},
    response::{IntoResponse, Response},
};

use self::preview::preview;
use super::{found, laid_out, latest, list};
use crate::{
    actions::{
        ActionError, import,
        import::{
            sheet::{Said, rows_of, save},
            weather::Brought,
        },
    },
    domain::{dates::Instant, imports::ImportState},
    formats::old_sheets::lines_named,
    statistics::wording,
    store::{
        imports::{
            Import,
            records::{self, MadeMatch, MadeSession, matches_made, sessions_made},
            undoing,
        },
        settings,
    },
    web::{
        errors::PageError,
        forms::{Field, Form, Problems},
        links::{go, go_with},
        page::{Frame, Section, page, page_again},
        people::Member,
        state::Site,
    },
};

mod preview;

/// The matches, and the sessions, linked from the page of a file in the record.
const LINKED: i64 = 50;
/// What is missing where a file is to be undone.
pub(in crate::web) const TICK_TO_UNDO: &str = "Tick that the whole file is undone, then undo it.";

#[derive(Template)]
#[template(path = "imports/import.html")]
struct ImportPage {
    frame: Frame,
    import: Import,
    at: String,
    done: String,
    undone: String,
    /// Who undid it; `None` of the command line.
    undone_by: Option<String>,
    made: String,
    /// The first of its matches, while it is in the record.
    matches: Vec<MadeMatch>,
    /// The first of its sessions that an officer may read, while it is in the record.
    sessions: Vec<MadeSession>,
    /// How many of its sessions are not open to an officer.
    closed: usize,
    /// That rows of the sheet were left out, and where they stand in it.
    left_out: String,
    /// The tick without which the file is not undone.
    sure: Field,
    problems: Problems,
}

impl ImportPage {
    async fn new(
        site: &Site,
        member: &Member,
        import: Import,
        problems: Problems,
    ) -> Result<Self, PageError> {
        let frame = Frame::new(site, &member.visitor(), Section::Committee).await?;
        let mut reading = site.db.read().await?;
        let zone = settings::club(&mut reading).await?.zone;
        let in_record = import.state == ImportState::Done;
        let words = |at: Option<Instant>| at.map(|at| at.in_words(&zone));
        Ok(Self {
            frame: frame.with_problems(!problems.is_empty()),
            at: import.at.in_words(&zone),
            done: words(import.done).unwrap_or_default(),
            undone: words(import.undone).unwrap_or_default(),
            undone_by: undoing::undone_by(&mut reading, import.id).await?,
            made: list::made(&mut reading, &import).await?,
            matches: match in_record {
                true => matches_made(&mut reading, import.id, LINKED).await?,
                false => Vec::new(),
            },
            sessions: match in_record {
                true => sessions_made(&mut reading, import.id, LINKED).await?,
                false => Vec::new(),
            },
            closed: match in_record {
                true => records::sessions_closed(&mut reading, import.id).await?,
                false => 0,
            },
            left_out: left_out(
                &records::left_out(&mut reading, import.id).await?,
                import.state,
            ),
            import,
            sure: Field::new("sure", "Yes, undo the whole file", "").problems(&problems),
            problems,
        })
    }

    fn here(&self, page: &str) -> String {
        self.frame
            .url(&format!("/imports/{}{page}", self.import.id))
    }

    /// Matches that are not listed.
    fn beyond(&self) -> i64 {
        let total = self.matches.first().map_or(0, |made| made.total);
        total - self.matches.len() as i64
    }

    fn sessions_beyond(&self) -> i64 {
        let total = self.sessions.first().map_or(0, |made| made.total);
        total - self.sessions.len() as i64
    }

    /// `Three sessions are not open to you.`
    fn closed_counted(&self) -> String {
        let sessions = wording::count(self.closed, "session", "sessions");
        wording::sentence(&format!(
            "{sessions} of this file {} not open to you: only the angler, or the angler’s team, may read them",
            wording::are(self.closed)
        ))
    }

    fn is(&self, state: &str) -> bool {
        self.import.state.as_str() == state
    }
}

/// `Three rows of the sheet were left out and are not in the record: lines 3, 5 and 6.` Of a file
/// that is undone no row is in the record, so there they only had been left out.
fn left_out(lines: &[u64], state: ImportState) -> String {
    let (was, is) = match lines.len() {
        0 => return String::new(),
        1 => ("was", "is"),
        _ => ("were", "are"),
    };
    let rows = wording::count(lines.len(), "row", "rows");
    let how = match state {
        ImportState::Undone => "had been left out when it was saved".to_owned(),
        _ => format!("{was} left out and {is} not in the record"),
    };
    wording::sentence(&format!(
        "{rows} of the sheet {how}: {}",
        lines_named(lines)
    ))
}

pub async fn show(
    State(site): State<Site>,
    member: Member,
    Path(id): Path<String>,
) -> Result<Response, PageError> {
    let import = found(&site, &id).await?;
    if import.state == ImportState::Uploaded && rows_of(import.kind).is_some() {
        return preview(
            &site,
            &member,
            import,
            (Problems::default(), Said::default()),
        )
        .await;
    }
    if let Some(page) = weather_page(&import) {
        return Ok(go(&site, &page).into_response());
    }
    page(ImportPage::new(&site, &member, import, Problems::default()).await?)
}

/// A weather file is looked at beside the weather of its water.
fn weather_page(import: &Import) -> Option<String> {
    let venue = Brought::of(import)
        .venue
        .filter(|_| !import.kind.is_sheet())?;
    Some(format!("/venues/{venue}/weather/import/{}", import.id))
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let (import, _, _) = laid_out(&site, &id).await?;
    let said = Said {
        leave_out: form.has("leave_out"),
        right: form.get("unlikely").to_owned(),
        another: form.get("another").to_owned(),
    };
    let (now, by) = (site.now(), member.by());
    match save(&site.db, now, &by, import.id, latest(&site), &said).await {
        Ok(_) => Ok(go_with(&site, &format!("/imports/{}", import.id), "imported").into_response()),
        Err(ActionError::Refused { field, sentence }) => {
            let mut problems = Problems::default();
            problems.add(field, sentence);
            preview(&site, &member, import, (problems, said)).await
        }
        Err(other) => Err(other.into()),
    }
}

/// Undoes the whole file, once that is ticked.
pub async fn undo(
    State(site): State<Site>,
    member: Member,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let import = found(&site, &id).await?;
    if import.state == ImportState::Done && !form.has("sure") {
        let mut problems = Problems::default();
        problems.add("sure", TICK_TO_UNDO);
        return page_again(ImportPage::new(&site, &member, import, problems).await?);
    }
    let id = import.id;
    import::undo(&site.db, site.now(), &member.by(), id).await?;
    Ok(go_with(&site, &format!("/imports/{id}"), "undone").into_response())
}

pub async fn discard(
    State(site): State<Site>,
    member: Member,
    Path(id): Path<String>,
) -> Result<Response, PageError> {
    let id = found(&site, &id).await?.id;
    import::discard(&site.db, site.now(), &member.by(), id).await?;
    Ok(go_with(&site, "/imports", "discarded").into_response())
}
