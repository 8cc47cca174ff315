//! Matches with their sections, teams and the kinds of net they weigh apart.

use sqlx::SqliteConnection;

use super::StoreError;
use crate::domain::{
    dates::{Day, Instant, Zone},
    groups::GroupSet,
    ids::*,
    matches::{MatchState, PegsAllotted},
    units::{Ranking, Scale},
};

pub mod changing;
pub mod entries;
pub mod listing;
pub mod publications;
pub mod sessions;
pub mod weights;

/// A match as the record has it.
#[derive(Clone, Debug)]
pub struct Match {
    pub id: MatchId,
    pub pid: Pid,
    pub version: i64,
    pub name: String,
    pub venue: VenueId,
    pub venue_name: String,
    pub on: Day,
    pub zone: String,
    pub meet_place: Option<String>,
    pub meet: Option<Instant>,
    pub start: Option<Instant>,
    pub finish: Option<Instant>,
    pub pegs_allotted: PegsAllotted,
    scale: String,
    step: i64,
    pub state: MatchState,
}

impl Match {
    pub fn ranking(&self) -> Ranking {
        Ranking::of(Scale::parse(&self.scale).unwrap_or(Scale::Drams), self.step)
    }

    pub fn zone(&self) -> Zone {
        Zone::named(&self.zone).unwrap_or_else(Zone::utc)
    }
}

/// What is needed to make one.
pub struct NewMatch {
    pub pid: Pid,
    pub name: String,
    pub venue: VenueId,
    pub on: Day,
    pub zone: String,
    pub meet_place: Option<String>,
    pub meet: Option<Instant>,
    pub start: Option<Instant>,
    pub finish: Option<Instant>,
    pub pegs_allotted: PegsAllotted,
    pub ranking: Ranking,
    /// The sets of groups weighed apart; they do not overlap.
    pub net_kinds: Vec<GroupSet>,
    pub sections: Vec<String>,
    pub teams: Vec<String>,
}

pub async fn insert(
    connection: &mut SqliteConnection,
    new: &NewMatch,
    by: Option<AccountId>,
) -> Result<MatchId, StoreError> {
    let (scale, step) = (new.ranking.scale.as_str(), new.ranking.step);
    let id = sqlx::query!(
        "INSERT INTO matches (pid, name, venue_id, on_date, zone, meet_place, meet_utc, start_utc, finish_utc,
                              pegs_allotted, scale, step, state, by_account)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, 'planned', ?)",
        new.pid, new.name, new.venue, new.on, new.zone, new.meet_place, new.meet, new.start, new.finish,
        new.pegs_allotted, scale, step, by
    )
    .execute(&mut *connection)
    .await?
    .last_insert_rowid();
    let id = MatchId(id);
    insert_kinds(connection, id, &new.net_kinds).await?;
    insert_sections(connection, id, &new.sections).await?;
    insert_teams(connection, id, &new.teams).await?;
    Ok(id)
}

async fn insert_kinds(
    connection: &mut SqliteConnection,
    id: MatchId,
    kinds: &[GroupSet],
) -> Result<(), StoreError> {
    for kind in kinds {
        sqlx::query!(
            "INSERT INTO match_net_kinds (match_id, group_set) VALUES (?, ?)",
            id,
            kind
        )
        .execute(&mut *connection)
        .await?;
        for group in kind.groups() {
            let group = group.bit();
            sqlx::query!(
                "INSERT INTO match_groups (match_id, group_id, counts) VALUES (?, ?, 1)",
                id,
                group
            )
            .execute(&mut *connection)
            .await?;
        }
    }
    Ok(())
}

/// Adds sections after those there are, in this order.
async fn insert_sections(
    connection: &mut SqliteConnection,
    id: MatchId,
    names: &[String],
) -> Result<(), StoreError> {
    for name in names {
        sqlx::query!(
            "INSERT INTO sections (match_id, ord, name)
             VALUES (?1, (SELECT COALESCE(MAX(ord), 0) + 1 FROM sections WHERE match_id = ?1), ?2)",
            id,
            name
        )
        .execute(&mut *connection)
        .await?;
    }
    Ok(())
}

async fn insert_teams(
    connection: &mut SqliteConnection,
    id: MatchId,
    names: &[String],
) -> Result<(), StoreError> {
    for name in names {
        sqlx::query!(
            "INSERT INTO match_teams (match_id, name) VALUES (?, ?)",
            id,
            name
        )
        .execute(&mut *connection)
        .await?;
    }
    Ok(())
}

/// One that is not of an undone import.
pub async fn by_id(
    connection: &mut SqliteConnection,
    id: MatchId,
) -> Result<Option<Match>, StoreError> {
    Ok(sqlx::query_as!(
        Match,
        r#"SELECT m.id AS "id: MatchId", m.pid AS "pid: Pid", m.ver AS version, m.name, m.venue_id AS "venue: VenueId",
                  v.name AS venue_name, m.on_date AS "on: Day", m.zone, m.meet_place, m.meet_utc AS "meet: Instant",
                  m.start_utc AS "start: Instant", m.finish_utc AS "finish: Instant",
                  m.pegs_allotted AS "pegs_allotted: PegsAllotted", m.scale, m.step, m.state AS "state: MatchState"
           FROM matches AS m JOIN venues AS v ON v.id = m.venue_id
           WHERE m.id = ? AND (m.import_id IS NULL OR EXISTS (SELECT 1 FROM imports AS i WHERE i.id = m.import_id AND i.state <> 'undone'))"#,
        id
    )
    .fetch_optional(connection)
    .await?)
}

/// Raises the version and sets the state; `false` when `version` is no longer the match's.
pub async fn step(
    connection: &mut SqliteConnection,
    id: MatchId,
    version: i64,
    state: MatchState,
) -> Result<bool, StoreError> {
    let done = sqlx::query!(
        "UPDATE matches SET ver = ver + 1, state = ? WHERE id = ? AND ver = ?",
        state,
        id,
        version
    )
    .execute(connection)
    .await?;
    Ok(done.rows_affected() == 1)
}

pub async fn net_kinds(
    connection: &mut SqliteConnection,
    id: MatchId,
) -> Result<Vec<GroupSet>, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT group_set AS "set: GroupSet" FROM match_net_kinds WHERE match_id = ? ORDER BY group_set"#,
        id
    )
    .fetch_all(connection)
    .await?)
}

#[derive(Clone, Debug)]
pub struct SectionOfMatch {
    pub id: SectionId,
    pub name: String,
}

pub async fn sections(
    connection: &mut SqliteConnection,
    id: MatchId,
) -> Result<Vec<SectionOfMatch>, StoreError> {
    Ok(sqlx::query_as!(
        SectionOfMatch,
        r#"SELECT id AS "id: SectionId", name FROM sections WHERE match_id = ? ORDER BY ord"#,
        id
    )
    .fetch_all(connection)
    .await?)
}

#[derive(Clone, Debug)]
pub struct TeamOfMatch {
    pub id: MatchTeamId,
    pub name: String,
}

pub async fn teams(
    connection: &mut SqliteConnection,
    id: MatchId,
) -> Result<Vec<TeamOfMatch>, StoreError> {
    Ok(sqlx::query_as!(
        TeamOfMatch,
        r#"SELECT id AS "id: MatchTeamId", name FROM match_teams WHERE match_id = ? ORDER BY name"#,
        id
    )
    .fetch_all(connection)
    .await?)
}
