//! An organiser makes a match, adds anglers, types the weights and publishes; visitors read it.

use axum::http::StatusCode;
use peglore::domain::ids::SessionId;
use peglore::store::matches::sessions;

use super::{SHEET, a_match, number, post, run};
use crate::support::TestSite;

#[tokio::test]
async fn a_match_goes_from_planned_to_a_result_that_everybody_reads() {
    let site = TestSite::new().await;
    site.visitor()
        .get("/matches")
        .await
        .shown()
        .says("No match is planned.");
    let organiser = a_match(&site).await;
    site.visitor()
        .get("/matches")
        .await
        .shown()
        .says("Frost Cup");
    organiser
        .get("/matches/1/weights")
        .await
        .shown()
        .says("Peg 1, Dot Hazelpatch");

    organiser.submit("/matches/1/weights", SHEET).await.taken();
    organiser
        .get("/matches/1/weights")
        .await
        .shown()
        .says("Understood: <b>12\u{a0}lb\u{a0}8\u{a0}oz</b>");
    organiser
        .get("/matches/1/publication")
        .await
        .shown()
        .says("shared first place");
    let to = organiser
        .submit("/matches/1/publication", &[("version", "3")])
        .await
        .taken();

    assert_eq!(to, "/matches/1/result?done=published");
    let result = site.visitor().get("/matches/1/result").await.shown();
    result
        .says("D. Hazelpatch")
        .says("J. Coppleway")
        .says("Olly T.")
        .says("Provisional")
        .says("Section A")
        .says("blank")
        .does_not_say("Tarnside");
    assert_eq!(
        result.body.matches(">1=</td>").count(),
        4,
        "shared overall and in the section"
    );
    site.visitor()
        .get("/matches?sort=name&order=down")
        .await
        .shown()
        .says("1 to 1 of 1 results");
}

#[tokio::test]
async fn the_page_of_a_match_says_what_its_water_asks_and_what_to_do_in_an_emergency() {
    let site = TestSite::new().await;
    a_match(&site).await;
    site.visitor()
        .get("/matches/1")
        .await
        .shown()
        .does_not_say("Rules and emergencies");
    run(
        &site,
        "UPDATE venues SET rules_text = 'No keepnets in June.', emergency_text = 'The throw line hangs at peg 3.'",
    )
    .await;
    site.visitor()
        .get("/matches/1")
        .await
        .shown()
        .says("No keepnets in June.")
        .says("The throw line hangs at peg 3.")
        .says("/venues/1#rules");
}

#[tokio::test]
async fn each_entry_that_fished_is_one_session_on_its_peg_with_the_match_hours_and_the_official_weight()
 {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    run(
        &site,
        "INSERT INTO sessions (id, pid, kind, angler_id, venue_id, fished_on, zone, start_utc, end_utc, effort_source, visibility, entered_utc, has_report)
         SELECT 77, '00000000000000000000000077', 'report', angler_id, 1, '2026-11-14', 'Europe/London', 1794650400, 1794668400, 'session', 'club', 0, 1 FROM entries WHERE id = 2",
    )
    .await;

    post(&organiser, SHEET).await;

    assert_eq!(
        number(&site, "SELECT COUNT(*) FROM sessions WHERE kind = 'match'").await,
        3
    );
    assert_eq!(
        number(&site, "SELECT entry_id FROM sessions WHERE id = 77").await,
        2
    );
    assert_eq!(
        number(&site, "SELECT CAST(SUM(rod_hours * 10) AS INTEGER) FROM fishing WHERE entry_id = 1 AND peg_id = 1 AND effort_source = 'match hours'").await,
        50
    );
    // 12 lb 8 oz is 3200 dr of 1.7718451953125 g each; a blank is zero, not unknown.
    assert_eq!(
        number(
            &site,
            "SELECT CAST(weight_g * 10 AS INTEGER) FROM fishing WHERE entry_id = 1"
        )
        .await,
        56699
    );
    assert_eq!(
        number(
            &site,
            "SELECT CAST(weight_g AS INTEGER) FROM fishing WHERE entry_id = 3"
        )
        .await,
        0
    );
    assert_eq!(
        number(&site, "SELECT (SELECT COUNT(*) FROM session_catches_worked) - (SELECT COUNT(*) FROM session_catches)").await,
        0
    );
    let mut reading = site.site.db.read().await.expect("a reader");
    let attached = sessions::of_entry(&mut reading, peglore::domain::ids::EntryId(2)).await;
    assert_eq!(attached.expect("read").map(|s| s.id), Some(SessionId(77)));
}

