//! Damage, in plain words first: what is the matter, that the file cannot be trusted, what to do.
//! What the checks themselves say follows, indented.

use std::path::Path;

use super::{Ending, data_folder::put_back};
use crate::{
    domain::dates::Instant,
    store::{self, StoreError, checks},
};

/// Lines of what the checks themselves say.
const MOST_DETAILS: usize = 3;

/// A backup that turned out damaged before anything was done with it.
pub fn of_backup(file: &Path, error: &StoreError) -> Ending {
    told(
        &format!("“{}”", file.display()),
        error,
        "Do not restore it; nothing was changed. “peglore verify FILE” says of another backup whether it is whole",
    )
}

/// The record of a folder, with the command that puts its latest backup back.
pub fn of_record(folder: &Path, now: Instant, error: &StoreError) -> Ending {
    let advice = format!("Stop the server if it runs. {}", put_back(folder, now));
    let file = folder.join(store::FILE_NAME);
    told(&format!("the record “{}”", file.display()), error, &advice)
}

/// Damage that came to light in the midst of something else.
pub fn anywhere(error: &StoreError) -> Ending {
    told(
        "the record",
        error,
        "Stop the server and put the latest backup back with “peglore restore”",
    )
}

fn told(what: &str, error: &StoreError, advice: &str) -> Ending {
    let faults = match error {
        StoreError::Damaged(faults) => faults.clone(),
        other => vec![other.to_string()],
    };
    let details: String = faults
        .iter()
        .take(MOST_DETAILS)
        .map(|fault| format!("\n  {fault}"))
        .collect();
    Ending::Sentence(format!(
        "{what} is damaged: {}. What it says cannot be trusted. {advice}{details}",
        checks::in_words(faults.len())
    ))
}
