//! What a match's page says before the day: where to ask, the reader's own entry, no empty column.

use super::{SHEET, a_match, run};
use crate::support::TestSite;

#[tokio::test]
async fn a_member_is_led_to_what_to_expect_from_the_peg_drawn_and_to_what_it_took() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let member = site.member().await;
    run(
        &site,
        "UPDATE anglers SET account_id = NULL;
         UPDATE anglers SET account_id = (SELECT id FROM accounts WHERE name = 'Member')
         WHERE id = (SELECT angler_id FROM entries WHERE peg_id = 2)",
    )
    .await;

    let own = member.get("/matches/1").await.shown();

    own.says("/venues/1/like-days?date=2026-11-14")
        .says("peg=2\"")
        .says("/venues/1/what-it-took?match=1\"")
        .says("<span class=\"quiet\">(you)</span>")
        .says(">Peg</th>")
        .does_not_say(">Outcome</th>");
    organiser
        .get("/matches/1")
        .await
        .shown()
        .does_not_say("(you)")
        .does_not_say("peg=2\"");
}

#[tokio::test]
async fn an_officer_sees_one_next_thing_to_do_as_the_match_goes_on() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let marked = "class=\"do\"";

    let before = organiser.get("/matches/1").await.shown();
    before
        .says("Planned: nothing posted yet.")
        .says("<a class=\"do\" href=\"/matches/1/weights\">Enter weights</a>");
    assert_eq!(before.body.matches(marked).count(), 1);
    assert_eq!(before.body.matches("/what-it-took").count(), 1);

    organiser.submit("/matches/1/weights", SHEET).await.taken();
    let weighed = organiser.get("/matches/1").await.shown();
    weighed.says("<a class=\"do\" href=\"/matches/1/publication\">Look over and publish</a>");
    assert_eq!(weighed.body.matches(marked).count(), 1);

    organiser
        .submit("/matches/1/publication", &[("version", "3")])
        .await
        .taken();
    let posted = organiser.get("/matches/1").await.shown();
    posted.says("<a class=\"do\" href=\"/matches/1/result\">The result</a>");
    assert_eq!(posted.body.matches(marked).count(), 1);
}

#[tokio::test]
async fn a_match_further_ahead_says_from_when_to_ask_what_to_expect() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    organiser
        .submit(
            "/matches/new",
            &[
                ("name", "Frost Cup, round 2"),
                ("venue", "1"),
                ("on", "2026-11-21"),
                ("start", "10:00"),
                ("finish", "15:00"),
                ("pegs_allotted", "bag"),
                ("ranking", "0"),
                ("group-carp", "together"),
                ("group-silvers", "together"),
                ("sections", "A"),
            ],
        )
        .await
        .taken();

    let page = site.visitor().get("/matches/2").await.shown();

    page.says("Ask again from Friday 20 November 2026 on")
        .does_not_say("like-days?date=2026-11-21");
    site.visitor()
        .get("/venues/1/like-days?date=2026-11-21")
        .await
        .asks("For Saturday 21 November 2026, ask again from Friday 20 November 2026 on");
}

#[tokio::test]
async fn a_visitor_is_told_who_sees_the_names_and_whether_a_result_will_open_them() {
    let site = TestSite::new().await;
    a_match(&site).await;
    let (members, everybody) = (
        "3 entered. Names are shown to members. <a href=\"/sign-in\">",
        "3 entered. Names are shown to members, and to everybody once the result is posted. <a href=\"/sign-in\">",
    );
    let told = async || site.visitor().get("/matches/1").await.shown();
    for (state, says) in [
        ("UPDATE matches SET state = 'fished'", everybody),
        ("UPDATE matches SET state = 'postponed'", everybody),
        ("UPDATE matches SET state = 'abandoned'", members),
        ("UPDATE matches SET state = 'void'", members),
        ("UPDATE matches SET state = 'planned'", everybody),
        (
            "INSERT OR REPLACE INTO settings (key, value) VALUES ('names_open', 'members only')",
            members,
        ),
    ] {
        run(&site, state).await;
        told().await.says(says);
    }
}
