//! `peglore verify`: is this record whole?

use std::path::Path;

use super::{
    Ending,
    data_folder::{cannot_open, is_only_begun, nothing_yet},
};
use crate::{
    actions::backup,
    domain::dates::Zone,
    store::{self, backup::Proof},
    web::state::Clock,
};

pub async fn run(path: &Path) -> Result<(), Ending> {
    let file = if path.is_dir() {
        path.join(store::FILE_NAME)
    } else {
        path.to_owned()
    };
    if !file.is_file() {
        return Err(Ending::Sentence(format!(
            "there is no record at “{}”; give a backup file, or the data folder of a club",
            path.display()
        )));
    }
    if path.is_dir() && is_only_begun(&file).await {
        return Err(nothing_yet(path));
    }
    let proof = backup::prove(&file).await.map_err(|error| {
        // A backup is only named; for the record itself there is something to be done.
        match path.is_dir() {
            true if error.is_malformed() => {
                super::damage::of_record(path, Clock::system().now(), &error)
            }
            false if error.is_malformed() => super::damage::of_backup(path, &error),
            true => cannot_open(path, Clock::system().now(), error.into()),
            false => error.into(),
        }
    })?;
    println!("Whole: {}", in_words(&proof));
    Ok(())
}

/// `412 anglers, 96 matches, … The newest session was written down on Sat 15 Nov 2025, 14:32 UTC.`
pub fn in_words(proof: &Proof) -> String {
    let newest = proof.newest.map_or(String::new(), |at| {
        format!(
            ". The newest session was written down on {}",
            at.in_words(&Zone::utc())
        )
    });
    let counts = [
        (proof.accounts, "account", "accounts"),
        (proof.anglers, "angler", "anglers"),
        (proof.matches, "match", "matches"),
        (proof.sessions, "session", "sessions"),
        (proof.weather_days, "day of weather", "days of weather"),
    ];
    let counts = counts.map(|(count, one, many)| match count {
        1 => format!("1 {one}"),
        count => format!("{count} {many}"),
    });
    format!("{}{newest}", counts.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_of_a_kind_is_said_as_one() {
        let proof = Proof {
            schema: 7,
            accounts: 1,
            anglers: 2,
            matches: 1,
            sessions: 0,
            weather_days: 1,
            newest: None,
        };
        assert_eq!(
            in_words(&proof),
            "1 account, 2 anglers, 1 match, 0 sessions, 1 day of weather"
        );
    }
}
