//! Who is entered in a match, on which peg, and what became of them.

use sqlx::SqliteConnection;

use crate::{
    domain::{
        ids::*,
        matches::{EntryStatus, Outcome},
    },
    store::StoreError,
};

/// A booked entry with all that a result needs of it.
#[derive(Clone, Debug)]
pub struct Entry {
    pub id: EntryId,
    pub number: i64,
    pub angler: AnglerId,
    pub label: Option<LabelId>,
    pub given: Option<String>,
    pub surname: Option<String>,
    pub salt: Option<Vec<u8>>,
    pub was_junior: bool,
    pub section: Option<SectionId>,
    pub section_name: Option<String>,
    pub team_name: Option<String>,
    pub peg: Option<PegId>,
    pub peg_number: Option<String>,
    pub outcome: Option<Outcome>,
}

/// Those booked, by number.
pub async fn of_match(
    connection: &mut SqliteConnection,
    id: MatchId,
) -> Result<Vec<Entry>, StoreError> {
    listed(connection, id, false).await
}

/// All that a posting may name, by number: who withdrew since is still posted.
pub async fn ever_of_match(
    connection: &mut SqliteConnection,
    id: MatchId,
) -> Result<Vec<Entry>, StoreError> {
    listed(connection, id, true).await
}

async fn listed(
    connection: &mut SqliteConnection,
    id: MatchId,
    withdrawn: bool,
) -> Result<Vec<Entry>, StoreError> {
    Ok(sqlx::query_as!(
        Entry,
        r#"SELECT e.id AS "id: EntryId", e.number, e.angler_id AS "angler: AnglerId", l.id AS "label?: LabelId",
                  l.given AS "given?", l.surname AS "surname?", l.salt AS "salt?", e.was_junior AS "was_junior: bool",
                  e.section_id AS "section: SectionId", s.name AS "section_name?", t.name AS "team_name?",
                  e.peg_id AS "peg: PegId", p.number AS "peg_number?", e.outcome AS "outcome: Outcome"
           FROM entries AS e JOIN anglers AS g ON g.id = e.angler_id
           LEFT JOIN labels AS l ON l.id = g.label_id
           LEFT JOIN sections AS s ON s.id = e.section_id
           LEFT JOIN match_teams AS t ON t.id = e.team_id
           LEFT JOIN pegs AS p ON p.id = e.peg_id
           WHERE e.match_id = ?1 AND (e.status = 'booked' OR ?2) ORDER BY e.number"#,
        id,
        withdrawn
    )
    .fetch_all(connection)
    .await?)
}

/// Where an entry is placed.
#[derive(Clone, Copy, Debug, Default)]
pub struct Placing {
    pub section: Option<SectionId>,
    pub team: Option<MatchTeamId>,
    pub peg: Option<PegId>,
}

/// Adds an angler with the next number; the junior flag is kept as it stands today.
pub async fn insert(
    connection: &mut SqliteConnection,
    the_match: MatchId,
    angler: AnglerId,
    placing: Placing,
) -> Result<EntryId, StoreError> {
    let row = sqlx::query!(
        "INSERT INTO entries (match_id, number, angler_id, section_id, team_id, peg_id, was_junior)
         SELECT ?1, (SELECT COALESCE(MAX(number), 0) + 1 FROM entries WHERE match_id = ?1), id, ?3, ?4, ?5, is_junior
         FROM anglers WHERE id = ?2",
        the_match,
        angler,
        placing.section,
        placing.team,
        placing.peg
    )
    .execute(connection)
    .await?;
    Ok(EntryId(row.last_insert_rowid()))
}

/// Whoever is entered fished as a junior, whatever the list says of them today.
pub async fn mark_was_junior(
    connection: &mut SqliteConnection,
    id: EntryId,
) -> Result<(), StoreError> {
    sqlx::query!("UPDATE entries SET was_junior = 1 WHERE id = ?", id)
        .execute(connection)
        .await?;
    Ok(())
}

pub async fn set_outcome(
    connection: &mut SqliteConnection,
    id: EntryId,
    outcome: Option<Outcome>,
) -> Result<(), StoreError> {
    sqlx::query!("UPDATE entries SET outcome = ? WHERE id = ?", outcome, id)
        .execute(connection)
        .await?;
    Ok(())
}

/// Takes the entry off its peg, for now.
pub async fn clear_peg(connection: &mut SqliteConnection, id: EntryId) -> Result<(), StoreError> {
    sqlx::query!("UPDATE entries SET peg_id = NULL WHERE id = ?", id)
        .execute(connection)
        .await?;
    Ok(())
}

pub async fn place(
    connection: &mut SqliteConnection,
    id: EntryId,
    placing: Placing,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE entries SET section_id = ?, team_id = ?, peg_id = ? WHERE id = ?",
        placing.section,
        placing.team,
        placing.peg,
        id
    )
    .execute(connection)
    .await?;
    Ok(())
}

pub async fn set_status(
    connection: &mut SqliteConnection,
    id: EntryId,
    status: EntryStatus,
) -> Result<(), StoreError> {
    let status = status.as_str();
    sqlx::query!("UPDATE entries SET status = ? WHERE id = ?", status, id)
        .execute(connection)
        .await?;
    Ok(())
}

/// Books an angler again who had withdrawn from the match; `None` when there is no such entry.
pub async fn rebook(
    connection: &mut SqliteConnection,
    the_match: MatchId,
    angler: AnglerId,
    placing: Placing,
) -> Result<Option<EntryId>, StoreError> {
    let id = sqlx::query_scalar!(
        r#"UPDATE entries SET status = 'booked', section_id = ?3, team_id = ?4, peg_id = ?5
           WHERE match_id = ?1 AND angler_id = ?2 AND status = 'withdrawn' RETURNING id AS "id: EntryId""#,
        the_match,
        angler,
        placing.section,
        placing.team,
        placing.peg
    )
    .fetch_optional(connection)
    .await?;
    Ok(id)
}
