//! `peglore verify`: is this record whole?

use std::path::Path;

use super::Ending;
use crate::store::{
    self,
    backup::{self, Proof},
};

pub async fn run(path: &Path) -> Result<(), Ending> {
    let file = if path.is_dir() {
        path.join(store::FILE_NAME)
    } else {
        path.to_owned()
    };
    if !file.is_file() {
        return Err(Ending::Sentence(format!(
            "there is no record at “{}”",
            path.display()
        )));
    }
    let proof = backup::prove(&file).await?;
    println!("Whole: {}", in_words(&proof));
    Ok(())
}

/// `412 anglers, 96 matches, …`
pub fn in_words(proof: &Proof) -> String {
    format!(
        "{} accounts, {} anglers, {} matches, {} sessions, {} days of weather (schema {})",
        proof.accounts,
        proof.anglers,
        proof.matches,
        proof.sessions,
        proof.weather_days,
        proof.schema
    )
}
