//! Backups, each proved before it counts; and putting one back.
//!
//! A copy is written under a temporary name, synced, reopened, checked, and only then given its
//! own name and the folder synced: whatever breaks on the way, the last good one stays and a bad
//! one never carries a good one's name.

use std::{
    fs::{self, File},
    io,
    os::unix::fs::OpenOptionsExt,
    path::{Path, PathBuf},
};

use crate::{
    domain::dates::Instant,
    store::{
        self, Db, StoreError,
        backup::{self, Proof},
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
}

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
    backup::copy_to(db, &unproved).await?;
    sync(&unproved)?;
    let proof = backup::prove(&unproved).await?;
    fs::rename(&unproved, target).map_err(fault("naming", target))?;
    sync(&folder)?;
    Ok(proof)
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
        folder
            .join("backups")
            .join(format!("before-upgrade-{}", name(now)))
    });
    if let Some(target) = &target {
        back_up(&db, target).await?;
    }
    db.close_reading().await;
    Ok(target)
}

/// Where what was there before a restore went, and what is there now.
pub struct Restored {
    pub proof: Proof,
    pub set_aside: Option<PathBuf>,
}

/// Puts `backup` into `folder`, which the caller has locked. A record already there is refused, or,
/// when `replace`, moved aside whole.
pub async fn restore(
    backup_file: &Path,
    folder: &Path,
    now: Instant,
    replace: bool,
) -> Result<Restored, BackupError> {
    let proof = backup::prove(backup_file).await?;
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
    let proof_there = backup::prove(&incoming).await?;
    let set_aside = set_aside(folder, now)?;
    fs::rename(&incoming, &target).map_err(fault("naming", &target))?;
    sync(folder)?;
    Ok(Restored {
        proof: proof_there,
        set_aside,
    })
}

/// A copy for this user alone to read, whoever may read the backup.
fn copied(from: &Path, to: &Path) -> io::Result<u64> {
    let mut making = File::options();
    making.write(true).create_new(true).mode(0o600);
    io::copy(&mut File::open(from)?, &mut making.open(to)?)
}

/// Moves the database and its log into a folder of their own.
fn set_aside(folder: &Path, now: Instant) -> Result<Option<PathBuf>, BackupError> {
    if !folder.join(store::FILE_NAME).exists() {
        return Ok(None);
    }
    let aside = folder.join(format!(
        "replaced-{}",
        name(now).trim_end_matches(".backup")
    ));
    fs::create_dir_all(&aside).map_err(fault("making the folder", &aside))?;
    // The log goes first: a database without its log is still whole, a log without its database is not.
    for ending in ["-shm", "-wal", ""] {
        let file = format!("{}{ending}", store::FILE_NAME);
        let from = folder.join(&file);
        if from.exists() {
            fs::rename(&from, aside.join(&file)).map_err(fault("moving", &from))?;
        }
    }
    sync(&aside)?;
    Ok(Some(aside))
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
