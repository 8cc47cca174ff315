//! Old sheets: a laid-out file looked at beside what is on record, and saved in one transaction.

use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

use crate::{
    actions::ActionError,
    domain::{
        dates::Day,
        ids::{ImportId, Pid, VenueId},
        imports::ImportKind,
    },
    formats::{
        csv::{self, Heading, Sheet},
        old_sheets::{
            BadRow, Entry, Mapping, OldSheet, SheetOf, Told, Unlikely, guess, read, unlikely,
            unusual,
        },
    },
    statistics::wording,
    store::{
        Connection,
        anglers::{self, Angler},
        imports,
        imports::known,
    },
};

mod earlier;
mod elsewhere;
mod matches;
mod people;
mod ready;
mod same_day;
mod save;
mod sessions;
mod waters;
mod words;

pub use elsewhere::Elsewhere;
pub use matches::{EntryToMake, MatchToMake};
pub use people::{Is, Named, Suggestion};
pub use ready::Said;
pub use save::{Saved, save};
pub use sessions::SessionToMake;
pub use waters::WaterNamed;
pub use words::{ClubLists, UnknownWord};

/// The most different names of anglers in one file: each is compared with every other.
pub const MOST_NAMES: usize = 2_000;

/// How a file is to be read, and what was answered about its names. Kept with the import.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Plan {
    pub mapping: Mapping,
    /// By folded name.
    pub people: BTreeMap<String, Person>,
    pub waters: BTreeMap<String, WaterAnswer>,
    /// The headings, folded, a line each: a later file that has the same begins with this plan.
    /// Empty where the file has none.
    pub headings: String,
    /// The name of the earlier file whose plan this one began with.
    pub like: Option<String>,
    /// What was answered of that file and is not filled in, because it is each file's own.
    pub own: Vec<String>,
}

/// Who is meant by a name.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Person {
    OnRecord(Pid),
    New {
        junior: bool,
    },
    /// The one whose folded name this is, elsewhere in the file.
    SameAs(String),
    LeftOut,
}

/// Which water is meant by a name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum WaterAnswer {
    OnRecord(VenueId),
    LeftOut,
}

impl Plan {
    /// The plan with which a file begins: its columns guessed from their headings.
    pub fn guessed(sheet: &Sheet, of: SheetOf) -> Self {
        Self {
            mapping: guess(sheet, of),
            headings: earlier::headings(sheet),
            ..Self::default()
        }
    }

    pub fn json(&self) -> Result<String, ActionError> {
        serde_json::to_string(self).map_err(|e| broken(&e.to_string()))
    }

    pub fn read(json: &str) -> Result<Self, ActionError> {
        serde_json::from_str(json).map_err(|e| broken(&e.to_string()))
    }
}

fn broken(why: &str) -> ActionError {
    ActionError::Store(std::io::Error::other(format!("the plan of an import: {why}")).into())
}

/// What the rows of a file of this kind are; `None` for weather.
pub fn rows_of(kind: ImportKind) -> Option<SheetOf> {
    match kind {
        ImportKind::Results => Some(SheetOf::Matches),
        ImportKind::Sessions => Some(SheetOf::Sessions),
        ImportKind::Weather | ImportKind::GhcnDaily => None,
    }
}

/// The rows of a file. Errors: one sentence, for the person who chose the file.
pub fn open(content: &[u8]) -> Result<Sheet, String> {
    csv::read(content, Heading::Guess)
}

/// A file beside what is on record: what saving it would make, and what stands in the way.
pub struct Look {
    pub read: OldSheet,
    pub people: Vec<Named>,
    pub waters: Vec<WaterNamed>,
    pub matches: Vec<MatchToMake>,
    pub sessions: Vec<SessionToMake>,
    /// Rows that cannot be taken, by line.
    pub problems: Vec<BadRow>,
    /// Weights of rows to be taken that an officer has to say are right.
    pub unlikely: Vec<Unlikely>,
    /// Matches whose rows stand in another match on record: an officer has to say they are others.
    pub elsewhere: Vec<Elsewhere>,
    /// What an officer should know of rows that are taken, or are on record.
    pub told: Vec<Told>,
    /// Rows that are on record already.
    pub already: usize,
    /// Rows of sessions on record already that tell the catch otherwise.
    pub differing: usize,
    /// Rows that are none of those a match on record came from, and are not taken.
    pub beside: usize,
    /// The lines of rows left out with an angler or a water.
    pub left_out: Vec<u64>,
}

