//! Nets and their weighings. A reading of the scales is never changed: a later one is added
//! and chosen in its place.

use sqlx::SqliteConnection;

use crate::{
    domain::{
        dates::Instant,
        groups::GroupSet,
        ids::*,
        units::{Scale, Weight},
    },
    store::StoreError,
};

/// A net and the weight chosen for it.
#[derive(Clone, Debug)]
pub struct Net {
    pub id: NetId,
    pub entry: EntryId,
    pub number: i64,
    pub groups: GroupSet,
    /// Absent when the weight was taken out.
    pub weight: Option<Weight>,
}

struct Row {
    id: NetId,
    entry: EntryId,
    number: i64,
    groups: GroupSet,
    amount: Option<i64>,
    scale: Option<String>,
}

/// Every net of a match, by entry and number, with the chosen weighings added up.
pub async fn of_match(
    connection: &mut SqliteConnection,
    id: MatchId,
) -> Result<Vec<Net>, StoreError> {
    let rows = sqlx::query_as!(
        Row,
        r#"SELECT n.id AS "id!: NetId", n.entry_id AS "entry!: EntryId", n.net_no AS "number!", n.group_set AS "groups!: GroupSet",
                  SUM(w.raw_weight - COALESCE(w.tare, 0)) AS "amount?: i64", MAX(w.scale) AS "scale?: String"
           FROM nets AS n JOIN entries AS e ON e.id = n.entry_id
           LEFT JOIN net_choices AS c ON c.net_id = n.id AND c.current = 1
           LEFT JOIN net_choice_weighings AS x ON x.choice_id = c.id
           LEFT JOIN weighings AS w ON w.id = x.weighing_id AND w.kind = 'net'
           WHERE e.match_id = ? GROUP BY n.id ORDER BY n.entry_id, n.net_no"#,
        id
    )
    .fetch_all(connection)
    .await?;
    Ok(rows
        .into_iter()
        .map(|row| Net {
            id: row.id,
            entry: row.entry,
            number: row.number,
            groups: row.groups,
            weight: row
                .amount
                .zip(row.scale.as_deref().and_then(Scale::parse))
                .and_then(|(amount, scale)| Weight::new(amount, scale)),
        })
        .collect())
}

/// A further net of an entry.
pub async fn add_net(
    connection: &mut SqliteConnection,
    entry: EntryId,
    groups: GroupSet,
) -> Result<NetId, StoreError> {
    let row = sqlx::query!(
        "INSERT INTO nets (entry_id, net_no, group_set)
         VALUES (?1, (SELECT COALESCE(MAX(net_no), 0) + 1 FROM nets WHERE entry_id = ?1), ?2)",
        entry,
        groups
    )
    .execute(connection)
    .await?;
    Ok(NetId(row.last_insert_rowid()))
}

/// Chooses `weight` for a net, or nothing at all; what was chosen before is kept beside it.
pub async fn choose(
    connection: &mut SqliteConnection,
    net: NetId,
    weight: Option<Weight>,
    by: Option<AccountId>,
    now: Instant,
) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE net_choices SET current = 0 WHERE net_id = ? AND current = 1",
        net
    )
    .execute(&mut *connection)
    .await?;
    let choice = sqlx::query!(
        "INSERT INTO net_choices (net_id, by_account, at_utc) VALUES (?, ?, ?)",
        net,
        by,
        now
    )
    .execute(&mut *connection)
    .await?
    .last_insert_rowid();
    let Some(weight) = weight else {
        return Ok(());
    };
    let (amount, scale) = (weight.amount(), weight.scale().as_str());
    let weighing = sqlx::query!(
        "INSERT INTO weighings (net_id, weigh_no, raw_weight, scale, by_account, at_utc, received_utc)
         VALUES (?1, (SELECT COALESCE(MAX(weigh_no), 0) + 1 FROM weighings WHERE net_id = ?1), ?2, ?3, ?4, ?5, ?5)",
        net,
        amount,
        scale,
        by,
        now
    )
    .execute(&mut *connection)
    .await?
    .last_insert_rowid();
    sqlx::query!(
        "INSERT INTO net_choice_weighings (choice_id, weighing_id) VALUES (?, ?)",
        choice,
        weighing
    )
    .execute(connection)
    .await?;
    Ok(())
}
