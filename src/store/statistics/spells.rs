//! Methods and lines of single days, for the days shown as alike. A cell needs three anglers
//! behind it: how one angler fished is theirs to show.

use std::collections::BTreeMap;

use sqlx::SqliteConnection;

use crate::{
    domain::{dates::Day, ids::VenueId},
    statistics::fished_days::{ANGLERS_BEHIND_REPORTS, Series},
    store::StoreError,
};

/// A method on a day.
#[derive(Clone, Debug, PartialEq)]
pub struct MethodOfDay {
    pub name: String,
    pub anglers: i64,
    pub rod_hours: Option<f64>,
    /// Shortest and longest line, metres, where at least three anglers gave one.
    pub lines_m: Option<(f64, f64)>,
}

struct Cell {
    day: Day,
    name: String,
    anglers: i64,
    rod_hours: Option<f64>,
    with_line: i64,
    shortest: Option<f64>,
    longest: Option<f64>,
}

/// What was fished on each of `days`, the most anglers first; days with nothing to show are absent.
pub async fn methods_of_days(
    connection: &mut SqliteConnection,
    venue: VenueId,
    series: Series,
    days: &[Day],
) -> Result<BTreeMap<Day, Vec<MethodOfDay>>, StoreError> {
    let asked: Vec<_> = days.iter().map(Day::to_string).collect();
    let asked = format!("[\"{}\"]", asked.join("\",\""));
    let (series, least) = (series.slug(), ANGLERS_BEHIND_REPORTS as i64);
    let rows = sqlx::query_as!(
        Cell,
        r#"SELECT p.day AS "day!: Day", m.name AS "name!: String", COUNT(DISTINCT p.angler_id) AS "anglers!: i64",
                  SUM(p.rod_hours) AS "rod_hours?: f64",
                  COUNT(DISTINCT CASE WHEN p.line_m IS NOT NULL THEN p.angler_id END) AS "with_line!: i64",
                  MIN(p.line_m) AS "shortest?: f64", MAX(p.line_m) AS "longest?: f64"
           FROM fishing_spells AS p JOIN methods AS m ON m.id = p.method_id
           WHERE p.venue_id = ? AND p.series = ? AND p.day IN (SELECT value FROM json_each(?)) AND p.visibility = 'club'
           GROUP BY p.day, m.id HAVING COUNT(DISTINCT p.angler_id) >= ?
           ORDER BY p.day, 3 DESC, m.name"#,
        venue,
        series,
        asked,
        least
    )
    .fetch_all(connection)
    .await?;
    let mut by_day = BTreeMap::<Day, Vec<MethodOfDay>>::new();
    for row in rows {
        let lines_m = row.shortest.zip(row.longest);
        by_day.entry(row.day).or_default().push(MethodOfDay {
            name: row.name,
            anglers: row.anglers,
            rod_hours: row.rod_hours,
            lines_m: lines_m.filter(|_| row.with_line >= least),
        });
    }
    Ok(by_day)
}
