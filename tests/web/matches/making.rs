//! What is asked about when a match is made, and when its weights may be typed.

use super::{SHEET, a_match, number, run};
use crate::support::TestSite;

fn form<'a>(name: &'a str, on: &'a str) -> Vec<(&'a str, &'a str)> {
    vec![
        ("name", name),
        ("venue", "1"),
        ("on", on),
        ("pegs_allotted", "bag"),
        ("ranking", "0"),
        ("group-carp", "together"),
    ]
}

#[tokio::test]
async fn a_date_years_away_wants_a_tick() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    for on in ["2062-11-14", "1926-11-14"] {
        let asked = organiser
            .submit("/matches/new", &form("Reed Bowl", on))
            .await
            .asks("is far from today. Mend the date, or tick that it is right.");
        asked
            .says("Yes, that is the date")
            .says("href=\"#on\"")
            .says("value=\"Reed Bowl\"");
    }
    assert_eq!(number(&site, "SELECT COUNT(*) FROM matches").await, 1);

    let mut sure = form("Reed Bowl", "2062-11-14");
    sure.push(("on_sure", "2063-11-14"));
    organiser
        .submit("/matches/new", &sure)
        .await
        .asks("is far from today");
    sure[6] = ("on_sure", "2062-11-14");
    organiser.submit("/matches/new", &sure).await.taken();
    organiser
        .submit("/matches/new", &form("Alder Shield", "2028-05-14"))
        .await
        .taken();
    // What stands on record is not asked about again.
    let mut changed = form("Reed Shield", "2062-11-14");
    changed.push(("version", "1"));
    organiser.submit("/matches/2/edit", &changed).await.taken();
    changed[2] = ("on", "2063-11-14");
    changed[6] = ("version", "2");
    organiser
        .submit("/matches/2/edit", &changed)
        .await
        .asks("is far from today");
}

#[tokio::test]
async fn a_second_match_of_one_name_on_one_day_and_water_wants_a_tick() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    organiser
        .submit("/matches/new", &form("frost cup", "2026-11-14"))
        .await
        .asks("There is a match called frost cup at Quillet Water on that day already.")
        .says("Yes, this is another match");
    organiser
        .submit("/matches/new", &form("Frost-Cup.", "2026-11-14"))
        .await
        .asks("There is a match called Frost-Cup.");
    organiser
        .submit("/matches/new", &form("Frost Cup", "2026-11-15"))
        .await
        .taken();
    let mut moved = form("Frost Cup", "2026-11-14");
    moved.push(("version", "1"));
    organiser
        .submit("/matches/2/edit", &moved)
        .await
        .asks("There is a match called Frost Cup");
    moved.push(("name_sure", "Frost Cup 2026-11-15 1"));
    organiser
        .submit("/matches/2/edit", &moved)
        .await
        .asks("There is a match called Frost Cup");
    moved[7] = ("name_sure", "Frost Cup 2026-11-14 1");
    organiser.submit("/matches/2/edit", &moved).await.taken();
    assert_eq!(
        number(
            &site,
            "SELECT COUNT(*) FROM matches WHERE on_date = '2026-11-14'"
        )
        .await,
        2
    );
}

#[tokio::test]
async fn all_that_is_wrong_with_a_match_is_said_at_once() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let form = [
        ("name", ""),
        ("venue", "1"),
        ("on", ""),
        ("start", "15:00"),
        ("finish", "10:00"),
        ("pegs_allotted", "bag"),
        ("ranking", "0"),
        ("group-carp", "no"),
    ];
    organiser
        .submit("/matches/new", &form)
        .await
        .asks("Enter the name of the match")
        .says("Enter the date")
        .says("Fishing would end on the next day, more than 16 hours after it began.")
        .says("No group of fish counts. Choose at least one that does.")
        .says("href=\"#groups\"");
}

#[tokio::test]
async fn single_letters_without_commas_are_several_sections() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let mut spaced = form("Reed Bowl", "2026-11-14");
    spaced.push(("sections", "A B C"));
    spaced.push(("teams", "Long Reach"));
    organiser.submit("/matches/new", &spaced).await.taken();
    assert_eq!(
        number(
            &site,
            "SELECT COUNT(*) FROM sections WHERE match_id = 2 AND name IN ('A', 'B', 'C')"
        )
        .await,
        3
    );
    assert_eq!(
        number(&site, "SELECT COUNT(*) FROM match_teams WHERE match_id = 2").await,
        1
    );
}

#[tokio::test]
async fn names_alike_but_for_capitals_are_refused_at_their_field() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    for (field, typed, sentence) in [
        ("sections", "A, a", "A and a are one name but for capitals."),
        (
            "teams",
            "Reds, REDS",
            "Reds and REDS are one name but for capitals.",
        ),
        ("teams", "Reds, Reds", "Reds is named twice."),
    ] {
        let mut doubled = form("Reed Bowl", "2026-11-14");
        doubled.push((field, typed));
        organiser
            .submit("/matches/new", &doubled)
            .await
            .asks(&format!("<a href=\"#{field}\">{sentence}"));
    }
    let mut doubled = form("Frost Cup", "2026-11-14");
    doubled.extend([("version", "2"), ("sections", "b")]);
    organiser
        .submit("/matches/1/edit", &doubled)
        .await
        .asks("<a href=\"#sections\">B and b are one name but for capitals.");
}

#[tokio::test]
async fn it_is_said_how_many_teams_were_read() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let mut spaced = form("Reed Bowl", "2026-11-14");
    spaced.push(("teams", "Reds Blues Greens Golds"));
    organiser.submit("/matches/new", &spaced).await.taken();
    organiser
        .get("/matches/2/entries")
        .await
        .shown()
        .says("One team: Reds Blues Greens Golds. If more were meant, part them by commas:");
    let mut parted = form("Alder Shield", "2026-11-14");
    parted.push(("teams", "Reds, Blues"));
    organiser.submit("/matches/new", &parted).await.taken();
    organiser
        .get("/matches/3/entries")
        .await
        .shown()
        .says("Two teams: Blues and Reds.")
        .does_not_say("If more were meant");
}

#[tokio::test]
async fn weights_of_a_match_still_to_come_are_refused_with_what_was_typed() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    run(&site, "UPDATE matches SET on_date = '2026-11-15'").await;
    organiser
        .get("/matches/1/weights")
        .await
        .shown()
        .says("This match is still to come.");
    organiser
        .submit("/matches/1/weights", SHEET)
        .await
        .asks("This match is on Sunday 15 November 2026, which is still to come.")
        .says("value=\"12 lb 8 oz\"");
    assert_eq!(number(&site, "SELECT COUNT(*) FROM weighings").await, 0);
    site.pass(86_400);
    let next_day = site.administrator().await;
    next_day.submit("/matches/1/weights", SHEET).await.taken();
}
