//! Changing a match that was made: what it is called, when and where it is, and its sections and
//! teams. Nothing here touches what was posted.

use sqlx::SqliteConnection;

use super::{NewMatch, insert_kinds, insert_sections, insert_teams};
use crate::{
    domain::{dates::Day, ids::*, units::Ranking},
    store::StoreError,
};

/// Sets name, place, day, times and how pegs come to anglers, and raises the version; `false` when
/// `version` is no longer the match's.
pub async fn set_head(
    connection: &mut SqliteConnection,
    (id, version): (MatchId, i64),
    new: &NewMatch,
) -> Result<bool, StoreError> {
    let done = sqlx::query!(
        "UPDATE matches SET ver = ver + 1, name = ?, venue_id = ?, on_date = ?, zone = ?, meet_place = ?,
                            meet_utc = ?, start_utc = ?, finish_utc = ?, pegs_allotted = ?
         WHERE id = ? AND ver = ?",
        new.name,
        new.venue,
        new.on,
        new.zone,
        new.meet_place,
        new.meet,
        new.start,
        new.finish,
        new.pegs_allotted,
        id,
        version
    )
    .execute(connection)
    .await?;
    Ok(done.rows_affected() == 1)
}

/// Sets what the scales show and which groups are weighed apart; only while nothing is weighed.
pub async fn set_weighing(
    connection: &mut SqliteConnection,
    id: MatchId,
    new: &NewMatch,
) -> Result<(), StoreError> {
    let Ranking { scale, step } = new.ranking;
    let scale = scale.as_str();
    sqlx::query!(
        "UPDATE matches SET scale = ?, step = ? WHERE id = ?",
        scale,
        step,
        id
    )
    .execute(&mut *connection)
    .await?;
    sqlx::query!("DELETE FROM match_net_kinds WHERE match_id = ?", id)
        .execute(&mut *connection)
        .await?;
    sqlx::query!("DELETE FROM match_groups WHERE match_id = ?", id)
        .execute(&mut *connection)
        .await?;
    insert_kinds(connection, id, &new.net_kinds).await
}

/// Does anybody stand in the match's list, even somebody who withdrew?
pub async fn anybody(connection: &mut SqliteConnection, id: MatchId) -> Result<bool, StoreError> {
    let entries = sqlx::query_scalar!(
        r#"SELECT COUNT(*) AS "n!: i64" FROM entries WHERE match_id = ?"#,
        id
    )
    .fetch_one(connection)
    .await?;
    Ok(entries > 0)
}

/// The names of the matches at that water on that day, all but one.
pub async fn names_on(
    connection: &mut SqliteConnection,
    (venue, on): (VenueId, Day),
    but: Option<MatchId>,
) -> Result<Vec<String>, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT m.name AS "name!: String" FROM matches AS m
           WHERE m.venue_id = ?1 AND m.on_date = ?2 AND m.id IS NOT ?3
             AND (m.import_id IS NULL OR EXISTS (SELECT 1 FROM imports AS i WHERE i.id = m.import_id AND i.state <> 'undone'))"#,
        venue,
        on,
        but
    )
    .fetch_all(connection)
    .await?)
}

/// Gives the rows of a table that are on record in a match the names they are to have; those with
/// an empty one are taken out. Names are let go first, so that two can change theirs.
macro_rules! set_names {
    ($connection:expr, $table:tt, $id:expr, $named:expr) => {
        for (one, name) in $named {
            if name.is_empty() {
                sqlx::query!(
                    "DELETE FROM " + $table + " WHERE id = ? AND match_id = ?",
                    one,
                    $id
                )
                .execute(&mut *$connection)
                .await?;
            } else {
                sqlx::query!(
                    "UPDATE "
                        + $table
                        + " SET name = char(31) || id WHERE id = ? AND match_id = ? AND name <> ?",
                    one,
                    $id,
                    name
                )
                .execute(&mut *$connection)
                .await?;
            }
        }
        for (one, name) in $named.iter().filter(|(_, name)| !name.is_empty()) {
            sqlx::query!(
                "UPDATE " + $table + " SET name = ? WHERE id = ? AND match_id = ?",
                name,
                one,
                $id
            )
            .execute(&mut *$connection)
            .await?;
        }
    };
}

/// Sections as they are to stand: each on record under its name, taken out where that is empty,
/// and the new ones after them.
///
/// Errors: `is_taken("sections.name")` where two would have one name.
pub async fn set_sections(
    connection: &mut SqliteConnection,
    id: MatchId,
    named: &[(SectionId, String)],
    further: &[String],
) -> Result<(), StoreError> {
    set_names!(connection, "sections", id, named);
    insert_sections(connection, id, further).await
}

/// The same for teams.
///
/// Errors: `is_taken("match_teams.name")` where two would have one name.
pub async fn set_teams(
    connection: &mut SqliteConnection,
    id: MatchId,
    named: &[(MatchTeamId, String)],
    further: &[String],
) -> Result<(), StoreError> {
    set_names!(connection, "match_teams", id, named);
    insert_teams(connection, id, further).await
}

/// Sections in which somebody is entered, or stands posted.
pub async fn sections_in_use(
    connection: &mut SqliteConnection,
    id: MatchId,
) -> Result<Vec<SectionId>, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT s.id AS "id: SectionId" FROM sections AS s
           WHERE s.match_id = ?
             AND (EXISTS (SELECT 1 FROM entries AS e WHERE e.section_id = s.id AND e.status = 'booked')
                  OR EXISTS (SELECT 1 FROM posted_entries AS p WHERE p.section_id = s.id))"#,
        id
    )
    .fetch_all(connection)
    .await?)
}

/// Teams for which somebody is entered, or stands posted.
pub async fn teams_in_use(
    connection: &mut SqliteConnection,
    id: MatchId,
) -> Result<Vec<MatchTeamId>, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT t.id AS "id: MatchTeamId" FROM match_teams AS t
           WHERE t.match_id = ?
             AND (EXISTS (SELECT 1 FROM entries AS e WHERE e.team_id = t.id AND e.status = 'booked')
                  OR EXISTS (SELECT 1 FROM posted_entries AS p WHERE p.team_id = t.id))"#,
        id
    )
    .fetch_all(connection)
    .await?)
}
