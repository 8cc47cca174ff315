//! Opening the data folder: locked so that two servers never share it, and every way it can be
//! unusable said in one sentence. Only what begins or puts back a record makes a folder: for
//! anything else a folder without one is a mistyped name.

use std::{
    collections::BTreeMap,
    fs::{self, File, TryLockError},
    io::ErrorKind,
    path::{Path, PathBuf},
};

use super::{Ending, damage::of_record};
use crate::{
    actions::{
        backup::{self, BackupError},
        daily_backup,
    },
    domain::dates::Instant,
    settings::{self, Origin, Settings, SettingsError},
    store::{self, Db, StoreError, backup::open_record},
};

/// The folder while a command works in it. Dropping it lets the next one in.
pub struct DataFolder {
    pub path: PathBuf,
    pub settings: Settings,
    made: bool,
    _lock: File,
}

const LOCK: &str = "peglore.lock";

impl DataFolder {
    /// Takes the folder for this process, making it first when it is not there.
    pub fn take(path: &Path) -> Result<Self, Ending> {
        Self::take_or(path, "")
    }

    /// Where another Peglore has the folder, `instead` says how the same is done while it runs.
    fn take_or(path: &Path, instead: &str) -> Result<Self, Ending> {
        let made = make(path)?;
        let lock = lock(path, instead)?;
        Ok(Self {
            path: path.to_owned(),
            settings: settings(path)?,
            made,
            _lock: lock,
        })
    }

    /// Takes a folder that holds a record already; none is begun. `on_the_site` is the page that
    /// does the same while the server runs.
    pub fn with_record(path: &Path, on_the_site: &str) -> Result<Self, Ending> {
        let found = fs::metadata(path.join(store::FILE_NAME)).map_err(|e| e.kind());
        if let Err(ErrorKind::NotFound | ErrorKind::NotADirectory) = found {
            return Err(no_record(path));
        }
        Self::take_or(
            path,
            &format!(", or do it on the site while it runs, under {on_the_site}"),
        )
    }

    /// Gives the folder up; one that was made for this and holds nothing goes with it.
    pub fn leave_nothing(self) {
        if self.made {
            // What cannot be removed is in nobody's way: the folder then stays, as it is.
            let _ = fs::remove_file(self.path.join(LOCK));
            let _ = fs::remove_dir(&self.path);
        }
    }

    /// Opens the record; when a newer program is about to change its schema, a proved backup is made first.
    pub async fn open(&self, now: Instant) -> Result<Db, Ending> {
        let file = self.path.join(store::FILE_NAME);
        if backup::finish_restore(&self.path, now)? {
            println!("A restore that was cut off is finished now: the backup is in its place.");
        }
        ours_to_write(&file)?;
        if fs::metadata(&file).is_ok_and(|found| found.len() == 0) {
            tracing::warn!(
                "the record “{}” was empty, and a new club begins in it. If there was a club here, stop and put a backup back with “peglore restore”",
                file.display()
            );
        }
        let told = |e| cannot_open(&self.path, now, e);
        let kept = match backup::before_upgrade(&self.path, now).await {
            Err(BackupError::Store(newer @ StoreError::NewerSchema { .. })) => {
                return Err(newer_record(&self.path, &newer).await);
            }
            kept => kept.map_err(told)?,
        };
        if let Some(kept) = kept {
            println!(
                "This Peglore is newer than the record. Before changing it, a backup was made and proved:\n  {}",
                kept.display()
            );
        }
        Db::open(&self.path).await.map_err(|e| told(e.into()))
    }
}

/// SQLite opens what may only be read without a word, and fails at the first report.
fn ours_to_write(file: &Path) -> Result<(), Ending> {
    match File::options().read(true).write(true).open(file) {
        Err(e) if e.kind() != ErrorKind::NotFound => Err(unusable(file, "cannot be opened", &e)),
        _ => Ok(()),
    }
}

/// A record of `folder` that does not open, by its name, and what mends it; what is newer than the
/// program says so itself.
pub fn cannot_open(folder: &Path, now: Instant, error: BackupError) -> Ending {
    let why = match &error {
        BackupError::Store(StoreError::NotARecord(_)) => "it is not a Peglore record",
        BackupError::Store(e) if e.is_malformed() => return of_record(folder, now, e),
        BackupError::Store(StoreError::Sql(_) | StoreError::Migrate(_)) => "",
        _ => return error.into(),
    };
    let file = folder.join(store::FILE_NAME);
    let begun = format!(
        "the record “{}” cannot be opened by user {}",
        file.display(),
        user()
    );
    if why.is_empty() {
        return Ending::Sentence(format!("{begun}: {error}"));
    }
    Ending::Sentence(format!("{begun}: {why}. {}", put_back(folder, now)))
}

/// A record newer than the program, and the command that puts back what was there before the upgrade.
async fn newer_record(folder: &Path, newer: &StoreError) -> Ending {
    let back = match backup::older_than_upgrade(folder).await {
        Some(file) => format!(
            "To go back to that backup, which moves the newer record aside and deletes nothing: peglore restore --from {} --data {} --replace",
            pasted(&file),
            pasted(folder)
        ),
        None => format!(
            "There is none in “{}” that this program can read",
            folder.join("backups").display()
        ),
    };
    Ending::NewerData(format!("{newer}. {back}"))
}

