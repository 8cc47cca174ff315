//! What was published is never changed quietly: not by a statement straight to the record, and not
//! by an organiser's later weights.

use super::{a_posted_match, number, post_again, run};
use crate::support::TestSite;

#[tokio::test]
async fn a_statement_that_would_change_what_was_published_is_refused() {
    let site = TestSite::new().await;
    a_posted_match(&site).await;
    run(
        &site,
        "INSERT INTO publications (id, match_id, ord, state, at_utc, reason, figures_json, sha256)
         SELECT 900, match_id, 2, state, at_utc, 'a net was missed', figures_json, sha256 FROM publications WHERE ord = 1;
         INSERT INTO corrections (publication_id, replaced_by, field, old, new, at_utc, reason)
         SELECT id, 900, 'weight', '12-8', '12-9', 0, 'a net was missed' FROM publications WHERE ord = 1;
         INSERT INTO labels (id, given, surname, salt) VALUES (91, 'Una', 'Dapplemere', zeroblob(16));
         INSERT INTO anglers (id, pid, label_id) VALUES (91, '00000000000000000000000091', 91);
         INSERT INTO entries (id, match_id, number, angler_id) VALUES (4, 1, 4, 91)",
    )
    .await;
    for statement in [
        "UPDATE publications SET figures_json = '{}'",
        "UPDATE publications SET reason = 'none' WHERE ord = 2",
        "UPDATE publications SET at_utc = 0",
        "DELETE FROM publications",
        "UPDATE corrections SET old = new",
        "UPDATE corrections SET reason = 'none'",
        "DELETE FROM corrections",
        "UPDATE weighings SET raw_weight = raw_weight + 1",
        "DELETE FROM weighings",
        "UPDATE posted_matches SET name = 'Thaw Cup'",
        "DELETE FROM posted_matches",
        "UPDATE posted_entries SET outcome = 'absent'",
        "DELETE FROM posted_entries",
        "INSERT INTO posted_entries (entry_id, outcome) VALUES (4, 'fished')",
        "UPDATE posted_nets SET weight_g = 0",
        "DELETE FROM posted_nets",
        "INSERT INTO posted_nets (entry_id, group_set, weight_g) VALUES (1, 4, 1)",
        "DELETE FROM sections",
        "DELETE FROM nets",
        "DELETE FROM entries",
        "DELETE FROM matches",
        "UPDATE audit SET verb = 'nothing'",
        "DELETE FROM audit",
    ] {
        let mut writing = site.site.db.write().await.expect("a writer");
        let outcome = sqlx::raw_sql(statement).execute(&mut *writing).await;
        assert!(outcome.is_err(), "{statement} went through");
    }
    assert_eq!(number(&site, "SELECT COUNT(*) FROM publications").await, 2);
}

#[tokio::test]
async fn later_weights_stay_off_the_result_until_they_are_published_with_a_reason() {
    let site = TestSite::new().await;
    let organiser = a_posted_match(&site).await;
    let posted = site.visitor().get("/matches/1/result").await.shown().body;
    let version = number(&site, "SELECT ver FROM matches").await.to_string();
    let sheet = [
        ("version", version.as_str()),
        ("net-1-3-0", "8-0"),
        ("net-1-3-1", "4-8"),
        ("net-2-3-0", "13-8"),
        ("outcome-3", "blank"),
    ];
    organiser.submit("/matches/1/weights", &sheet).await.taken();
    let after = site.visitor().get("/matches/1/result").await.shown().body;
    assert_eq!(after, posted);

    let version = number(&site, "SELECT ver FROM matches").await.to_string();
    let bare = [("version", version.as_str())];
    let refused = organiser.submit("/matches/1/publication", &bare).await;
    refused.asks("Say why the result is published again");
    post_again(&site, &organiser, "A net was misread.").await;
    site.visitor()
        .get("/matches/1/result")
        .await
        .shown()
        .says("A net was misread.")
        .says("13\u{a0}lb\u{a0}8\u{a0}oz");
}
