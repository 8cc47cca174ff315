//! Numbers that stand in addresses and forms.

use crate::support::TestSite;

/// A row that may be deleted and whose number a page shows: an old link, or a form kept open, must
/// never name the row that came after it.
#[tokio::test]
async fn a_number_that_pages_show_is_never_given_to_another_row() {
    let site = TestSite::new().await;
    let mut reading = site.site.db.read().await.expect("a reader");
    for table in [
        "fits",
        "imports",
        "match_teams",
        "peg_closures",
        "sections",
        "venue_diary",
        "venues",
        "water_readings",
    ] {
        let made: String = sqlx::query_scalar("SELECT sql FROM sqlite_master WHERE name = ?")
            .bind(table)
            .fetch_one(&mut *reading)
            .await
            .expect("the table");
        assert!(made.contains("AUTOINCREMENT"), "{table}");
    }
}