#[tokio::test]
async fn a_correction_needs_a_reason_and_keeps_what_was_posted() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    post(&organiser, SHEET).await;
    let mut changed = SHEET.to_vec();
    changed[0] = ("version", "4");
    changed[3] = ("net-2-3-0", "13-8");
    organiser
        .submit("/matches/1/weights", &changed)
        .await
        .taken();

    organiser
        .get("/matches/1/publication")
        .await
        .shown()
        .says("What differs from the result that stands posted")
        .says("Jem Coppleway’s first net is 13\u{a0}lb\u{a0}8\u{a0}oz, not 12\u{a0}lb\u{a0}8\u{a0}oz.");
    organiser
        .submit("/matches/1/publication", &[("version", "5")])
        .await
        .asks("Say why the result is published again");
    organiser
        .submit(
            "/matches/1/publication",
            &[("version", "5"), ("reason", "read wrongly from the card")],
        )
        .await
        .taken();

    site.visitor()
        .get("/matches/1/result")
        .await
        .shown()
        .says("<b>read wrongly from the card</b>")
        .says("J. Coppleway’s first net is 13\u{a0}lb\u{a0}8\u{a0}oz, not 12\u{a0}lb\u{a0}8\u{a0}oz. The weight is 13\u{a0}lb\u{a0}8\u{a0}oz, not 12\u{a0}lb\u{a0}8\u{a0}oz. The place is 1st, not joint 1st.")
        .says("</time>, by an organiser");
    organiser
        .get("/matches/1/result")
        .await
        .shown()
        .says("Jem Coppleway’s first net is 13")
        .says("</time>, by Organiser");
    site.visitor()
        .get("/matches/1/result?posting=1")
        .await
        .shown()
        .says("This is an earlier posting.")
        .says("12-8")
        .says(">1=</td>");
    assert_eq!(
        number(&site, "SELECT COUNT(*) FROM weighings").await,
        4,
        "the old reading is kept"
    );
    assert_eq!(
        number(
            &site,
            "SELECT COUNT(*) FROM publications WHERE figures_json LIKE '%Hazelpatch%'"
        )
        .await,
        0
    );
    let mut writing = site.site.db.write().await.expect("a writer");
    let refused = sqlx::query("UPDATE publications SET figures_json = '{}'")
        .execute(&mut *writing)
        .await;
    assert!(
        refused
            .expect_err("a trigger refuses")
            .to_string()
            .contains("never changed")
    );
}

#[tokio::test]
async fn weights_that_cannot_stand_come_back_named_at_their_field_with_what_was_typed() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;

    let answer = organiser
        .submit(
            "/matches/1/weights",
            &[
                ("version", "2"),
                ("net-1-3-0", "12.8"),
                ("net-2-3-0", "212-8"),
                ("net-3-3-0", "3-0"),
                ("outcome-3", "blank"),
            ],
        )
        .await
        .asks("Three things are needed");

    answer
        .says("value=\"12.8\"")
        .says("href=\"#net-1-3-0\"")
        .says("212\u{a0}lb\u{a0}8\u{a0}oz in one net is unlikely")
        .says("is marked blank but has a weight")
        .says("<title>Error: ");
    assert_eq!(number(&site, "SELECT COUNT(*) FROM weighings").await, 0);
    organiser
        .submit(
            "/matches/1/weights",
            &[
                ("version", "2"),
                ("net-2-3-0", "212-8"),
                ("net-2-3-0_sure", "212 lb 8 oz"),
            ],
        )
        .await
        .taken();
}

#[tokio::test]
async fn a_member_may_not_make_a_match_and_an_old_form_is_told_that_somebody_saved_first() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;

    let member = site
        .member()
        .await
        .submit("/matches/1/weights", SHEET)
        .await;
    let stale = organiser
        .submit(
            "/matches/1/weights",
            &[("version", "1"), ("outcome-1", "absent")],
        )
        .await;

    assert_eq!(member.status, StatusCode::FORBIDDEN);
    assert_eq!(stale.status, StatusCode::CONFLICT);
    assert_eq!(
        number(
            &site,
            "SELECT COUNT(*) FROM entries WHERE outcome IS NOT NULL"
        )
        .await,
        0
    );
    organiser
        .submit(
            "/matches/1/entries",
            &[
                ("version", "2"),
                ("name-0", "Una Dapplemere"),
                ("peg-0", "99"),
            ],
        )
        .await
        .asks("Quillet Water has no peg 99");
    organiser
        .submit("/matches/new", &[("name", "")])
        .await
        .asks("Choose the venue.");
}

#[tokio::test]
async fn a_thousand_results_are_shown_fifty_at_a_time() {
    let site = TestSite::new().await;
    run(
        &site,
        "INSERT INTO venues (id, pid, name) VALUES (1, '00000000000000000000000001', 'Quillet Water');
         WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 1000)
         INSERT INTO matches (pid, name, venue_id, on_date, zone, pegs_allotted, scale, step, state)
         SELECT printf('%026d', i), printf('Match %04d', i), 1, date('2020-01-01', i || ' days'), 'Europe/London', 'bag', 'dr', 16, 'published' FROM n",
    )
    .await;

    let newest = site.visitor().get("/matches").await.shown();
    let last = site
        .visitor()
        .get("/matches?sort=name&order=up&page=20")
        .await
        .shown();

    newest
        .says("1 to 50 of 1000 results")
        .says("Match 1000")
        .does_not_say("Match 0950");
    last.says("951 to 1000 of 1000 results")
        .says("Match 0951")
        .does_not_say("Match 0950");
    site.visitor()
        .get("/matches/1/result")
        .await
        .shown()
        .says("Nobody weighed in");
}
