//! `peglore backup`: one file, proved.

use std::path::{Path, PathBuf};

use super::{
    Ending,
    data_folder::{cannot_open, no_record, nothing_yet, pasted},
    verify::in_words,
};
use crate::{
    actions::backup,
    store::{self, backup::open_record},
    web::state::Clock,
};

pub async fn run(data: &Path, to: Option<PathBuf>) -> Result<(), Ending> {
    let file = data.join(store::FILE_NAME);
    if !file.is_file() {
        return Err(no_record(data));
    }
    let now = Clock::system().now();
    if let Some(folder) = to.as_deref().filter(|to| to.is_dir()) {
        return Err(Ending::Sentence(format!(
            "“{}” is a folder; name a file in it: --to {}",
            folder.display(),
            pasted(&folder.join(backup::name(now)))
        )));
    }
    let target = to.unwrap_or_else(|| data.join("backups").join(backup::name(now)));
    // No lock: a copy is taken through a reading connection while the server goes on.
    let opened = open_record(&file).await;
    let (db, schema) = opened.map_err(|e| cannot_open(data, now, e.into()))?;
    if schema == 0 {
        db.close_reading().await;
        return Err(nothing_yet(data));
    }
    let proof = backup::back_up(&db, &target).await?;
    db.close_reading().await;
    println!(
        "Backed up and proved: {}\n  {}",
        target.display(),
        in_words(&proof)
    );
    Ok(())
}
