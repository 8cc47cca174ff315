//! Looking the result over before it is published, and again once it stands.

use super::{SHEET, a_match, post, result::published, run};
use crate::support::TestSite;

#[tokio::test]
async fn several_who_share_first_place_are_listed_as_one_says_them() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let mut sheet = SHEET.to_vec();
    sheet[4] = ("net-3-3-0", "12-8");
    organiser.submit("/matches/1/weights", &sheet).await.taken();
    organiser
        .get("/matches/1/publication")
        .await
        .shown()
        .says("Dot Hazelpatch, Jem Coppleway and Olly Tarnside shared first place");
}

#[tokio::test]
async fn whoever_lacks_a_peg_or_a_section_is_named_before_the_result_is_published() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    organiser.submit("/matches/1/weights", SHEET).await.taken();
    let page = "/matches/1/publication";
    organiser
        .get(page)
        .await
        .shown()
        .does_not_say("Without a peg")
        .does_not_say("What differs");
    run(
        &site,
        "UPDATE entries SET peg_id = NULL WHERE id IN (1, 2); UPDATE entries SET section_id = NULL WHERE id = 3",
    )
    .await;

    organiser
        .get(page)
        .await
        .shown()
        .says("Without a peg: Dot Hazelpatch and Jem Coppleway.")
        .says("Without a section: Olly Tarnside. They will stand in no section’s table.");
    run(&site, "UPDATE matches SET pegs_allotted = 'roving'").await;
    organiser
        .get(page)
        .await
        .shown()
        .does_not_say("Without a peg");
}

#[tokio::test]
async fn teams_of_unequal_size_are_told_of_before_the_result_is_published() {
    let site = TestSite::new().await;
    let organiser = published(&site).await;
    let page = "/matches/1/publication";
    let told = "Teams are not of one size: Kingcups 1 and Sedges 2 fished.";
    organiser.get(page).await.shown().says(told);
    run(&site, "UPDATE entries SET team_id = NULL WHERE id = 3").await;

    organiser
        .get(page)
        .await
        .shown()
        .does_not_say("Teams are not of one size");
}

/// Teams entered of one size: what made them unequal is said, and no mending is offered.
#[tokio::test]
async fn teams_that_an_absence_made_unequal_are_told_of_so() {
    let site = TestSite::new().await;
    let organiser = published(&site).await;
    run(&site, "UPDATE entries SET team_id = 1 WHERE id = 4").await;
    let page = "/matches/1/publication";

    organiser
        .get(page)
        .await
        .shown()
        .says("2 entered for each team; one of Kingcups was absent, so Kingcups 1 and Sedges 2 fished.")
        .does_not_say("Teams are not of one size")
        .does_not_say("Put them on their pegs");
    run(&site, "UPDATE entries SET peg_id = NULL WHERE id = 1").await;
    organiser
        .get(page)
        .await
        .shown()
        .says("Put them on their pegs");
}

/// What the preview tells the organiser of unequal teams, the posted result tells everybody.
#[tokio::test]
async fn a_team_says_what_became_of_each_of_its_members() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    run(
        &site,
        "INSERT INTO match_teams (id, match_id, name) VALUES (1, 1, 'Kingcups');
         UPDATE entries SET team_id = 1;
         INSERT INTO labels (id, given, surname, salt) VALUES (91, 'Ned', 'Furrowby', zeroblob(16));
         INSERT INTO anglers (id, pid, label_id) VALUES (91, '00000000000000000000000091', 91);
         INSERT INTO entries (id, match_id, number, angler_id, peg_id, team_id) VALUES (4, 1, 4, 91, 4, 1)",
    )
    .await;
    let mut sheet = SHEET.to_vec();
    sheet[4] = ("outcome-3", "disqualified");
    sheet.push(("outcome-4", "absent"));
    post(&organiser, &sheet).await;

    let result = site.visitor().get("/matches/1/result").await.shown();

    result.says(">4 entered: 2 weighed in, 1 disqualified, 1 absent</span>");
}

#[tokio::test]
async fn where_nothing_has_changed_nothing_is_offered_to_publish() {
    let site = TestSite::new().await;
    let organiser = published(&site).await;
    let page = "/matches/1/publication";

    organiser
        .get(page)
        .await
        .shown()
        .says("Nothing has changed since it was published, so there is nothing to publish.")
        .does_not_say("Why it is published again")
        .does_not_say(">Publish</button>");
    // A form fetched before is refused as ever.
    organiser
        .submit(page, &[("version", "4"), ("reason", "a second time")])
        .await
        .asks("Nothing has changed since the result was published.")
        .does_not_say("href=\"#reason\"");
    organiser
        .submit(
            "/matches/1/weights",
            &[("version", "4"), ("net-2-3-0", "13-8")],
        )
        .await
        .taken();
    organiser
        .get(page)
        .await
        .shown()
        .says("Why it is published again")
        .says(">Publish</button>");
}
