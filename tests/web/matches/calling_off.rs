//! A match is called off and put on again; where one that is called off is listed.

use axum::http::StatusCode;

use super::{SHEET, a_match, run};
use crate::support::TestSite;

#[tokio::test]
async fn a_match_called_off_takes_no_entries_or_weights_until_it_is_put_on_again() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    organiser
        .submit("/matches/1/calling-off", &[("version", "2")])
        .await
        .asks("Tick that the match is called off");
    let stale = organiser
        .submit(
            "/matches/1/calling-off",
            &[("version", "1"), ("sure_off", "on")],
        )
        .await;
    assert_eq!(stale.status, StatusCode::CONFLICT);
    let to = organiser
        .submit(
            "/matches/1/calling-off",
            &[("version", "2"), ("sure_off", "on")],
        )
        .await
        .taken();
    assert_eq!(to, "/matches/1?done=called-off");

    site.visitor()
        .get("/matches/1")
        .await
        .shown()
        .says("This match is called off.")
        .does_not_say("/matches/1/edit#off");
    organiser
        .get("/matches/1")
        .await
        .shown()
        .says("href=\"/matches/1/edit#off\">Put it on again</a>");
    site.visitor()
        .get("/matches")
        .await
        .shown()
        .says("Quillet Water, called off");
    let called_off = "This match is called off. Put it on again first";
    let mut sheet = SHEET.to_vec();
    sheet[0] = ("version", "3");
    organiser
        .submit("/matches/1/weights", &sheet)
        .await
        .asks(called_off)
        .says("value=\"12 lb 8 oz\"");
    organiser
        .submit("/matches/1/entries", &[("names", "Una Dapplemere")])
        .await
        .asks(called_off);
    organiser
        .submit("/matches/1/publication", &[("version", "3")])
        .await
        .asks(called_off);

    let to = organiser
        .submit("/matches/1/putting-on", &[("version", "3")])
        .await
        .taken();
    assert_eq!(to, "/matches/1?done=on-again");
    sheet[0] = ("version", "4");
    organiser.submit("/matches/1/weights", &sheet).await.taken();
}

#[tokio::test]
async fn a_match_called_off_leaves_the_list_a_fortnight_after_its_day() {
    let site = TestSite::new().await;
    a_match(&site).await;
    run(&site, "UPDATE matches SET state = 'abandoned'").await;
    site.pass(14 * 86_400);
    site.visitor()
        .get("/matches")
        .await
        .shown()
        .says("called off");
    site.pass(86_400);
    site.visitor()
        .get("/matches")
        .await
        .shown()
        .does_not_say("Frost Cup");
}

#[tokio::test]
async fn officers_find_a_match_called_off_for_two_years_and_put_it_on_again() {
    let site = TestSite::new().await;
    a_match(&site).await;
    run(
        &site,
        "UPDATE matches SET state = 'abandoned', on_date = '2024-11-14';
         INSERT INTO matches (id, pid, name, venue_id, on_date, zone, pegs_allotted, scale, step, state)
         VALUES (2, '00000000000000000000000009', 'Reed Bowl', 1, '2024-11-12', 'Europe/London', 'bag', 'dr', 16, 'abandoned')",
    )
    .await;
    let member = site.member().await;
    for page in [
        site.visitor().get("/matches").await,
        member.get("/matches").await,
    ] {
        page.shown()
            .does_not_say("Called off</h2>")
            .does_not_say("Frost Cup");
    }

    let officer = site.administrator().await;
    officer
        .get("/matches")
        .await
        .shown()
        .says("<h2 id=\"off\">Called off</h2>")
        .says("/matches/1\">Frost Cup</a>")
        .says("Thursday 14 November 2024, Quillet Water")
        .does_not_say("Reed Bowl");
    officer
        .submit("/matches/1/putting-on", &[("version", "2")])
        .await
        .taken();
    officer
        .get("/matches")
        .await
        .shown()
        .says("Frost Cup")
        .does_not_say("Called off</h2>");
}
