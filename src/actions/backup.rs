//! Backups, each proved before it counts; and putting one back.
//!
//! A copy is written under a temporary name, with what is set in `settings.txt` and a checksum,
//! synced, reopened, checked, its rows compared with those counted in the record, and only then given its own name and the folder synced: whatever
//! breaks on the way, the last good one stays and a bad one never carries a good one's name.

use std::{
    fs::{self, File},
    io::{self, Read, Write},
    os::unix::fs::OpenOptionsExt,
    path::{Path, PathBuf},
};

use tokio::task::spawn_blocking;

use super::seal::{self, Seal};
use crate::{
    domain::dates::Instant,
    store::{
        self, Db, StoreError,
        backup::{self, Proof, RowCounts},
    },
};

#[derive(Debug, thiserror::Error)]
pub enum BackupError {
    #[error(transparent)]
    Store(#[from] StoreError),
    #[error("{what} “{}”: {source}", path.display())]
    File {
        what: &'static str,
        path: PathBuf,
        source: io::Error,
    },
    #[error("“{}” is there already; choose another name", .0.display())]
    InTheWay(PathBuf),
    #[error("the folder “{}” holds a record already. To replace it, add --replace: it is moved aside, not deleted", .0.display())]
    Occupied(PathBuf),
    #[error("the folder “{}” is not there; make it first, or choose another", .0.display())]
    NoFolder(PathBuf),
    #[error(
        "the backup was made by a newer Peglore (schema {found}; this one knows {known}). Use the newer program"
    )]
    Newer { found: i64, known: i64 },
    /// The tables in which the copy has other rows than the record.
    #[error(
        "the copy does not hold what the record held when it was made (rows of {0}), so it does not count as a backup; earlier ones are untouched. Make it again, on another disk if this comes back"
    )]
    NotTheSame(String),
}

/// What is set for the program itself, beside the record.
const SETTINGS: &str = "settings.txt";
/// The copy of a restore from the moment it was proved until it has the record's name.
const PROVED: &str = "peglore.restored";
/// How the name of a folder begins into which a replaced record was moved.
const REPLACED: &str = "replaced-";
/// The same where only a log was left, whose record never follows it.
const LEFT_ALONE: &str = "left-alone-";
/// What stands behind a record's name in its own and its log's.
const ENDINGS: [&str; 3] = ["-shm", "-wal", ""];
/// How the name of a backup begins that was made before an upgrade.
const BEFORE_UPGRADE: &str = "before-upgrade-";

/// Copies the record to `target` and proves the copy. The folder must be there; only one inside
/// the data folder, such as that of the daily backups, is made.
pub async fn back_up(db: &Db, target: &Path) -> Result<Proof, BackupError> {
    if target.exists() {
        return Err(BackupError::InTheWay(target.to_owned()));
    }
    let folder = folder_of(target);
    if !folder.is_dir() {
        if folder.parent() != db.file().parent() {
            return Err(BackupError::NoFolder(folder));
        }
        fs::create_dir(&folder).map_err(fault("making the folder", &folder))?;
    }
    let unproved = target.with_extension("unproved");
    remove_if_there(&unproved)?;
    let counted = backup::copy_to(db, &unproved).await?;
    let settings = text_of_settings(db.file())?;
    backup::keep_settings(&unproved, settings.as_deref()).await?;
    sealing(&unproved, seal::put_on).await?;
    sync(&unproved)?;
    let proof = prove_copy(&unproved, &counted).await?;
    fs::rename(&unproved, target).map_err(fault("naming", target))?;
    sync(&folder)?;
    Ok(proof)
}

/// Proves a backup or a record whole, changing nothing: what [`backup::prove`] looks at, and the
/// checksum at the end of a backup.
pub async fn prove(file: &Path) -> Result<Proof, StoreError> {
    let proof = backup::prove(file).await?;
    match sealing(file, seal::on).await? {
        Seal::Holds | Seal::Absent => Ok(proof),
        Seal::Broken => Err(StoreError::Damaged(vec![
            "its checksum is not the one it was made with".to_owned(),
        ])),
    }
}

/// Proves a copy just made: whole, and with as many rows in every table as `counted` says the
/// record had.
pub async fn prove_copy(file: &Path, counted: &RowCounts) -> Result<Proof, BackupError> {
    let proof = prove(file).await?;
    let differences = backup::differences(file, counted).await?;
    match differences.is_empty() {
        true => Ok(proof),
        false => Err(BackupError::NotTheSame(differences.join("; "))),
    }
}

/// Reads a whole file where nobody waits for the thread.
async fn sealing<T: Send + 'static>(
    file: &Path,
    work: fn(&Path) -> io::Result<T>,
) -> Result<T, StoreError> {
    let file = file.to_owned();
    let done = spawn_blocking(move || work(&file)).await;
    Ok(done.map_err(io::Error::other)??)
}

