//! Bringing a weather file in: laid out first, looked at, then saved in one transaction. What a
//! source said before stays as an older version; no other source is touched. Days written by hand are
//! added to by our own export of them, and never overwritten.

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::{keep_file, laid_out, set_mapping};
use crate::{
    actions::{ActionError, By},
    domain::{
        dates::{Day, Instant, Zone, parse_time},
        ids::{ImportId, SourceId, VenueId},
        imports::ImportKind,
    },
    formats::weather_file::{self, HowToRead, WeatherFile, mostly_the_day_before},
    store::{
        Connection, Db, Writing, audit,
        imports::{self, Import},
        weather::{self, Source, WeatherVenue, Written},
    },
};

mod preview;

pub use preview::{Clash, Preview};

/// Whose figures a file holds.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Whose {
    #[default]
    Unsaid,
    Known(SourceId),
    New(NewSource),
}

/// A source that is made when the file is saved.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct NewSource {
    pub name: String,
    /// Local time at which its day ends, `HH:MM`; `24:00` is midnight.
    pub day_ends_at: String,
    /// Days added to the printed date, −1 or 0.
    pub min_shift: i64,
    pub max_shift: i64,
    pub rain_shift: i64,
}

impl NewSource {
    /// Nobody has said yet how its days are counted.
    pub fn is_uncounted(&self) -> bool {
        let shifts = (self.min_shift, self.max_shift, self.rain_shift);
        self.day_ends_at == "24:00" && shifts == (0, 0, 0)
    }

    /// Counts its days as the hour says at which its file reads the rain.
    pub fn count_from(&mut self, day_ends_at: String) {
        self.rain_shift = -i64::from(mostly_the_day_before(&day_ends_at));
        self.day_ends_at = day_ends_at;
    }
}

/// What is kept with a laid-out weather file.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Brought {
    /// The venue it was brought in for.
    pub venue: Option<VenueId>,
    pub how: HowToRead,
    pub whose: Whose,
}

impl Brought {
    /// As it was kept; a mapping that cannot be read any more is asked for again.
    pub fn of(import: &Import) -> Self {
        serde_json::from_str(&import.mapping_json).unwrap_or_default()
    }

    fn json(&self) -> String {
        serde_json::to_string(self).expect("plain words and numbers always have a JSON form")
    }
}

/// How a save went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Saved {
    Days {
        new: usize,
        corrected: usize,
    },
    /// The record changed since the preview: look again.
    Otherwise,
}

/// Keeps a file for a venue, laid out with a guess at how it is meant.
///
/// Errors: `Refused` at `file` when it cannot be read as weather at all.
pub async fn lay_out(
    db: &Db,
    now: Instant,
    by: &By,
    venue: VenueId,
    (name, content): (&str, Vec<u8>),
) -> Result<ImportId, ActionError> {
    by.must_be_officer()?;
    the_venue(&mut *db.read().await?, venue).await?;
    let (content, kind, guessed) = off_thread(move || {
        let kind = weather_file::kind(&content);
        let guessed = weather_file::guess(&content, kind);
        let guessed = guessed.map(|how| (its_source(&content, kind, &how), how));
        (content, kind, guessed)
    })
    .await?;
    let (own, how) = guessed.map_err(|sentence| ActionError::refused("file", sentence))?;
    let whose = match own {
        Some(own) => named(db, (venue, how.credited), &own).await?,
        None => Whose::Unsaid,
    };
    let brought = said_before(db, venue, &content).await?.unwrap_or(Brought {
        venue: Some(venue),
        how,
        whose,
    });
    keep_file(db, now, by, (name, &content), kind, &brought.json()).await
}

/// The source or station that all of a file is of, as the file itself names it.
fn its_source(content: &[u8], kind: ImportKind, how: &HowToRead) -> Option<String> {
    if how.only.is_some() || !how.credited {
        return how.only.clone();
    }
    let file = weather_file::read(content, kind, how).ok()?;
    match file.within.as_slice() {
        [(only, _)] => Some(only.clone()),
        _ => None,
    }
}

