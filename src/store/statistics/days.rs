//! The sessions of a venue as fished days want them, by series and set of groups, in one query.
//!
//! A set is never put together from others: a row is of the set that was observed, and figures of
//! a set use rows of exactly that set.

use std::collections::BTreeMap;

use sqlx::SqliteConnection;

use crate::{
    domain::{
        dates::Day,
        groups::GroupSet,
        ids::{AnglerId, MatchId, PegId, VenueId},
        units::Scale,
    },
    statistics::fished_days::{FishedDays, FishedSession, Series},
    store::StoreError,
};

/// A venue's sessions by series and observed set, and what its scales show.
#[derive(Clone, Debug)]
pub struct VenueSessions {
    pub scale: Scale,
    pub by_set: BTreeMap<(Series, GroupSet), Vec<FishedSession>>,
}

impl VenueSessions {
    /// One row a fished day of a series and a set; no rows where there are none.
    pub fn days(&self, series: Series, groups: GroupSet) -> FishedDays {
        FishedDays::of(series, groups, self.scale, self.sessions(series, groups))
    }

    pub fn sessions(&self, series: Series, groups: GroupSet) -> &[FishedSession] {
        let found = self.by_set.get(&(series, groups));
        found.map(Vec::as_slice).unwrap_or_default()
    }
}

struct SessionRow {
    series: String,
    groups: GroupSet,
    day: Day,
    angler: AnglerId,
    rod_hours: Option<f64>,
    fish: Option<i64>,
    weight_g: Option<f64>,
    did_not_weigh: bool,
    match_id: Option<MatchId>,
    drawn_peg: Option<PegId>,
}

/// Every session of a venue that others may be shown figures of: matches, and the reports shared
/// with the club. A day's total with the others in it would tell them to whoever takes away the
/// reports that the record lists.
pub async fn of_venue(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<VenueSessions, StoreError> {
    let weighs_in = sqlx::query_scalar!("SELECT weighs_in FROM venues WHERE id = ?", venue)
        .fetch_optional(&mut *connection)
        .await?;
    let rows = sqlx::query_as!(
        SessionRow,
        r#"SELECT f.series AS "series!: String", f.group_set AS "groups: GroupSet", f.day AS "day: Day",
                  f.angler_id AS "angler: AnglerId", f.rod_hours AS "rod_hours?: f64",
                  f.fish_count AS "fish?: i64", f.weight_g AS "weight_g?: f64",
                  f.did_not_weigh AS "did_not_weigh!: bool", f.match_id AS "match_id?: MatchId",
                  CASE WHEN e.pegs_allotted IN ('bag', 'drawn here') AND f.peg_id = e.drawn_peg_id
                       THEN f.peg_id END AS "drawn_peg?: PegId"
           FROM fishing AS f LEFT JOIN fishing_entries AS e ON e.entry_id = f.entry_id
           WHERE f.venue_id = ? AND (f.series = 'match' OR f.visibility = 'club') ORDER BY f.day, f.session_id"#,
        venue
    )
    .fetch_all(connection)
    .await?;
    let mut by_set = BTreeMap::<_, Vec<FishedSession>>::new();
    for row in rows {
        let series = if row.series == "match" {
            Series::Match
        } else {
            Series::Report
        };
        by_set
            .entry((series, row.groups))
            .or_default()
            .push(FishedSession {
                day: row.day,
                angler: row.angler,
                rod_hours: row.rod_hours,
                fish: row.fish,
                weight_g: row.weight_g,
                did_not_weigh: row.did_not_weigh,
                match_id: row.match_id,
                drawn_peg: row.drawn_peg,
            });
    }
    let scale = weighs_in.and_then(|word| Scale::parse(&word));
    Ok(VenueSessions {
        scale: scale.unwrap_or(Scale::Drams),
        by_set,
    })
}

/// The series and sets with anything on record at a venue that enters figures.
pub async fn sets_of_venue(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<Vec<(Series, GroupSet)>, StoreError> {
    let rows = sqlx::query!(
        r#"SELECT DISTINCT series AS "series!: String", group_set AS "groups: GroupSet"
           FROM fishing WHERE venue_id = ? AND (series = 'match' OR visibility = 'club')"#,
        venue
    )
    .fetch_all(connection)
    .await?;
    let known = rows
        .into_iter()
        .filter_map(|row| Some((Series::from_slug(&row.series)?, row.groups)));
    Ok(known.collect())
}

/// Whether anything that enters figures was fished from `from` on and before `before`.
pub async fn fished_between(
    connection: &mut SqliteConnection,
    venue: VenueId,
    from: Day,
    before: Day,
) -> Result<bool, StoreError> {
    Ok(sqlx::query_scalar!(
        r#"SELECT EXISTS (SELECT 1 FROM fishing WHERE venue_id = ? AND day >= ? AND day < ?
                          AND (series = 'match' OR visibility = 'club')) AS "any!: bool""#,
        venue,
        from,
        before
    )
    .fetch_one(connection)
    .await?)
}
