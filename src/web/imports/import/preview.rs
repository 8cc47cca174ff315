//! A laid-out file before it is saved: what saving would make, and its rows as understood.

use askama::Template;
use axum::response::{IntoResponse, Response};
use jiff::civil::Time;

use crate::{
    actions::import::sheet::{ClubLists, Is, Look, Plan, Said, look_at},
    domain::{imports::ImportKind, matches::Outcome, names::key, units::Minutes},
    formats::{
        csv::Sheet,
        old_sheets::{Entry, Mapping, headings_not_taken, nothing_taken_from},
    },
    statistics::wording,
    store::{
        anglers::{self, Angler},
        imports::{self, Import},
    },
    web::{
        errors::PageError,
        figures,
        forms::Problems,
        imports::latest,
        links::go,
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

#[derive(Template)]
#[template(path = "imports/preview.html")]
struct PreviewPage {
    frame: Frame,
    import: Import,
    sheet: Sheet,
    look: Look,
    same_file: bool,
    /// Everybody on the club’s list.
    anglers: Vec<Angler>,
    /// The methods of the club, and what words for them mean in this file.
    lists: ClubLists,
    mapping: Mapping,
    said: Said,
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
            return match self.look.differing {
                0 => "Nothing in this file is new.".to_owned(),
                rows => format!(
                    "Nothing in this file is new, but {} of sessions on record {} otherwise: see what is worth knowing.",
                    wording::count(rows, "row", "rows"),
                    if rows == 1 {
                        "tells the catch"
                    } else {
                        "tell the catches"
                    }
                ),
            };
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

    /// `Two names are taken as answered.`
    fn answered(&self) -> String {
        let names = self.look.answered();
        let counted = wording::count(names, "name", "names");
        wording::sentence(&format!(
            "{counted} that could be two {} taken as answered, here or of an earlier file",
            wording::are(names)
        ))
    }

    /// `One weight is unlikely in one net.`
    fn unlikely(&self) -> String {
        let weights = self.look.unlikely.len();
        let counted = wording::count(weights, "weight", "weights");
        let it = if weights == 1 { "it is" } else { "they are" };
        wording::sentence(&format!(
            "{counted} {} unlikely in one net. Mend a slip in the sheet and choose it again; say here if {it} right",
            wording::are(weights)
        ))
    }

    fn is_said_right(&self) -> bool {
        self.look.is_right(&self.said)
    }

    fn is_said_another(&self) -> bool {
        self.look.is_another(&self.said)
    }

    /// What becomes of the rows of a file that is in the record by the very same bytes.
    fn of_the_same_file(&self) -> &'static str {
        match (self.look.makes_nothing(), self.look.elsewhere.is_empty()) {
            (true, _) => "Its rows are known and are not taken twice.",
            (false, true) => "Rows that are known are not taken twice.",
            (false, false) => {
                "Read as it is now, its rows are of another match: saved so, they would be in the record twice."
            }
        }
    }

    /// `Nothing is taken from the column “When”.`
    fn columns_not_taken(&self) -> String {
        nothing_taken_from(&headings_not_taken(&self.sheet, &self.mapping)).unwrap_or_default()
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

    /// Who a row is taken for: `Hazelpatch → Dot Hazelpatch` where that is not the name as written.
    fn angler(&self, row: &Entry) -> String {
        let (written, own) = (row.angler.full(), row.angler.key());
        let mut people = self.look.people.iter();
        let chosen = match people.find(|named| named.key == own).map(|named| &named.is) {
            Some(Is::OnRecord(id)) => {
                let angler = self.anglers.iter().find(|angler| angler.id == *id);
                angler.and_then(Angler::name).map(|name| name.full())
            }
            Some(Is::New(key)) => {
                let mut people = self.look.people.iter();
                people.find(|named| named.key == *key).map(|named| {
                    let mark = if named.junior() { " (junior)" } else { "" };
                    format!("{}{mark}", named.name.full())
                })
            }
            Some(Is::LeftOut) => Some("left out".to_owned()),
            Some(Is::Open) => Some("in doubt".to_owned()),
            None => None,
        };
        match chosen {
            Some(chosen) if chosen.strip_suffix(" (junior)") == Some(written.as_str()) => chosen,
            Some(chosen) if chosen != written => format!("{written} → {chosen}"),
            _ => written,
        }
    }

    /// The club’s method that a row’s word is taken for: `feeder → Cage feeder`.
    fn method(&self, row: &Entry) -> String {
        let Some(word) = row.method.as_deref() else {
            return figures::GAP.to_owned();
        };
        let id = self.lists.method(row, &self.mapping);
        let mut methods = self.lists.methods.iter();
        let meant = id.and_then(|id| methods.find(|method| method.id == id.0));
        match meant {
            Some(method) if key(&method.name) == key(word) => method.name.clone(),
            Some(method) => format!("{word} → {}", method.name),
            None => format!("{word} → the remarks"),
        }
    }

    /// The water a row is taken for; `None` of a row that is not taken.
    fn water(&self, row: &Entry) -> Option<&str> {
        let mut sessions = self.look.sessions.iter();
        if let Some(made) = sessions.find(|made| made.row.line == row.line) {
            return Some(&made.venue_name);
        }
        let mut matches = self.look.matches.iter();
        let of = matches.find(|made| made.entries.iter().any(|entry| entry.row.line == row.line));
        of.map(|made| made.venue_name.as_str())
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
        (None, None) => figures::GAP.to_owned(),
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

pub(super) async fn preview(
    site: &Site,
    member: &Member,
    import: Import,
    (problems, said): (Problems, Said),
) -> Result<Response, PageError> {
    let plan = Plan::read(&import.mapping_json)?;
    let frame = Frame::new(site, &member.visitor(), Section::Committee).await?;
    let mut reading = site.db.read().await?;
    let (sheet, look) = look_at(&mut reading, import.id, &plan, latest(site)).await?;
    let Ok(look) = look else {
        return Ok(go(site, &format!("/imports/{}/columns", import.id)).into_response());
    };
    let anglers = anglers::all(&mut reading).await?;
    let same = imports::same_file(&mut reading, &import.file_sha256).await?;
    let lists = ClubLists::read(&mut reading).await?;
    let again = !problems.is_empty();
    let shown = PreviewPage {
        frame: frame.with_problems(again),
        same_file: same.is_some(),
        anglers,
        import,
        sheet,
        look,
        lists,
        mapping: plan.mapping,
        said,
        problems,
    };
    match again {
        true => page_again(shown),
        false => page(shown),
    }
}