/// What stands in `settings.txt` beside a record, if there is one.
fn text_of_settings(record: &Path) -> Result<Option<String>, BackupError> {
    let file = record.with_file_name(SETTINGS);
    match fs::read(&file) {
        // A letter of some other encoding, in a remark perhaps, leaves nobody without a backup.
        Ok(text) => Ok(Some(String::from_utf8_lossy(&text).into_owned())),
        Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(e) => Err(fault("reading", &file)(e)),
    }
}

/// The name of a backup made at `now`: it sorts by time.
pub fn name(now: Instant) -> String {
    let time: String = now
        .rfc3339()
        .chars()
        .filter(|c| c.is_ascii_digit() || *c == 'T' || *c == 'Z')
        .collect();
    format!("peglore-{time}.backup")
}

/// Before a new program changes an older schema: a proved backup in `backups` of the data folder.
/// `None` when nothing is about to change.
pub async fn before_upgrade(folder: &Path, now: Instant) -> Result<Option<PathBuf>, BackupError> {
    let file = folder.join(store::FILE_NAME);
    if !file.exists() {
        return Ok(None);
    }
    let (db, found) = backup::open_record(&file).await?;
    let known = store::known_schema();
    if found > known {
        db.close_reading().await;
        return Err(StoreError::NewerSchema { found, known }.into());
    }
    let target = (found < known && found > 0).then(|| {
        let backups = folder.join("backups");
        // A start that was cut off in this same second may have left one.
        free(&backups, &format!("{BEFORE_UPGRADE}{}", name(now)))
    });
    if let Some(target) = &target {
        back_up(&db, target).await?;
    }
    db.close_reading().await;
    Ok(target)
}

/// The latest backup made before an upgrade that this program, older than the record, can restore.
pub async fn older_than_upgrade(folder: &Path) -> Option<PathBuf> {
    let inside = fs::read_dir(folder.join("backups")).ok()?;
    let mut files: Vec<PathBuf> = inside
        .flatten()
        .filter(|entry| {
            let name = entry.file_name();
            let name = name.to_string_lossy();
            name.starts_with(BEFORE_UPGRADE) && name.ends_with(".backup")
        })
        .map(|entry| entry.path())
        .collect();
    files.sort();
    for file in files.into_iter().rev() {
        // One that cannot be read is passed over for an earlier one.
        if let Ok((db, schema)) = backup::open_record(&file).await {
            db.close_reading().await;
            if (1..=store::known_schema()).contains(&schema) {
                return Some(file);
            }
        }
    }
    None
}

/// Where what was there before a restore went, and what is there now.
pub struct Restored {
    pub proof: Proof,
    pub set_aside: Option<PathBuf>,
    /// The settings, when the backup held some and the folder had none.
    pub settings: Option<PathBuf>,
}

/// Puts `backup` into `folder`, which the caller has locked. A record already there is refused, or,
/// when `replace`, moved aside whole.
pub async fn restore(
    backup_file: &Path,
    folder: &Path,
    now: Instant,
    replace: bool,
) -> Result<Restored, BackupError> {
    let proof = prove(backup_file).await?;
    if proof.schema > store::known_schema() {
        return Err(BackupError::Newer {
            found: proof.schema,
            known: store::known_schema(),
        });
    }
    let target = folder.join(store::FILE_NAME);
    if target.exists() && !replace {
        return Err(BackupError::Occupied(folder.to_owned()));
    }
    let incoming = folder.join("peglore.restoring");
    remove_if_there(&incoming)?;
    copied(backup_file, &incoming).map_err(fault("copying to", &incoming))?;
    sync(&incoming)?;
    let proof_there = prove(&incoming).await?;
    let settings = settings_put_back(&incoming, folder).await?;
    let proved = folder.join(PROVED);
    fs::rename(&incoming, &proved).map_err(fault("naming", &proved))?;
    sync(folder)?;
    let set_aside = put_in_place(folder, now)?;
    Ok(Restored {
        proof: proof_there,
        set_aside,
        settings,
    })
}

/// Finishes a restore that was cut off after its copy had been proved, before anybody takes what
/// it left for the club's record; was there one?
pub fn finish_restore(folder: &Path, now: Instant) -> Result<bool, BackupError> {
    if !folder.join(PROVED).exists() {
        return Ok(false);
    }
    put_in_place(folder, now)?;
    Ok(true)
}

