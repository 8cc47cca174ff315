//! What was posted, exactly, and what later postings changed. Nothing here is ever rewritten.

use sqlx::SqliteConnection;

use crate::{
    domain::{dates::Instant, ids::*, matches::Change},
    store::StoreError,
};

#[derive(Clone, Debug)]
pub struct Publication {
    pub id: PublicationId,
    pub ord: i64,
    pub at: Instant,
    pub reason: Option<String>,
    pub figures_json: String,
}

/// Newest first.
pub async fn of_match(
    connection: &mut SqliteConnection,
    id: MatchId,
) -> Result<Vec<Publication>, StoreError> {
    Ok(sqlx::query_as!(
        Publication,
        r#"SELECT id AS "id: PublicationId", ord, at_utc AS "at: Instant", reason, figures_json
           FROM publications WHERE match_id = ? ORDER BY ord DESC"#,
        id
    )
    .fetch_all(connection)
    .await?)
}

/// A posting to be kept.
pub struct NewPublication<'a> {
    pub the_match: MatchId,
    pub ord: i64,
    pub at: Instant,
    pub by: Option<AccountId>,
    pub reason: Option<&'a str>,
    pub figures_json: &'a str,
    pub sha256: &'a [u8],
}

pub async fn insert(
    connection: &mut SqliteConnection,
    new: NewPublication<'_>,
) -> Result<PublicationId, StoreError> {
    let row = sqlx::query!(
        "INSERT INTO publications (match_id, ord, state, at_utc, by_account, reason, figures_json, sha256)
         VALUES (?, ?, 'provisional', ?, ?, ?, ?, ?)",
        new.the_match, new.ord, new.at, new.by, new.reason, new.figures_json, new.sha256
    )
    .execute(connection)
    .await?;
    Ok(PublicationId(row.last_insert_rowid()))
}

/// Which posting was replaced by which, by whom, when and why.
#[derive(Clone, Copy)]
pub struct Replacing<'a> {
    pub old: PublicationId,
    pub new: PublicationId,
    pub by: Option<AccountId>,
    pub at: Instant,
    pub reason: &'a str,
}

pub async fn insert_correction(
    connection: &mut SqliteConnection,
    replacing: Replacing<'_>,
    change: &Change,
) -> Result<(), StoreError> {
    sqlx::query!(
        "INSERT INTO corrections (publication_id, replaced_by, entry_id, field, old, new, by_account, at_utc, reason)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        replacing.old, replacing.new, change.entry, change.field, change.old, change.new,
        replacing.by, replacing.at, replacing.reason
    )
    .execute(connection)
    .await?;
    Ok(())
}

#[derive(Clone, Debug)]
pub struct Correction {
    pub entry: Option<EntryId>,
    pub field: String,
    pub old: String,
    pub new: String,
    pub at: Instant,
    pub reason: String,
    /// The name of the account that made it, where that is still on record.
    pub by: Option<String>,
}

impl Correction {
    pub fn change(&self) -> Change {
        Change {
            entry: self.entry,
            field: self.field.clone(),
            old: self.old.clone(),
            new: self.new.clone(),
        }
    }
}

/// All corrections of a match, oldest first.
pub async fn corrections(
    connection: &mut SqliteConnection,
    id: MatchId,
) -> Result<Vec<Correction>, StoreError> {
    Ok(sqlx::query_as!(
        Correction,
        r#"SELECT c.entry_id AS "entry: EntryId", c.field, c.old, c.new, c.at_utc AS "at: Instant", c.reason,
                  a.name AS "by?"
           FROM corrections AS c JOIN publications AS p ON p.id = c.publication_id
           LEFT JOIN accounts AS a ON a.id = c.by_account
           WHERE p.match_id = ? ORDER BY c.id"#,
        id
    )
    .fetch_all(connection)
    .await?)
}
