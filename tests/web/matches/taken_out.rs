//! Anglers, sections and teams that another officer took out while the form of pegs was open.

use super::{
    a_match,
    changing::{form as change, with},
    meanwhile::Open,
    number, run,
};
use crate::support::TestSite;

#[tokio::test]
async fn a_section_or_team_for_somebody_no_longer_entered_is_named_by_what_it_is() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let teams = "INSERT INTO match_teams (id, match_id, name) VALUES (1, 1, 'Kingcups')";
    run(&site, teams).await;
    let mut earlier = Open::of(&organiser, "/matches/1/pegs").await;
    organiser
        .submit(
            "/matches/1/pegs",
            &[("version", "2"), ("withdrawn-3", "on")],
        )
        .await
        .taken();

    earlier.type_in("section-3", "1");
    earlier.type_in("team-3", "1");
    earlier
        .send(&organiser)
        .await
        .asks("Two things are needed")
        .says("A section was chosen for an angler who is no longer in this match")
        .says("A team was chosen for an angler who is no longer in this match")
        .does_not_say("“1”");
}

#[tokio::test]
async fn who_was_withdrawn_by_two_is_withdrawn_and_the_rest_is_saved() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let administrator = site.administrator().await;
    let mut earlier = Open::of(&administrator, "/matches/1/pegs").await;
    organiser
        .submit(
            "/matches/1/pegs",
            &[("version", "2"), ("withdrawn-3", "on")],
        )
        .await
        .taken();

    earlier.type_in("peg-1", "4");
    earlier.type_in("section-3", "1");
    earlier.tick("withdrawn-3");
    earlier.send(&administrator).await.taken();

    let peg = "SELECT peg_id FROM entries WHERE id = 1";
    assert_eq!(number(&site, peg).await, 4);
    earlier.tick("withdrawn-99");
    earlier
        .send(&administrator)
        .await
        .asks("“Withdrawn” was ticked for an angler who is no longer in this match");
}

#[tokio::test]
async fn a_section_taken_out_meanwhile_is_asked_about_and_clears_nothing() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let administrator = site.administrator().await;
    let mut earlier = Open::of(&administrator, "/matches/1/pegs").await;
    let mut in_one_go = Open::of(&administrator, "/matches/1/pegs").await;
    organiser
        .submit("/matches/1/pegs", &[("version", "2"), ("section-3", "1")])
        .await
        .taken();
    organiser
        .submit(
            "/matches/1/edit",
            &with(change("3"), &[("section-2", ""), ("sections", "C")]),
        )
        .await
        .taken();
    // The forms that are open still mean section B, and C never stands for it.
    let numbers = "SELECT MAX(id) FROM sections";
    assert_eq!(number(&site, numbers).await, 3);

    earlier.type_in("section-1", "2");
    let asked = earlier.send(&administrator).await.asks(
        "<a href=\"#section-1\">Dot Hazelpatch. Section: what was chosen is no longer in this match. Choose again.",
    );

    let in_a = "SELECT COUNT(*) FROM entries WHERE section_id = 1";
    assert_eq!(number(&site, in_a).await, 3);
    let again = Open::on(&asked, "/matches/1/pegs");
    again.send(&administrator).await.taken();
    assert_eq!(number(&site, in_a).await, 3);
    in_one_go.type_in("range-2", "2–4");
    in_one_go
        .send(&administrator)
        .await
        .asks("“2–4” was typed as the pegs of a section that is no longer in this match");
}

#[tokio::test]
async fn a_team_taken_out_meanwhile_is_asked_about_and_clears_nothing() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    run(
        &site,
        "INSERT INTO match_teams (id, match_id, name) VALUES (1, 1, 'Kingcups'), (2, 1, 'Sedges');
         UPDATE entries SET team_id = 1 WHERE id = 1",
    )
    .await;
    let mut earlier = Open::of(&organiser, "/matches/1/pegs").await;
    run(
        &site,
        "DELETE FROM match_teams WHERE id = 2;
         INSERT INTO match_teams (match_id, name) VALUES (1, 'Reeds')",
    )
    .await;

    earlier.type_in("team-1", "2");
    earlier
        .send(&organiser)
        .await
        .asks("Dot Hazelpatch. Team: what was chosen is no longer in this match. Choose again.");

    let team = "SELECT team_id FROM entries WHERE id = 1";
    assert_eq!(number(&site, team).await, 1);
    earlier.type_in("team-1", "");
    earlier.send(&organiser).await.taken();
    let none = "SELECT COUNT(*) FROM entries WHERE team_id IS NULL";
    assert_eq!(number(&site, none).await, 3);
}
