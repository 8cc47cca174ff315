//! One file: what saving it would make, row by row where something is wrong; later, what it made.

use askama::Template;
use axum::{
    extract::{Path, State},
    response::{IntoResponse, Response},
};

use jiff::civil::Time;

use super::{found, laid_out, latest, list};
use crate::{
    actions::{
        ActionError, import,
        import::{
            sheet::{Look, Plan, look_at, rows_of, save},
            weather::Brought,
        },
    },
    domain::{
        dates::Instant,
        imports::{ImportKind, ImportState},
        matches::Outcome,
        units::Minutes,
    },
    formats::{csv::Sheet, old_sheets::Entry},
    statistics::wording,
    store::{
        imports::{
            self, Import,
            records::{MadeMatch, matches_made},
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

/// The most matches listed on the page; the rest is counted.
const SHOWN: usize = 200;
/// The most rows named one by one; past so many the fault is not in the rows.
const NAMED: usize = 5_000;
/// The rows shown as understood, and the rows named before the rest of their list is folded.
const SAMPLE: usize = 12;
/// The matches linked from the page of a file in the record.
const MATCHES: i64 = 50;
/// What is missing where a file is to be undone.
pub(in crate::web) const TICK_TO_UNDO: &str = "Tick that the whole file is undone, then undo it.";

#[derive(Template)]
#[template(path = "imports/preview.html")]
struct PreviewPage {
    frame: Frame,
    import: Import,
    sheet: Sheet,
    look: Look,
    same_file: bool,
    leave_out: bool,
    problems: Problems,
}

impl PreviewPage {
    fn here(&self, page: &str) -> String {
        self.frame
            .url(&format!("/imports/{}{page}", self.import.id))
    }

    /// What saving would make, in one sentence.
    fn sentence(&self) -> String {
        let of = wording::count;
        let mut parts = Vec::new();
        if !self.look.matches.is_empty() {
            parts.push(of(self.look.matches.len(), "match", "matches"));
            parts.push(of(self.look.entries(), "entry", "entries"));
        }
        if !self.look.sessions.is_empty() {
            parts.push(of(self.look.sessions.len(), "session", "sessions"));
        }
        if parts.is_empty() && !self.look.is_answered() {
            return "Nothing can be saved before what is asked below is answered.".to_owned();
        }
        if parts.is_empty() {
            return "Nothing in this file is new.".to_owned();
        }
        parts.push(match self.look.new_anglers() {
            0 => "no new anglers".to_owned(),
            _ => self.new_to_the_list(),
        });
        format!(
            "Saving makes {}. Nothing is in the record yet.",
            parts.join(", ")
        )
    }

    fn new_to_the_list(&self) -> String {
        let new = self.look.new_anglers();
        let (one, many) = (
            "angler new to the club’s list",
            "anglers new to the club’s list",
        );
        wording::count(new, one, many)
    }

    /// How many rows the file has, and how many of them are not taken.
    fn rows_counted(&self) -> String {
        let rows = wording::count(self.sheet.rows.len(), "row", "rows");
        let mut parts = vec![format!("{rows} in the file")];
        parts.extend(self.look.not_taken());
        wording::sentence(&parts.join("; "))
    }

    /// `Two names are in doubt.`
    fn doubts(&self) -> String {
        let names = self.look.doubts();
        let counted = wording::count(names, "name", "names");
        wording::sentence(&format!("{counted} {} in doubt", wording::are(names)))
    }

    fn bad_rows(&self) -> String {
        wording::count(self.look.problems.len(), "row", "rows")
    }

    fn of_matches(&self) -> bool {
        self.import.kind == ImportKind::Results
    }

    fn rows(&self) -> impl Iterator<Item = &Entry> {
        self.look.read.entries.iter().take(SAMPLE)
    }

    fn shown<'a, T>(&self, all: &'a [T]) -> &'a [T] {
        &all[..all.len().min(SHOWN)]
    }

    fn beyond<T>(&self, all: &[T]) -> usize {
        all.len().saturating_sub(SHOWN)
    }

    /// The rows of a list that are named in sight.
    fn first<'a, T>(&self, all: &'a [T]) -> &'a [T] {
        &all[..all.len().min(SAMPLE)]
    }

    /// Those that are named too, folded away.
    fn folded<'a, T>(&self, all: &'a [T]) -> &'a [T] {
        &all[all.len().min(SAMPLE)..all.len().min(NAMED)]
    }

    fn unnamed<T>(&self, all: &[T]) -> usize {
        all.len().saturating_sub(NAMED)
    }

    fn more_rows<T>(&self, all: &[T]) -> String {
        wording::count(self.folded(all).len(), "more row", "more rows")
    }

    /// What a row was understood to have caught, as it would be kept.
    fn caught(&self, row: &Entry) -> String {
        match (self.of_matches(), row.outcome) {
            (false, Outcome::DidNotWeigh) => {
                "a session outside a match: weight not known".to_owned()
            }
            _ => caught(row),
        }
    }

    fn can_save(&self) -> bool {
        self.look.is_answered() && !self.look.makes_nothing()
    }
}

