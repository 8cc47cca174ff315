//! Two anglers on the club's list who are one person: what stands under one, and moving it to the other.

use sqlx::SqliteConnection;

use super::StoreError;
use crate::domain::{dates::Day, ids::*};

/// What stands under an angler.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Standing {
    /// Entries in matches.
    pub results: i64,
    /// Reports of their own, those joined to a match among them.
    pub reports: i64,
}

pub async fn standing(
    connection: &mut SqliteConnection,
    angler: AnglerId,
) -> Result<Standing, StoreError> {
    Ok(sqlx::query_as!(
        Standing,
        r#"SELECT (SELECT COUNT(*) FROM entries WHERE angler_id = ?1) AS "results!: i64",
                  (SELECT COUNT(*) FROM sessions WHERE angler_id = ?1 AND has_report = 1 AND removed_utc IS NULL) AS "reports!: i64""#,
        angler
    )
    .fetch_one(connection)
    .await?)
}

/// A match in which both are entered.
pub struct SharedMatch {
    pub name: String,
    pub on: Day,
}

/// The first match, by date, in which both are entered.
pub async fn shared_match(
    connection: &mut SqliteConnection,
    one: AnglerId,
    other: AnglerId,
) -> Result<Option<SharedMatch>, StoreError> {
    Ok(sqlx::query_as!(
        SharedMatch,
        r#"SELECT m.name, m.on_date AS "on: Day" FROM matches AS m
           WHERE EXISTS (SELECT 1 FROM entries AS e WHERE e.match_id = m.id AND e.angler_id = ?1)
             AND EXISTS (SELECT 1 FROM entries AS e WHERE e.match_id = m.id AND e.angler_id = ?2)
           ORDER BY m.on_date, m.id LIMIT 1"#,
        one,
        other
    )
    .fetch_optional(connection)
    .await?)
}

/// Moves all that stands under `from` to `to`, and leaves `from` pointing there. Marks of juniors
/// stay on what was recorded; `to` is a junior from now on if either is. What is known of `from`
/// beside its name goes where `to` has nothing of the kind.
pub async fn move_all(
    connection: &mut SqliteConnection,
    from: AnglerId,
    to: AnglerId,
) -> Result<(), StoreError> {
    // Sessions raise their own marks; whose entry it is changes figures of matches too.
    sqlx::query!(
        "INSERT INTO data_marks (venue_id, topic, mark)
         SELECT DISTINCT m.venue_id, 'matches', 1 FROM entries AS e JOIN matches AS m ON m.id = e.match_id
         WHERE e.angler_id = ? ON CONFLICT DO UPDATE SET mark = mark + 1",
        from
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!(
        "UPDATE entries SET angler_id = ? WHERE angler_id = ?",
        to,
        from
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!(
        "UPDATE sessions SET angler_id = ? WHERE angler_id = ?",
        to,
        from
    )
    .execute(&mut *connection)
    .await?;
    move_memberships(&mut *connection, from, to).await?;
    // A row of a file that made the one has then made the other; one known already stays as it is.
    sqlx::query!(
        "UPDATE OR IGNORE import_rows SET record_id = ? WHERE record_kind = 'angler' AND record_id = ?",
        to,
        from
    )
    .execute(&mut *connection)
    .await?;
    // Answers given about the names of a file, one in the record too: a later file of the same
    // headings begins with them.
    sqlx::query!(
        "UPDATE imports SET mapping_json = REPLACE(mapping_json,
           (SELECT pid FROM anglers WHERE id = ?1), (SELECT pid FROM anglers WHERE id = ?2))
         WHERE INSTR(mapping_json, (SELECT pid FROM anglers WHERE id = ?1)) > 0",
        from,
        to
    )
    .execute(&mut *connection)
    .await?;
    move_own(connection, from, to).await
}

async fn move_memberships(
    connection: &mut SqliteConnection,
    from: AnglerId,
    to: AnglerId,
) -> Result<(), StoreError> {
    // Both in one team from the same day is one membership.
    sqlx::query!(
        "UPDATE OR IGNORE team_members SET angler_id = ? WHERE angler_id = ?",
        to,
        from
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!("DELETE FROM team_members WHERE angler_id = ?", from)
        .execute(connection)
        .await?;
    Ok(())
}

/// The account, the flags, and where each came from.
async fn move_own(
    connection: &mut SqliteConnection,
    from: AnglerId,
    to: AnglerId,
) -> Result<(), StoreError> {
    let own = sqlx::query!(
        r#"SELECT account_id AS "account: AccountId", is_junior AS "is_junior: bool", default_visibility,
                  import_id AS "import: ImportId" FROM anglers WHERE id = ?"#,
        from
    )
    .fetch_one(&mut *connection)
    .await?;
    sqlx::query!("UPDATE anglers SET account_id = NULL WHERE id = ?", from)
        .execute(&mut *connection)
        .await?;
    // Who stands on the list in either's own right does not go with a file that is undone.
    sqlx::query!(
        "UPDATE anglers SET account_id = COALESCE(account_id, ?1), is_junior = MAX(is_junior, ?2),
           default_visibility = COALESCE(default_visibility, ?3),
           import_id = CASE WHEN ?4 IS NULL THEN NULL ELSE import_id END WHERE id = ?5",
        own.account,
        own.is_junior,
        own.default_visibility,
        own.import,
        to
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!(
        "UPDATE anglers SET merged_into = ?1 WHERE id = ?2 OR merged_into = ?2",
        to,
        from
    )
    .execute(connection)
    .await?;
    Ok(())
}

/// An angler's reports that stand by themselves on a day and at a water where a match of theirs has
/// none, oldest first.
pub async fn reports_beside_matches(
    connection: &mut SqliteConnection,
    angler: AnglerId,
) -> Result<Vec<Pid>, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT r.pid AS "pid: Pid" FROM sessions AS r
           WHERE r.angler_id = ?1 AND r.kind = 'report' AND r.has_report = 1 AND r.removed_utc IS NULL
             AND EXISTS (SELECT 1 FROM sessions AS s WHERE s.angler_id = ?1 AND s.venue_id = r.venue_id
                         AND s.fished_on = r.fished_on AND s.entry_id IS NOT NULL AND s.has_report = 0 AND s.removed_utc IS NULL)
           ORDER BY r.entered_utc, r.id"#,
        angler
    )
    .fetch_all(connection)
    .await?)
}
