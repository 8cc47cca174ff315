//! The marks of what every water shares, and a peg's own: each moves with what it stands for.

use peglore::{
    domain::ids::VenueId,
    store::marks::{self, AtPeg, ClubMarks},
};

use crate::support::{
    TestSite,
    planted::{Planted, day, reports},
};

async fn at_peg(site: &TestSite, number: &str) -> AtPeg {
    let mut reading = site.site.db.read().await.expect("a reader");
    let found = marks::at_water(&mut reading, VenueId(1)).await;
    found.expect("read").expect("a water").at_peg(number)
}

async fn club_after(site: &TestSite, sql: &'static str) -> ClubMarks {
    let mut writing = site.site.db.write().await.expect("a writer");
    let done = sqlx::raw_sql(sql).execute(&mut *writing).await;
    done.expect("the rows fit");
    writing.commit().await.expect("kept");
    let mut reading = site.site.db.read().await.expect("a reader");
    marks::of_club(&mut reading).await.expect("the one row")
}

const TOPICS: [&str; 5] = ["names", "settings", "venues", "methods", "fits"];

/// In the order of [`TOPICS`].
fn in_order(marks: ClubMarks) -> [i64; 5] {
    let ClubMarks {
        names,
        settings,
        venues,
        methods,
        fits,
    } = marks;
    [names, settings.0, venues, methods, fits]
}

/// A new water is on no page yet, so it raises no mark.
#[tokio::test]
async fn each_change_to_what_the_waters_share_raises_its_own_mark_alone() {
    let changes = [
        (
            "names",
            "UPDATE labels SET surname = 'Ashpole' WHERE surname = 'Hazelpatch'",
        ),
        (
            "names",
            "UPDATE anglers SET label_id = (SELECT MAX(id) FROM labels) WHERE id = (SELECT MIN(id) FROM anglers)",
        ),
        (
            "names",
            "UPDATE anglers SET label_id = NULL WHERE id = (SELECT MIN(id) FROM anglers)",
        ),
        // Nobody has this one any longer, so that no angler's row is touched with it.
        ("names", "DELETE FROM labels WHERE surname = 'Ashpole'"),
        (
            "settings",
            "INSERT INTO settings (key, value) VALUES ('club_name', 'Quillet Anglers')",
        ),
        (
            "settings",
            "UPDATE settings SET value = 'Withy Anglers' WHERE key = 'club_name'",
        ),
        ("settings", "DELETE FROM settings WHERE key = 'club_name'"),
        ("venues", "UPDATE venues SET rules_text = 'No keepnets.'"),
        (
            "nothing",
            "INSERT INTO venues (id, pid, name) VALUES (99, '00000000000000000000000099', 'Withy Pit')",
        ),
        ("venues", "DELETE FROM venues WHERE id = 99"),
        (
            "methods",
            "INSERT INTO methods (id, name) VALUES (99, 'Long pole')",
        ),
        (
            "methods",
            "UPDATE methods SET name = 'Short pole' WHERE id = 99",
        ),
        ("methods", "DELETE FROM methods WHERE id = 99"),
        (
            "methods",
            "INSERT INTO baits (id, name) VALUES (99, 'Dendrobaena')",
        ),
        ("methods", "UPDATE baits SET retired = 1 WHERE id = 99"),
        ("methods", "DELETE FROM baits WHERE id = 99"),
        (
            "methods",
            "INSERT INTO species (id, slug, name, group_id) VALUES (99, 'pike-perch', 'Pike-perch', 8)",
        ),
        (
            "methods",
            "UPDATE species SET name = 'Another perch' WHERE id = 99",
        ),
        ("methods", "DELETE FROM species WHERE id = 99"),
        (
            "fits",
            "INSERT INTO fits (id, venue_id, question, params_json, method_version, attempt_state, attempt_utc) VALUES (99, 1, 'hours', '{}', 1, 'wanted', 0)",
        ),
        (
            "fits",
            "UPDATE fits SET attempt_state = 'failed' WHERE id = 99",
        ),
        (
            "fits",
            "INSERT INTO fit_inputs (fit_id, venue_id, topic, mark) VALUES (99, 1, 'pegs', 1)",
        ),
        ("fits", "UPDATE fit_inputs SET mark = 2 WHERE fit_id = 99"),
        ("fits", "DELETE FROM fit_inputs WHERE fit_id = 99"),
        ("fits", "DELETE FROM fits WHERE id = 99"),
    ];
    let site = TestSite::new().await;
    Planted::at(&site).await;
    let mut before = in_order(club_after(&site, "SELECT 1").await);
    for (topic, change) in changes {
        let after = in_order(club_after(&site, change).await);
        for (at, name) in TOPICS.into_iter().enumerate() {
            assert_eq!(after[at] > before[at], name == topic, "{change}: {name}");
        }
        before = after;
    }
}

#[tokio::test]
async fn one_question_tells_the_marks_of_pegs_as_the_waters_own_do() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let (first, second) = (at_peg(&site, "1").await, at_peg(&site, "2").await);
    planted
        .report(&site, &reports(day(8, 1), &[0], "club"))
        .await;
    let (later, neighbour) = (at_peg(&site, "1").await, at_peg(&site, "2").await);

    let mut reading = site.site.db.read().await.expect("a reader");
    let water = marks::of_venue(&mut reading, VenueId(1)).await;
    assert_eq!(later.water, water.expect("read"));
    let nowhere = marks::at_water(&mut reading, VenueId(9)).await;
    assert!(nowhere.expect("read").is_none());
    assert!(later.own > first.own);
    assert_eq!(neighbour.own, second.own);
    assert!(later.water > first.water);
}