/// What was said of this very file when it was saved for this venue before; the source that was
/// new then is known now.
async fn said_before(
    db: &Db,
    venue: VenueId,
    content: &[u8],
) -> Result<Option<Brought>, ActionError> {
    let sha256: [u8; 32] = Sha256::digest(content).into();
    let mut reading = db.read().await?;
    let before = match imports::same_file(&mut reading, &sha256).await? {
        Some(id) => imports::by_id(&mut reading, id).await?,
        None => None,
    };
    drop(reading);
    let before = before.map(|import| Brought::of(&import));
    let Some(mut before) = before.filter(|before| before.venue == Some(venue)) else {
        return Ok(None);
    };
    if let Whose::New(new) = before.whose {
        let own = (venue, before.how.credited);
        before.whose = named(db, own, &new.name).await?;
    }
    Ok(Some(before))
}

/// The source that bears the name of the file's own, if the file may continue one.
async fn named(
    db: &Db,
    (venue, own_layout): (VenueId, bool),
    name: &str,
) -> Result<Whose, ActionError> {
    let sources = weather::file_sources(&mut *db.read().await?, venue, own_layout).await?;
    let same = sources.into_iter().find(|source| source.is_called(name));
    Ok(same.map_or(Whose::Unsaid, |source| Whose::Known(source.id)))
}

/// Keeps how a laid-out file is to be read, and whose figures it holds.
pub async fn say_how(
    db: &Db,
    by: &By,
    import: &Import,
    brought: &Brought,
) -> Result<(), ActionError> {
    set_mapping(db, by, import.id, import.kind, &brought.json()).await
}

/// The local time at which the days of a file end, where it states one.
pub async fn day_end_stated(
    db: &Db,
    import: &Import,
    brought: &Brought,
) -> Result<Option<String>, ActionError> {
    Ok(parsed(db, import, brought).await?.day_ends)
}

/// What saving a laid-out file would do, as the record stands now.
pub async fn look(db: &Db, now: Instant, import: &Import) -> Result<Preview, ActionError> {
    let brought = Brought::of(import);
    let file = parsed(db, import, &brought).await?;
    preview::of(&mut *db.read().await?, now, &brought, file).await
}

/// Saves a laid-out file. `seen`, where given, is the fingerprint of the preview that was shown:
/// nothing is saved when it would do something else now.
///
/// Errors: `Refused` when something is still to be said, when nothing in the file is new, or
/// when it is no longer laid out.
pub async fn save(
    db: &Db,
    now: Instant,
    by: &By,
    id: ImportId,
    seen: Option<&str>,
) -> Result<Saved, ActionError> {
    by.must_be_officer()?;
    let import = imports::by_id(&mut *db.read().await?, id)
        .await?
        .ok_or(ActionError::NotFound)?;
    let brought = Brought::of(&import);
    let file = parsed(db, &import, &brought).await?;
    let mut writing = db.write().await?;
    laid_out(&mut writing, id).await?;
    let preview = preview::of(&mut writing, now, &brought, file).await?;
    if let Some(problem) = preview.problems.first() {
        return Err(ActionError::refused("", problem.clone()));
    }
    if preview.writes() == 0 {
        return Err(ActionError::refused(
            "",
            "Nothing in this file is new, so there is nothing to save.",
        ));
    }
    if seen.is_some_and(|seen| seen != preview.fingerprint()) {
        return Ok(Saved::Otherwise);
    }
    let source = the_source(&mut writing, &import, &brought).await?;
    let written = Written {
        by: by.account(),
        import: Some(id),
        at: now,
    };
    write_days(&mut writing, source, &preview, written).await?;
    if !imports::finish(&mut writing, id, now).await? {
        return Err(super::no_longer_laid_out());
    }
    let (new, corrected) = (preview.new_days(), preview.corrected_days());
    let days = if new == 1 { "day" } else { "days" };
    let detail = format!("import {id}, source {source}, {new} new {days}, {corrected} corrected");
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "brought weather in",
        None,
        &detail,
    )
    .await?;
    writing.commit().await?;
    Ok(Saved::Days { new, corrected })
}

