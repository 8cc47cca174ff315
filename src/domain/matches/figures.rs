//! What was posted, exactly, and what a later posting changed.
//!
//! The figures of a publication are frozen as JSON. They hold label ids and salted hashes of
//! names, never a name, so that a name can be erased while the figures stay as they were.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::{Outcome, PegsAllotted, Place};
use crate::domain::dates::{Day, Instant};
use crate::domain::groups::GroupSet;
use crate::domain::ids::{EntryId, LabelId};
use crate::domain::units::{Ranking, Weight};

/// The form of [`Figures`]; raised when a field changes its meaning.
pub const FIGURES_VERSION: u32 = 1;

/// A posted result.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Figures {
    pub version: u32,
    pub title: String,
    pub venue: String,
    pub on: Day,
    pub start: Option<Instant>,
    pub finish: Option<Instant>,
    pub pegs_allotted: PegsAllotted,
    pub ranking: Ranking,
    /// In the order of the result.
    pub lines: Vec<Line>,
}

/// One entry of a posted result.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Line {
    pub entry: EntryId,
    pub label: Option<LabelId>,
    /// [`name_hash`] of the label as it was, so that a quiet change of name would show.
    pub name_sha256: Option<String>,
    pub was_junior: bool,
    pub peg: Option<String>,
    pub section: Option<String>,
    pub team: Option<String>,
    pub outcome: Outcome,
    pub nets: Vec<NetFigure>,
    pub raw: Weight,
    pub counted: Weight,
    pub place: Option<Place>,
    pub section_place: Option<Place>,
}

/// One net, as the chosen weighings have it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct NetFigure {
    pub number: i64,
    pub groups: GroupSet,
    pub weight: Weight,
}

/// SHA-256 of the label's salt, the given name, a nought and the surname; in hexadecimal.
pub fn name_hash(salt: &[u8], given: &str, surname: Option<&str>) -> String {
    let mut hash = Sha256::new();
    hash.update(salt);
    hash.update(given);
    hash.update([0]);
    hash.update(surname.unwrap_or_default());
    hash.finalize().iter().map(|b| format!("{b:02x}")).collect()
}

impl Figures {
    /// The frozen text and its SHA-256. The same figures give the same bytes.
    pub fn freeze(&self) -> Result<(String, [u8; 32]), serde_json::Error> {
        let json = serde_json::to_string(self)?;
        let hash = Sha256::digest(json.as_bytes()).into();
        Ok((json, hash))
    }

    /// Reads a frozen text back.
    pub fn thaw(json: &str) -> Result<Self, serde_json::Error> {
        serde_json::from_str(json)
    }
}

/// One figure that a later publication has otherwise. `entry` is absent for the whole match.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    pub entry: Option<EntryId>,
    /// `peg`, `net 2`, `weight`, `place`, …
    pub field: String,
    /// In words; `–` where there was nothing.
    pub old: String,
    pub new: String,
}

const NOTHING: &str = "–";

/// Every figure in which `new` differs from `old`: first of the match, then by entry as the old
/// result listed them, then entries that came in. The order of lines alone is no change.
pub fn changes(old: &Figures, new: &Figures) -> Vec<Change> {
    let mut found = Found(Vec::new());
    for (field, was, is) in whole_match(old, new) {
        found.note(None, field, was, is);
    }
    let later: BTreeMap<EntryId, &Line> = new.lines.iter().map(|line| (line.entry, line)).collect();
    let earlier: BTreeMap<EntryId, &Line> =
        old.lines.iter().map(|line| (line.entry, line)).collect();
    for line in &old.lines {
        match later.get(&line.entry) {
            Some(is) => found.compare(line, is),
            None => found.note(Some(line.entry), "entry", figure(line), NOTHING.to_owned()),
        }
    }
    for line in &new.lines {
        if !earlier.contains_key(&line.entry) {
            found.note(Some(line.entry), "entry", NOTHING.to_owned(), figure(line));
        }
    }
    found.0
}

fn whole_match(old: &Figures, new: &Figures) -> [(&'static str, String, String); 7] {
    let both = |of: fn(&Figures) -> String| (of(old), of(new));
    let row = |field, (was, is): (String, String)| (field, was, is);
    [
        row("name of the match", both(|f| f.title.clone())),
        row("venue", both(|f| f.venue.clone())),
        row("date", both(|f| f.on.to_string())),
        row("start", both(|f| moment(f.start))),
        row("finish", both(|f| moment(f.finish))),
        row(
            "how pegs were allotted",
            both(|f| f.pegs_allotted.to_string()),
        ),
        row(
            "ranking",
            both(|f| format!("steps of {}", f.ranking.weight(1).words())),
        ),
    ]
}

fn moment(instant: Option<Instant>) -> String {
    instant.map_or_else(|| NOTHING.to_owned(), Instant::rfc3339)
}

fn shown<T: ToString>(value: &Option<T>) -> String {
    value
        .as_ref()
        .map_or_else(|| NOTHING.to_owned(), T::to_string)
}

fn figure(line: &Line) -> String {
    match line.outcome {
        Outcome::Fished => line.counted.words(),
        outcome => outcome.to_string(),
    }
}

struct Found(Vec<Change>);

impl Found {
    fn note(&mut self, entry: Option<EntryId>, field: &str, old: String, new: String) {
        if old != new {
            self.0.push(Change {
                entry,
                field: field.to_owned(),
                old,
                new,
            });
        }
    }

    fn compare(&mut self, was: &Line, is: &Line) {
        let entry = Some(was.entry);
        // An entry keeps its angler: another label is the same person's, joined to this one.
        if was.label.is_none() != is.label.is_none() {
            let label = |line: &Line| line.label.map(|id| format!("label {id}"));
            self.note(entry, "angler", shown(&label(was)), shown(&label(is)));
        }
        self.note(entry, "peg", shown(&was.peg), shown(&is.peg));
        self.note(entry, "section", shown(&was.section), shown(&is.section));
        self.note(entry, "team", shown(&was.team), shown(&is.team));
        self.note(
            entry,
            "outcome",
            was.outcome.to_string(),
            is.outcome.to_string(),
        );
        self.compare_nets(was, is);
        self.note(entry, "weight", was.counted.words(), is.counted.words());
        if was.raw != was.counted || is.raw != is.counted {
            self.note(entry, "weighed in all", was.raw.words(), is.raw.words());
        }
        self.note(entry, "place", shown(&was.place), shown(&is.place));
        self.note(
            entry,
            "place in section",
            shown(&was.section_place),
            shown(&is.section_place),
        );
    }

    fn compare_nets(&mut self, was: &Line, is: &Line) {
        let nets = |line: &Line| -> BTreeMap<i64, String> {
            line.nets
                .iter()
                .map(|net| {
                    (
                        net.number,
                        format!("{}, {}", net.weight.words(), net.groups),
                    )
                })
                .collect()
        };
        let (before, after) = (nets(was), nets(is));
        let numbers: std::collections::BTreeSet<i64> =
            before.keys().chain(after.keys()).copied().collect();
        for number in numbers {
            self.note(
                Some(was.entry),
                &format!("net {number}"),
                shown(&before.get(&number)),
                shown(&after.get(&number)),
            );
        }
    }
}
