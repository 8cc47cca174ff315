//! Is the record whole? SQLite's own check, and what the last one found.

use std::{
    path::Path,
    sync::{
        Arc,
        atomic::{AtomicUsize, Ordering},
    },
};

use sqlx::{Connection, SqliteConnection, sqlite::SqliteConnectOptions};

use super::{Db, StoreError};

/// Faults are counted up to here, as the checks are told: one broken page brings many.
pub const MOST_FAULTS: usize = 100;

/// How many faults the last look through a record found; 0 while none is known.
#[derive(Clone, Default)]
pub struct Damage(Arc<AtomicUsize>);

impl Damage {
    pub fn faults(&self) -> usize {
        self.0.load(Ordering::SeqCst)
    }

    pub fn note(&self, faults: usize) {
        self.0.store(faults, Ordering::SeqCst);
    }
}

/// `3 faults were found`.
pub fn in_words(faults: usize) -> String {
    match faults {
        1 => "a fault was found".to_owned(),
        MOST_FAULTS.. => format!("{MOST_FAULTS} faults or more were found"),
        few => format!("{few} faults were found"),
    }
}

/// What SQLite's quick check finds wrong; nothing when the record is whole. It reads the whole file
/// on a connection of its own: readers and the writer go on meanwhile.
pub async fn quick_check(db: &Db) -> Result<Vec<String>, StoreError> {
    let mut alone = opened(db.file()).await?;
    let answers: Result<Vec<String>, sqlx::Error> = sqlx::query_scalar("PRAGMA quick_check(100)")
        .fetch_all(&mut alone)
        .await;
    let found = match answers.map_err(StoreError::from) {
        Ok(answers) => faults_in(answers),
        Err(e) if e.is_malformed() || e.is_no_database() => vec![e.to_string()],
        Err(other) => return Err(other),
    };
    alone.close().await?;
    Ok(found)
}

/// A connection that changes nothing. Not opened read-only: SQLite must be able to put the index
/// of a write-ahead log beside the file.
pub(super) async fn opened(file: &Path) -> Result<SqliteConnection, StoreError> {
    let options = SqliteConnectOptions::new()
        .filename(file)
        .pragma("query_only", "ON");
    Ok(SqliteConnection::connect_with(&options).await?)
}

/// The faults in the answers of a check, one a line; a heading is none.
pub(super) fn faults_in(answers: Vec<String>) -> Vec<String> {
    if answers == ["ok"] {
        return Vec::new();
    }
    let lines = answers.iter().flat_map(|answer| answer.lines());
    let faults: Vec<String> = lines
        .filter(|line| !line.starts_with("***"))
        .map(str::to_owned)
        .collect();
    match faults.is_empty() {
        true => answers,
        false => faults,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_heading_is_no_fault_and_no_answer_but_ok_is_whole() {
        let of = |answers: &[&str]| faults_in(answers.iter().map(|a| (*a).to_owned()).collect());
        assert_eq!(of(&["ok"]), [""; 0]);
        let broken = "*** in database main ***\nTree 11 page 11: error 11\nPage 12: never used";
        let faults = of(&[broken, "row 3 missing"]);
        assert_eq!(
            faults,
            [
                "Tree 11 page 11: error 11",
                "Page 12: never used",
                "row 3 missing"
            ]
        );
        assert_eq!(of(&["*** what ***"]), ["*** what ***"]);
    }

    #[test]
    fn faults_are_counted_as_far_as_the_checks_count() {
        assert_eq!(in_words(1), "a fault was found");
        assert_eq!(in_words(3), "3 faults were found");
        assert_eq!(in_words(100), "100 faults or more were found");
    }
}
