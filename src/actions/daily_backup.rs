//! A proved backup once a day, and only so many of them kept. Older ones go when a new one has
//! been proved, never before: while backups fail, the good ones stay.

use std::{
    fs,
    path::{Path, PathBuf},
};

use super::backup::{self, BackupError};
use crate::{
    domain::dates::{Day, Instant},
    store::Db,
};

const DAY_S: i64 = 24 * 3_600;

/// Where the daily backups of a record lie: beside it.
pub fn folder(db: &Db) -> PathBuf {
    db.file().with_file_name("backups")
}

/// When the latest backup in `folder` not after `now` was made; `None` when there is none.
pub fn latest(folder: &Path, now: Instant) -> Option<Instant> {
    let times = kept(folder).into_iter().map(|(at, _)| at);
    times.filter(|at| *at <= now).max()
}

/// Whether a day has gone by since the latest backup.
pub fn is_due(folder: &Path, now: Instant) -> bool {
    latest(folder, now).is_none_or(|at| now.0 - at.0 >= DAY_S)
}

/// Backs the record up into `folder`, proves the copy, and then removes all but the latest `keep`.
pub async fn back_up(
    db: &Db,
    folder: &Path,
    keep: usize,
    now: Instant,
) -> Result<PathBuf, BackupError> {
    let target = folder.join(backup::name(now));
    backup::back_up(db, &target).await?;
    let mut backups = kept(folder);
    backups.sort();
    let surplus = backups.len().saturating_sub(keep.max(1));
    for (_, old) in backups
        .iter()
        .filter(|(_, path)| *path != target)
        .take(surplus)
    {
        fs::remove_file(old).map_err(backup::fault("removing", old))?;
    }
    Ok(target)
}

/// The daily backups in a folder with the moment each was made, from its name. Whatever bears
/// another name (made before an upgrade, or by hand) is nobody's to remove.
fn kept(folder: &Path) -> Vec<(Instant, PathBuf)> {
    let Ok(inside) = fs::read_dir(folder) else {
        return Vec::new();
    };
    inside
        .flatten()
        .filter_map(|entry| {
            let at = made_at(entry.file_name().to_str()?)?;
            Some((at, entry.path()))
        })
        .collect()
}

/// Reads `peglore-20261114T120000Z.backup`.
fn made_at(name: &str) -> Option<Instant> {
    let time = name.strip_prefix("peglore-")?.strip_suffix("Z.backup")?;
    let (date, clock) = time.split_once('T')?;
    if date.len() != 8 || clock.len() != 6 || !time.is_ascii() {
        return None;
    }
    let day = Day::parse(&format!("{}-{}-{}", &date[..4], &date[4..6], &date[6..]))?;
    let part = |from: usize| clock[from..from + 2].parse::<i64>().ok();
    let seconds = part(0)? * 3_600 + part(2)? * 60 + part(4)?;
    Some(Instant(day.number() * DAY_S + seconds))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_backup_is_dated_by_its_name() {
        let noon = Instant(1_794_657_600);
        assert_eq!(made_at(&backup::name(noon)), Some(noon));
        for other in [
            "peglore-2026.backup",
            "before-upgrade-peglore-20261114T120000Z.backup",
            "peglore-20261114T120000Z.unproved",
            "notes.txt",
        ] {
            assert_eq!(made_at(other), None, "{other}");
        }
    }
}
