//! `peglore restore`: puts a backup back, and says what is there now.

use std::path::Path;

use super::{Ending, damage, data_folder::DataFolder, verify::in_words};
use crate::{
    actions::backup::{self, BackupError},
    web::state::Clock,
};

pub async fn run(from: &Path, data: &Path, replace: bool) -> Result<(), Ending> {
    if !from.is_file() {
        return Err(Ending::Sentence(format!(
            "there is no file “{}”",
            from.display()
        )));
    }
    let folder = DataFolder::take(data)?;
    let restored = backup::restore(from, &folder.path, Clock::system().now(), replace).await;
    let restored = match restored {
        Ok(restored) => restored,
        Err(error) => {
            folder.leave_nothing();
            return Err(match error {
                BackupError::Store(e) if e.is_malformed() => damage::of_backup(from, &e),
                other => other.into(),
            });
        }
    };
    println!(
        "Restored into {}: {}",
        folder.path.display(),
        in_words(&restored.proof)
    );
    if let Some(aside) = restored.set_aside {
        println!("What was there before is in {}", aside.display());
    }
    if let Some(settings) = restored.settings {
        println!(
            "Its settings came back too, in {}; read them through if this is another machine",
            settings.display()
        );
    }
    Ok(())
}