/// What mends a record that is of no use: the command that puts the latest backup back.
pub fn put_back(folder: &Path, now: Instant) -> String {
    let backups = folder.join("backups");
    let (what, from) = match daily_backup::latest(&backups, now) {
        Some(at) => (
            "Put the latest backup back".to_owned(),
            pasted(&backups.join(backup::name(at))),
        ),
        None => (
            format!(
                "There is no backup in “{}”; if you have one elsewhere, put it back",
                backups.display()
            ),
            "FILE".to_owned(),
        ),
    };
    format!(
        "Nothing was changed. {what}, which moves this file aside and deletes nothing: peglore restore --from {from} --data {} --replace",
        pasted(folder)
    )
}

/// Is there a record that was only begun, so that the next start of the server finishes it?
pub async fn is_only_begun(file: &Path) -> bool {
    let Ok((db, schema)) = open_record(file).await else {
        return false;
    };
    db.close_reading().await;
    schema == 0
}

/// The answer where a record was only begun: nothing is wrong with it.
pub fn nothing_yet(folder: &Path) -> Ending {
    Ending::Sentence(format!(
        "the record in “{}” has nothing in it yet; start the server once: peglore serve --data {}",
        folder.display(),
        pasted(folder)
    ))
}

/// A path as it stands in a command that somebody may paste: between quotation marks where a shell
/// would take it apart.
pub fn pasted(path: &Path) -> String {
    let text = path.display().to_string();
    let plain = |c: char| c.is_alphanumeric() || "/._-+,:@%".contains(c);
    match !text.is_empty() && text.chars().all(plain) {
        true => text,
        false => format!("'{}'", text.replace('\'', r"'\''")),
    }
}

fn user() -> u32 {
    rustix::process::geteuid().as_raw()
}

/// The answer to a folder in which nothing was ever begun.
pub fn no_record(path: &Path) -> Ending {
    Ending::Sentence(format!(
        "there is no record in “{}”. Check the folder’s name; a new club begins with: peglore serve --data {}",
        path.display(),
        pasted(path)
    ))
}

/// The settings of a folder, there or not.
pub fn settings(path: &Path) -> Result<Settings, Ending> {
    Settings::read(path, environment()).map_err(|e| unread_settings(path, &e))
}

/// Where the settings of a folder come from that are no defaults.
pub fn origins_of_settings(path: &Path) -> Result<BTreeMap<&'static str, Origin>, Ending> {
    settings::origins(path, environment()).map_err(|e| unread_settings(path, &e))
}

fn unread_settings(path: &Path, error: &SettingsError) -> Ending {
    match error {
        SettingsError::File(_) => Ending::Sentence(format!(
            "the folder “{}” cannot be used by user {}: {error}",
            path.display(),
            user()
        )),
        other => Ending::Sentence(other.to_string()),
    }
}

/// The environment as text. What is no text is no setting of ours, or a value that is refused.
fn environment() -> impl Iterator<Item = (String, String)> {
    std::env::vars_os().filter_map(|(name, value)| {
        let name = name.into_string().ok()?;
        Some((name, value.to_string_lossy().into_owned()))
    })
}

/// Makes the folder when it is not there; `true` when it was not.
fn make(path: &Path) -> Result<bool, Ending> {
    match fs::metadata(path) {
        Ok(found) if found.is_dir() => Ok(false),
        Ok(_) => Err(Ending::Sentence(format!(
            "“{}” is a file, so user {} can keep nothing in it; --data takes a folder",
            path.display(),
            user()
        ))),
        Err(e) if e.kind() == ErrorKind::NotFound => match path.parent() {
            Some(parent) if !parent.as_os_str().is_empty() && !parent.is_dir() => {
                Err(Ending::Sentence(format!(
                    "the folder “{}” cannot be made by user {}, because “{}” is not there",
                    path.display(),
                    user(),
                    parent.display()
                )))
            }
            _ => match fs::create_dir(path) {
                Ok(()) => Ok(true),
                Err(e) => Err(unusable(path, "cannot be made", &e)),
            },
        },
        Err(e) => Err(unusable(path, "cannot be looked into", &e)),
    }
}

fn lock(path: &Path, instead: &str) -> Result<File, Ending> {
    let name = path.join(LOCK);
    let file = File::options()
        .create(true)
        .truncate(false)
        .read(true)
        .write(true)
        .open(&name)
        .map_err(|e| unusable(path, "cannot be written", &e))?;
    match file.try_lock() {
        Ok(()) => Ok(file),
        Err(TryLockError::WouldBlock) => Err(Ending::Sentence(format!(
            "another Peglore is using the folder “{}”; stop it first{instead}",
            path.display()
        ))),
        Err(TryLockError::Error(e)) => Err(unusable(path, "cannot be locked", &e)),
    }
}

/// Names the folder and who asked.
fn unusable(path: &Path, what: &str, error: &std::io::Error) -> Ending {
    let user = user();
    let why = match error.kind() {
        ErrorKind::PermissionDenied => "it is not theirs to write".to_owned(),
        ErrorKind::ReadOnlyFilesystem => "it is on a disk that cannot be written".to_owned(),
        _ => error.to_string(),
    };
    Ending::Sentence(format!("“{}” {what} by user {user}: {why}", path.display()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_is_quoted_only_where_a_shell_would_take_it_apart() {
        for (path, pasted_as) in [
            ("/srv/club-1/pegs.d", "/srv/club-1/pegs.d"),
            ("/srv/our club", "'/srv/our club'"),
            ("/srv/the club's $pegs", r"'/srv/the club'\''s $pegs'"),
            ("étang", "étang"),
            ("", "''"),
        ] {
            assert_eq!(pasted(Path::new(path)), pasted_as);
        }
    }
}