/// A folder that is not there yet, named for the moment.
fn fresh_aside(folder: &Path, now: Instant) -> PathBuf {
    let begins = match folder.join(store::FILE_NAME).exists() {
        true => REPLACED,
        false => LEFT_ALONE,
    };
    let name = name(now);
    free(
        folder,
        &format!("{begins}{}", name.trim_end_matches(".backup")),
    )
}

/// The folder into which a log was moved whose record has not followed yet.
fn aside_begun(folder: &Path) -> Option<PathBuf> {
    let log = format!("{}-wal", store::FILE_NAME);
    if folder.join(&log).exists() {
        return None;
    }
    let inside = fs::read_dir(folder).ok()?.flatten();
    inside.map(|entry| entry.path()).find(|path| {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        name.starts_with(REPLACED)
            && path.join(&log).exists()
            && !path.join(store::FILE_NAME).exists()
    })
}

/// Moves what is there aside, a record to the log that a restore moved before it was cut off, and
/// gives the proved copy the record's name.
fn put_in_place(folder: &Path, now: Instant) -> Result<Option<PathBuf>, BackupError> {
    let target = folder.join(store::FILE_NAME);
    let aside = aside_begun(folder).unwrap_or_else(|| fresh_aside(folder, now));
    let set_aside = set_aside(folder, aside)?;
    fs::rename(folder.join(PROVED), &target).map_err(fault("naming", &target))?;
    sync(folder)?;
    Ok(set_aside)
}

/// A copy for this user alone to read, whoever may read the backup; without the backup's checksum,
/// since a record changes.
fn copied(from: &Path, to: &Path) -> io::Result<u64> {
    let length = seal::length_of_rest(from)?;
    io::copy(&mut File::open(from)?.take(length), &mut made(to)?)
}

/// A new file for this user alone to read.
fn made(file: &Path) -> io::Result<File> {
    let mut making = File::options();
    making.write(true).create_new(true).mode(0o600);
    making.open(file)
}

/// Writes the settings that came with a record, unless the folder has its own.
async fn settings_put_back(record: &Path, folder: &Path) -> Result<Option<PathBuf>, BackupError> {
    let file = folder.join(SETTINGS);
    let Some(text) = backup::kept_settings(record).await? else {
        return Ok(None);
    };
    if file.exists() {
        return Ok(None);
    }
    // Whole or not at all: half of them would stand for what the club has set.
    let incoming = folder.join("settings.incoming");
    remove_if_there(&incoming)?;
    made(&incoming)
        .and_then(|mut making| {
            making.write_all(text.as_bytes())?;
            making.sync_all()
        })
        .map_err(fault("writing", &incoming))?;
    fs::rename(&incoming, &file).map_err(fault("naming", &file))?;
    Ok(Some(file))
}

/// Moves the database and its log into a folder of their own; a log that was left behind alone too,
/// or SQLite would read it into the record that comes.
fn set_aside(folder: &Path, aside: PathBuf) -> Result<Option<PathBuf>, BackupError> {
    let there = |ending: &str| {
        folder
            .join(format!("{}{ending}", store::FILE_NAME))
            .exists()
    };
    if !ENDINGS.into_iter().any(there) {
        return Ok(None);
    }
    fs::create_dir_all(&aside).map_err(fault("making the folder", &aside))?;
    // The log goes first: a database without its log is still whole, a log without its database is not.
    for ending in ENDINGS {
        let file = format!("{}{ending}", store::FILE_NAME);
        let from = folder.join(&file);
        if from.exists() {
            fs::rename(&from, aside.join(&file)).map_err(fault("moving", &from))?;
        }
    }
    sync(&aside)?;
    Ok(Some(aside))
}

/// A name in `folder` that nothing has yet: this one, or with a number behind its stem.
fn free(folder: &Path, name: &str) -> PathBuf {
    let mut found = folder.join(name);
    let mut number = 2;
    while found.exists() {
        let (stem, ending) = name.split_once('.').unwrap_or((name, ""));
        let dot = if ending.is_empty() { "" } else { "." };
        found = folder.join(format!("{stem}-{number}{dot}{ending}"));
        number += 1;
    }
    found
}

fn folder_of(file: &Path) -> PathBuf {
    match file.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}

fn sync(path: &Path) -> Result<(), BackupError> {
    File::open(path)
        .and_then(|file| file.sync_all())
        .map_err(fault("syncing", path))
}

fn remove_if_there(path: &Path) -> Result<(), BackupError> {
    match fs::remove_file(path) {
        Err(e) if e.kind() != io::ErrorKind::NotFound => Err(fault("removing", path)(e)),
        _ => Ok(()),
    }
}

pub(super) fn fault(what: &'static str, path: &Path) -> impl FnOnce(io::Error) -> BackupError {
    let path = path.to_owned();
    move |source| BackupError::File { what, path, source }
}