async fn write_days(
    writing: &mut Writing,
    source: SourceId,
    preview: &Preview,
    written: Written,
) -> Result<(), ActionError> {
    for planned in preview.planned.iter().filter(|planned| planned.writes()) {
        weather::put_day(writing, source, planned.day, &planned.after, written).await?;
    }
    Ok(())
}

/// The source the days belong to: made where it is new, and used at the venue from now on,
/// believed after those it uses already.
async fn the_source(
    writing: &mut Writing,
    import: &Import,
    brought: &Brought,
) -> Result<SourceId, ActionError> {
    let venue = brought.venue.ok_or(ActionError::NotFound)?;
    let id = match &brought.whose {
        Whose::Unsaid => return Err(ActionError::NotFound),
        Whose::Known(id) => *id,
        Whose::New(new) => make_source(writing, import.kind, new).await?,
    };
    let used = weather::sources_of(writing, venue).await?;
    if used.iter().all(|source| source.id != id) {
        let last = used.iter().filter_map(|source| source.rank).max();
        weather::set_rank(writing, venue, id, Some(last.unwrap_or(0) + 1)).await?;
    }
    Ok(id)
}

async fn make_source(
    writing: &mut Writing,
    kind: ImportKind,
    new: &NewSource,
) -> Result<SourceId, ActionError> {
    let made = weather::insert_source(writing, &new.name, kind_of_source(kind), &new.day_ends_at);
    let id = match made.await {
        Err(error) if error.is_taken("weather_sources.name") => {
            return Err(ActionError::refused("new_name", NAME_TAKEN));
        }
        made => made?,
    };
    weather::update_source(writing, &as_source(id, kind, new)).await?;
    Ok(id)
}

pub(super) const NAME_TAKEN: &str =
    "Another source has that name. Choose it from the list, or give this one a different name.";

pub(super) const NAME_OF_OTHERS: &str = "Another source has that name: days written by hand, which only a file of that very water in our own layout continues. Give this one a different name.";

fn kind_of_source(kind: ImportKind) -> &'static str {
    match kind {
        ImportKind::GhcnDaily => "ghcn-daily",
        _ => "csv",
    }
}

fn as_source(id: SourceId, kind: ImportKind, new: &NewSource) -> Source {
    Source {
        id,
        name: new.name.clone(),
        kind: kind_of_source(kind).to_owned(),
        day_ends_at: new.day_ends_at.clone(),
        min_shift: new.min_shift,
        max_shift: new.max_shift,
        rain_shift: new.rain_shift,
        rank: None,
    }
}

/// The hour at which a day ends, as it is kept, from what was typed: `9`, `0900` and `9 am` are 09:00.
pub fn read_day_end(typed: &str) -> Option<String> {
    match typed.trim() {
        "24" | "2400" | "24:00" | "24.00" => Some("24:00".to_owned()),
        typed => parse_time(typed).map(|time| time.strftime("%H:%M").to_string()),
    }
}

/// Is this an hour at which a day can end, as it is kept?
pub fn fine_day_end(text: &str) -> bool {
    read_day_end(text).is_some_and(|kept| kept == text)
}

async fn the_venue(
    connection: &mut Connection,
    venue: VenueId,
) -> Result<WeatherVenue, ActionError> {
    weather::venue(connection, venue)
        .await?
        .ok_or(ActionError::NotFound)
}

fn today(venue: &WeatherVenue, now: Instant) -> Day {
    now.day(&Zone::named(&venue.zone).unwrap_or_else(Zone::utc))
}

/// The file as its officer says it is to be read; a long one takes a while, so not on a thread
/// that answers others.
async fn parsed(db: &Db, import: &Import, brought: &Brought) -> Result<WeatherFile, ActionError> {
    let content = imports::content(&mut *db.read().await?, import.id)
        .await?
        .ok_or(ActionError::NotFound)?;
    let (kind, how) = (import.kind, brought.how.clone());
    off_thread(move || weather_file::read(&content, kind, &how))
        .await?
        .map_err(|sentence| ActionError::refused("file", sentence))
}

async fn off_thread<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, ActionError> {
    tokio::task::spawn_blocking(work)
        .await
        .map_err(|_| ActionError::Busy)
}