/// `07:00 to 12:30, 5 hours 30 minutes`, as far as the row, or the answer for its file, says it.
fn hours(row: &Entry) -> String {
    let clock = |time: Time| time.strftime("%H:%M").to_string();
    let times = row
        .times
        .map(|(from, to)| format!("{} to {}", clock(from), clock(to)));
    let length = row.minutes.map(Minutes::words);
    match (times, length) {
        (Some(times), Some(length)) => format!("{times}, {length}"),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => "–".to_owned(),
    }
}

/// What a row was understood to have caught.
fn caught(row: &Entry) -> String {
    let nets = row
        .nets
        .iter()
        .map(|net| format!("{} ({})", net.weight.words(), net.groups));
    let counts = row
        .counts
        .iter()
        .map(|(set, n)| format!("{n} fish ({set})"));
    let all: Vec<String> = nets.chain(counts).collect();
    match (row.outcome, all.is_empty()) {
        (Outcome::Fished, false) => all.join(", "),
        (outcome, true) => outcome.to_string(),
        (outcome, false) => format!("{outcome}: {}", all.join(", ")),
    }
}

#[derive(Template)]
#[template(path = "imports/import.html")]
struct ImportPage {
    frame: Frame,
    import: Import,
    at: String,
    done: String,
    undone: String,
    made: String,
    /// The first of its matches, while it is in the record.
    matches: Vec<MadeMatch>,
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
        let words = |at: Option<Instant>| at.map(|at| at.in_words(&zone));
        Ok(Self {
            frame: frame.with_problems(!problems.is_empty()),
            at: import.at.in_words(&zone),
            done: words(import.done).unwrap_or_default(),
            undone: words(import.undone).unwrap_or_default(),
            made: list::made(&mut reading, &import).await?,
            matches: match import.state {
                ImportState::Done => matches_made(&mut reading, import.id, MATCHES).await?,
                ImportState::Uploaded | ImportState::Undone => Vec::new(),
            },
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

    fn is(&self, state: &str) -> bool {
        self.import.state.as_str() == state
    }
}

pub async fn show(
    State(site): State<Site>,
    member: Member,
    Path(id): Path<String>,
) -> Result<Response, PageError> {
    let import = found(&site, &id).await?;
    if import.state == ImportState::Uploaded && rows_of(import.kind).is_some() {
        return preview(&site, &member, import, (Problems::default(), false)).await;
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

async fn preview(
    site: &Site,
    member: &Member,
    import: Import,
    (problems, leave_out): (Problems, bool),
) -> Result<Response, PageError> {
    let plan = Plan::read(&import.mapping_json)?;
    let frame = Frame::new(site, &member.visitor(), Section::Committee).await?;
    let mut reading = site.db.read().await?;
    let (sheet, look) = look_at(&mut reading, import.id, &plan, latest(site)).await?;
    let Ok(look) = look else {
        return Ok(go(site, &format!("/imports/{}/columns", import.id)).into_response());
    };
    let same = imports::same_file(&mut reading, &import.file_sha256).await?;
    let again = !problems.is_empty();
    let shown = PreviewPage {
        frame: frame.with_problems(again),
        same_file: same.is_some(),
        import,
        sheet,
        look,
        leave_out,
        problems,
    };
    match again {
        true => page_again(shown),
        false => page(shown),
    }
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let (import, _, _) = laid_out(&site, &id).await?;
    let leave_out = form.has("leave_out");
    let (now, by) = (site.now(), member.by());
    match save(&site.db, now, &by, import.id, latest(&site), leave_out).await {
        Ok(_) => Ok(go_with(&site, &format!("/imports/{}", import.id), "imported").into_response()),
        Err(ActionError::Refused { field, sentence }) => {
            let mut problems = Problems::default();
            problems.add(field, sentence);
            preview(&site, &member, import, (problems, leave_out)).await
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