impl Look {
    /// Names that still have to be asked about.
    pub fn doubts(&self) -> usize {
        let people = self.people.iter().filter(|named| named.is_open()).count();
        people + self.waters.iter().filter(|named| named.is_open()).count()
    }

    /// Names that may be two, and names like nobody's of somebody on the list, that are taken as it
    /// was answered, here or of an earlier file.
    pub fn answered(&self) -> usize {
        let people = self.people.iter();
        people
            .filter(|named| named.is_doubtful() || !named.is_new())
            .filter(|named| named.answer.is_some() && !named.is_open())
            .count()
    }

    /// The rows that saving would take.
    fn taken(&self) -> impl Iterator<Item = &Entry> {
        let entries = self.matches.iter().flat_map(|made| &made.entries);
        let sessions = self.sessions.iter().map(|made| &made.row);
        entries.map(|entry| &entry.row).chain(sessions)
    }

    pub fn entries(&self) -> usize {
        self.matches.iter().map(|m| m.entries.len()).sum()
    }

    pub fn new_anglers(&self) -> usize {
        self.people.iter().filter(|named| named.is_new()).count()
    }

    /// How many rows are not taken and why, where there are any: `two are on record already`.
    pub fn not_taken(&self) -> Vec<String> {
        let told = |rows: usize, verb: &str, what: &str| {
            (rows > 0).then(|| format!("{} {verb} {what}", wording::number(rows)))
        };
        let are = |rows: usize, what: &str| told(rows, wording::are(rows), what);
        let all = [
            told(self.problems.len(), "cannot be", "taken"),
            are(self.already, "on record already"),
            are(self.beside, "not taken: the match is on record"),
            are(self.left_out.len(), "left out with the angler or the water"),
            self.totals(),
        ];
        all.into_iter().flatten().collect()
    }

    /// `one is a total and not taken`, `two are totals or averages and not taken`.
    fn totals(&self) -> Option<String> {
        let averages = self.read.totals.iter().filter(|line| line.average).count();
        let lines = self.read.totals.len();
        let what = match (lines, averages) {
            (0, _) => return None,
            (1, 0) => "a total",
            (1, _) => "an average",
            (_, 0) => "totals",
            (all, some) if all == some => "averages",
            _ => "totals or averages",
        };
        let (number, are) = (wording::number(lines), wording::are(lines));
        Some(format!("{number} {are} {what} and not taken"))
    }

    pub fn makes_nothing(&self) -> bool {
        self.matches.is_empty() && self.sessions.is_empty()
    }

    /// Who each folded name is.
    fn who(&self) -> BTreeMap<String, Is> {
        let people = self.people.iter();
        people
            .map(|named| (named.key.clone(), named.is.clone()))
            .collect()
    }

    /// Which water each folded name is, where it is one to be taken.
    fn where_fished(&self) -> BTreeMap<String, VenueId> {
        let waters = self.waters.iter();
        waters
            .filter_map(|named| Some((named.key.clone(), named.venue()?)))
            .collect()
    }

    /// Nothing is left to be asked.
    pub fn is_answered(&self) -> bool {
        self.read.asks.is_empty() && self.doubts() == 0
    }
}

