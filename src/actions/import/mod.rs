//! Bringing a file into the record. The file is kept first, laid out, so that its columns,
//! preview and doubts can be looked at over several pages; saving makes every record in one
//! transaction; undoing hides them all and deletes nothing.

use sha2::{Digest, Sha256};

use super::{ActionError, By};
use crate::{
    domain::{
        dates::Instant,
        ids::ImportId,
        imports::{ImportKind, ImportState},
        names::text::clean_line,
    },
    store::{
        Db, audit,
        imports::{self, NewImport},
    },
};

pub mod sheet;
mod undo;
pub mod weather; // days of weather, from a table or a station file

pub use undo::undo;

/// Keeps a file to be looked at; nothing of it is in the record yet.
///
/// Errors: `NotAllowed` for all but officers; `Refused` at `file` when it is empty.
pub async fn keep_file(
    db: &Db,
    now: Instant,
    by: &By,
    file: (&str, &[u8]),
    kind: ImportKind,
    mapping_json: &str,
) -> Result<ImportId, ActionError> {
    by.must_be_officer()?;
    let (name, content) = file;
    if content.is_empty() {
        return Err(ActionError::refused(
            "file",
            "The file is empty. Choose the file that holds the list.",
        ));
    }
    let name = plain_file_name(name);
    let sha256: [u8; 32] = Sha256::digest(content).into();
    let mut writing = db.write().await?;
    let new = NewImport {
        file_name: &name,
        file_sha256: &sha256,
        content,
        kind,
        mapping_json,
        by: by.account(),
        at: now,
    };
    let id = imports::insert(&mut writing, &new).await?;
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "laid out a file",
        None,
        &format!("import {id}, {}", kind.as_str()),
    )
    .await?;
    writing.commit().await?;
    Ok(id)
}

/// Keeps how a laid-out file is to be read.
///
/// Errors: `Refused` when it is in the record already, or undone.
pub async fn set_mapping(
    db: &Db,
    by: &By,
    id: ImportId,
    kind: ImportKind,
    mapping_json: &str,
) -> Result<(), ActionError> {
    by.must_be_officer()?;
    let mut writing = db.write().await?;
    imports::by_id(&mut writing, id)
        .await?
        .ok_or(ActionError::NotFound)?;
    if !imports::set_mapping(&mut writing, id, kind, mapping_json).await? {
        return Err(no_longer_laid_out());
    }
    Ok(writing.commit().await?)
}

/// Throws a file away that never came into the record.
pub async fn discard(db: &Db, now: Instant, by: &By, id: ImportId) -> Result<(), ActionError> {
    by.must_be_officer()?;
    let mut writing = db.write().await?;
    imports::by_id(&mut writing, id)
        .await?
        .ok_or(ActionError::NotFound)?;
    if !imports::discard(&mut writing, id).await? {
        return Err(no_longer_laid_out());
    }
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "threw a laid-out file away",
        None,
        &format!("import {id}"),
    )
    .await?;
    Ok(writing.commit().await?)
}

pub(crate) fn no_longer_laid_out() -> ActionError {
    ActionError::refused(
        "",
        "This file has been saved or undone meanwhile, so it is no longer laid out. Fetch the list of files again.",
    )
}

/// The laid-out file; what is saved or undone is refused.
pub(crate) async fn laid_out(
    writing: &mut crate::store::Writing,
    id: ImportId,
) -> Result<imports::Import, ActionError> {
    let import = imports::by_id(writing, id)
        .await?
        .ok_or(ActionError::NotFound)?;
    match import.state {
        ImportState::Uploaded => Ok(import),
        ImportState::Done | ImportState::Undone => Err(no_longer_laid_out()),
    }
}

/// The last part of a path, cleaned, at most 120 characters: a browser may send folders too.
fn plain_file_name(name: &str) -> String {
    let last = name.rsplit(['/', '\\']).next().unwrap_or_default();
    let short: String = last.chars().filter(|c| !c.is_control()).take(120).collect();
    match clean_line(&short, "the file’s name", 120) {
        Ok(name) if !name.is_empty() => name,
        _ => "a file without a name".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::plain_file_name;

    #[test]
    fn a_file_keeps_the_last_part_of_its_name_only() {
        assert_eq!(plain_file_name("../../etc/passwd"), "passwd");
        assert_eq!(plain_file_name("C:\\sheets\\2019.csv"), "2019.csv");
        assert_eq!(plain_file_name("a/"), "a file without a name");
        assert_eq!(plain_file_name("\u{202e}vsc.exe"), "a file without a name");
        assert_eq!(plain_file_name(&"x".repeat(400)).len(), 120);
    }
}