/// Looks at a sheet with its plan beside what is on record. `latest` is the last day that can
/// have been fished.
///
/// The inner error: problems of the mapping itself, a sentence each.
pub async fn look(
    connection: &mut Connection,
    sheet: &Sheet,
    plan: &Plan,
    latest: Day,
) -> Result<Result<Look, Vec<String>>, ActionError> {
    let read = match read(sheet, &plan.mapping, latest) {
        Ok(read) => read,
        Err(sentences) => return Ok(Err(sentences)),
    };
    let on_record = anglers::all(connection).await?;
    let waters = known::waters(connection).await?;
    let answers = answers(connection, plan, &on_record).await?;
    let people = match people::named(&read, &on_record, &answers) {
        Ok(people) => people,
        Err(sentence) => return Ok(Err(vec![sentence])),
    };
    let mut look = Look {
        waters: waters::named(&read, &waters, plan),
        people,
        problems: read.problems.clone(),
        matches: Vec::new(),
        sessions: Vec::new(),
        unlikely: Vec::new(),
        elsewhere: Vec::new(),
        told: Vec::new(),
        already: 0,
        differing: 0,
        beside: 0,
        left_out: Vec::new(),
        read,
    };
    let lists = ClubLists::read(connection).await?;
    let days = look.read.entries.iter().map(|entry| entry.day);
    if let (Some(from), Some(to)) = (days.clone().min(), days.max()) {
        match plan.mapping.of {
            SheetOf::Matches => {
                let record = matches::Record {
                    waters: &waters,
                    matches: matches::by_name(known::matches_between(connection, from, to).await?),
                    rows: known::entry_rows(connection).await?,
                    lists: &lists,
                };
                matches::lay(&mut look, plan, &record);
                let entries = known::entries_between(connection, from, to).await?;
                look.elsewhere = elsewhere::found(&look.matches, &entries);
            }
            SheetOf::Sessions => {
                let record = sessions::Record {
                    waters: &waters,
                    outings: same_day::by_day(known::outings_between(connection, from, to).await?),
                    rows: imports::known_rows(
                        connection,
                        crate::domain::imports::RecordKind::Session,
                    )
                    .await?,
                    lists: &lists,
                };
                sessions::lay(&mut look, plan, &record);
            }
        }
    }
    words::tell_unmatched(&mut look);
    let totals = look.read.totals_told();
    look.told.extend(totals);
    let of = plan.mapping.of;
    let slips: Vec<Told> = look.taken().flat_map(|row| unusual(row, of)).collect();
    look.told.extend(slips);
    look.unlikely = look.taken().flat_map(unlikely).collect();
    look.unlikely.sort_by_key(|one| one.line);
    look.problems.sort_by_key(|bad| bad.line);
    look.told.sort_by_key(|told| told.line);
    Ok(Ok(look))
}

/// The only one on the list of that folded name.
fn only_one(on_record: &[Angler], key: &str) -> Option<Pid> {
    let named = |angler: &&Angler| angler.name().is_some_and(|name| name.key() == key);
    let mut found = on_record.iter().filter(named);
    let only = found.next()?;
    found.next().is_none().then(|| only.pid.clone())
}

/// What was answered about the names; one who was joined to another since is that other, and one
/// who was new in the file that answered is whoever stands on the list by that name since.
async fn answers(
    connection: &mut Connection,
    plan: &Plan,
    on_record: &[Angler],
) -> Result<BTreeMap<String, Person>, ActionError> {
    let on_list: BTreeSet<&str> = on_record.iter().map(|one| one.pid.as_str()).collect();
    let mut answers = plan.people.clone();
    for answer in answers.values_mut() {
        if let Person::SameAs(key) = &*answer
            && let Some(pid) = only_one(on_record, key)
        {
            *answer = Person::OnRecord(pid);
        }
        let Person::OnRecord(pid) = answer else {
            continue;
        };
        if on_list.contains(pid.as_str()) {
            continue;
        }
        let gone = anglers::by_pid(connection, pid).await?;
        let Some(into) = gone.and_then(|angler| angler.merged_into) else {
            continue;
        };
        if let Some(other) = anglers::by_id(connection, into).await? {
            *pid = other.pid;
        }
    }
    Ok(answers)
}

/// Looks at a file that is kept.
pub async fn look_at(
    connection: &mut Connection,
    id: ImportId,
    plan: &Plan,
    latest: Day,
) -> Result<(Sheet, Result<Look, Vec<String>>), ActionError> {
    let content = imports::content(connection, id)
        .await?
        .ok_or(ActionError::NotFound)?;
    let sheet = open(&content).map_err(|sentence| ActionError::refused("file", sentence))?;
    let look = look(connection, &sheet, plan, latest).await?;
    Ok((sheet, look))
}
