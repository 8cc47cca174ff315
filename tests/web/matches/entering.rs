//! Anglers entered several at once, put on their pegs, moved, withdrawn; what a later save sees.

use axum::http::StatusCode;

use super::{SHEET, a_match, number, run};
use crate::support::{Actor, TestSite};

/// The usual match, with Bess Lintwhistle, number 71, on the club's list and not entered.
async fn with_bess() -> (TestSite, Actor) {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    run(
        &site,
        "INSERT INTO labels (id, given, surname, salt) VALUES (71, 'Bess', 'Lintwhistle', zeroblob(16));
         INSERT INTO anglers (id, pid, label_id) VALUES (71, '00000000000000000000000071', 71)",
    )
    .await;
    (site, organiser)
}

#[tokio::test]
async fn pasted_names_are_found_asked_about_or_new_and_nobody_is_guessed() {
    let (site, organiser) = with_bess().await;
    run(
        &site,
        "INSERT INTO labels (id, given, surname, salt) VALUES (72, 'Wilfred', 'Sallowby', zeroblob(16));
         INSERT INTO anglers (id, pid, label_id) VALUES (72, '00000000000000000000000072', 72)",
    )
    .await;

    let asked = organiser
        .submit(
            "/matches/1/entries",
            &[("names", "Bess Lintwhistle\nW. Sallowby\nUna Dapplemere")],
        )
        .await
        .asks("Say who W. Sallowby is: somebody on record, or new.");
    asked
        .says("Una Dapplemere</textarea>")
        .says("Wilfred Sallowby: ");
    assert_eq!(number(&site, "SELECT COUNT(*) FROM entries").await, 3);
    organiser
        .submit(
            "/matches/1/entries",
            &[
                ("names", "Bess Lintwhistle\nW. Sallowby\nUna Dapplemere"),
                ("whose-1", "W. Sallowby"),
                ("who-1", "72"),
            ],
        )
        .await
        .taken();

    assert_eq!(
        number(
            &site,
            "SELECT COUNT(*) FROM entries WHERE angler_id IN (71, 72)"
        )
        .await,
        2
    );
    assert_eq!(number(&site, "SELECT COUNT(*) FROM entries").await, 6);
    organiser
        .submit("/matches/1/entries", &[("names", "Dot Hazelpatch")])
        .await
        .asks("Dot Hazelpatch is entered already");
    organiser
        .submit("/matches/1/entries", &[("version", "1")])
        .await
        .asks("nobody is named yet");
}

#[tokio::test]
async fn several_doubts_are_counted_at_the_top_and_each_said_once() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let page = organiser
        .submit(
            "/matches/1/entries",
            &[("names", "Coppleway J\nHazelpatch D")],
        )
        .await
        .asks("Say who is meant by 2 of the pasted names: each is asked below.");
    for name in ["Coppleway J", "Hazelpatch D"] {
        let sentence = format!("Say who {name} is: somebody on record, or new.");
        assert_eq!(page.body.matches(&sentence).count(), 1, "{name}");
    }
}

#[tokio::test]
async fn a_pasted_line_that_is_no_name_is_asked_about_and_a_junior_is_marked_as_one() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;

    let asked = organiser
        .submit(
            "/matches/1/entries",
            &[(
                "names",
                "Peg 4 Nell Tarrow\nTam Oxbarrow (bailiff)\nCoppleway J",
            )],
        )
        .await
        .asks("“Peg 4 Nell Tarrow” does not read as a name: it has figures in it.");
    asked
        .says("Mend 2 of the pasted names: what is wrong stands at the box.")
        .says("“Tam Oxbarrow (bailiff)” does not read as a name: it has words in brackets.")
        .says("Jem Coppleway: the same surname, and the initial agrees")
        .says("Peg 4 Nell Tarrow\nTam Oxbarrow (bailiff)\nCoppleway J</textarea>");
    assert_eq!(number(&site, "SELECT COUNT(*) FROM entries").await, 3);

    organiser
        .submit(
            "/matches/1/entries",
            &[(
                "names",
                "Nell Tarrow (jnr)\nPip Oxbarrow Jnr.\nUna Dapplemere (Junior)\nIvy Furrowby",
            )],
        )
        .await
        .taken();
    let juniors = "SELECT COUNT(*) FROM entries AS e JOIN anglers AS a ON a.id = e.angler_id JOIN labels AS l ON l.id = a.label_id
                   WHERE e.was_junior = 1 AND a.is_junior = 1 AND l.surname IN ('Tarrow', 'Oxbarrow', 'Dapplemere')";
    assert_eq!(number(&site, juniors).await, 3);
    assert_eq!(number(&site, "SELECT COUNT(*) FROM entries").await, 7);
    let page = organiser.get("/matches/1/entries").await.shown();
    page.says("Nell Tarrow (junior), no peg yet")
        .says("Ivy Furrowby, no peg yet");
    // Dot Hazelpatch is on record and no junior.
    organiser
        .submit("/matches/1/entries", &[("names", "Dot Hazelpatch jnr")])
        .await
        .asks("Say who Dot Hazelpatch is: somebody on record, or new.");
}

#[tokio::test]
async fn one_angler_chosen_for_two_lines_is_named_with_both() {
    let (site, organiser) = with_bess().await;

    organiser
        .submit(
            "/matches/1/entries",
            &[
                ("names", "B. Lintwhistle\n\nLintwhistle B"),
                ("whose-0", "B. Lintwhistle"),
                ("who-0", "71"),
                ("whose-2", "Lintwhistle B"),
                ("who-2", "71"),
            ],
        )
        .await
        .asks("Bess Lintwhistle was chosen twice, for lines 1 and 3. Choose another for one of them, or take one line out.");
    assert_eq!(number(&site, "SELECT COUNT(*) FROM entries").await, 3);
}

#[tokio::test]
async fn a_name_that_stands_twice_is_asked_about_by_name() {
    let (site, organiser) = with_bess().await;

    organiser
        .submit(
            "/matches/1/entries",
            &[("names", "Nell Tarrow\nnell tarrow")],
        )
        .await
        .asks("nell tarrow stands twice in the list. Say whether the second is somebody else.")
        .says("somebody else of that name");
    organiser
        .submit(
            "/matches/1/entries",
            &[("names", "Bess Lintwhistle\nLintwhistle, Bess")],
        )
        .await
        .asks("Bess Lintwhistle stands twice in the list. Take one line out.");
    organiser
        .submit(
            "/matches/1/entries",
            &[("names", "Bess Lintwhistle"), ("tick-71", "on")],
        )
        .await
        .asks("Bess Lintwhistle is entered twice. Leave each angler in one place only.");
    assert_eq!(number(&site, "SELECT COUNT(*) FROM entries").await, 3);

    for (name, answer, then) in [("Nell Tarrow", "twice", 4), ("Una Dapplemere", "new", 6)] {
        let names = format!("{name}\n{name}");
        organiser
            .submit(
                "/matches/1/entries",
                &[
                    ("names", names.as_str()),
                    ("whose-1", name),
                    ("who-1", answer),
                ],
            )
            .await
            .taken();
        assert_eq!(number(&site, "SELECT COUNT(*) FROM entries").await, then);
    }
}

#[tokio::test]
async fn anglers_are_ticked_in_the_clubs_list() {
    let (site, organiser) = with_bess().await;
    organiser
        .get("/matches/1/entries")
        .await
        .shown()
        .says("name=\"tick-71\" value=\"on\"> Lintwhistle, Bess");

    organiser
        .submit("/matches/1/entries", &[("tick-71", "on")])
        .await
        .taken();

    assert_eq!(
        number(&site, "SELECT number FROM entries WHERE angler_id = 71").await,
        4
    );
}

/// Pegs of the three entries, changed from 1, 2, 3.
fn pegs<'a>(version: &'a str, pegs: [&'a str; 3]) -> Vec<(&'a str, &'a str)> {
    vec![
        ("version", version),
        ("peg-1", pegs[0]),
        ("section-1", "1"),
        ("peg-2", pegs[1]),
        ("section-2", "1"),
        ("peg-3", pegs[2]),
        ("section-3", "2"),
    ]
}

#[tokio::test]
async fn two_anglers_change_pegs_in_one_save_and_their_sessions_follow() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    organiser.submit("/matches/1/weights", SHEET).await.taken();
    organiser
        .get("/matches/1/pegs")
        .await
        .shown()
        .says("Dot Hazelpatch");

    let to = organiser
        .submit("/matches/1/pegs", &pegs("3", ["2", "1", "4"]))
        .await
        .taken();

    assert_eq!(to, "/matches/1/pegs?done=saved");
    organiser
        .submit("/matches/1/publication", &[("version", "4")])
        .await
        .taken();
    for (entry, peg) in [
        (
            "SELECT p.peg_id FROM spells AS p JOIN sessions AS s ON s.id = p.session_id WHERE s.entry_id = 1",
            2,
        ),
        (
            "SELECT p.peg_id FROM spells AS p JOIN sessions AS s ON s.id = p.session_id WHERE s.entry_id = 2",
            1,
        ),
        ("SELECT peg_id FROM entries WHERE id = 3", 4),
    ] {
        assert_eq!(number(&site, entry).await, peg, "{entry}");
    }
    organiser
        .submit("/matches/1/pegs", &pegs("5", ["2", "2", "99"]))
        .await
        .asks("Peg 2 is given to both Dot Hazelpatch and Jem Coppleway.")
        .says("Quillet Water has no peg 99");
}

#[tokio::test]
async fn a_peg_closed_on_the_day_is_asked_about_and_used_when_ticked() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    run(
        &site,
        "INSERT INTO pegs (id, venue_id, bank_id, number, walk_order) VALUES (5, 1, 1, '5', 5);
         INSERT INTO peg_closures (peg_id, from_on, to_on, reason) VALUES
           (4, '2026-11-10', '2026-11-20', 'Bank slipped.'), (5, '2026-11-14', NULL, 'Tree down'), (3, '2026-11-01', '2026-11-13', 'Over by then')",
    )
    .await;

    let asked = organiser
        .submit("/matches/1/pegs", &pegs("2", ["4", "2", "3"]))
        .await
        .asks("Peg 4 is closed that day: Bank slipped. Tick to use it all the same.");
    asked
        .says("href=\"#peg-1\"")
        .says("name=\"peg-1\" value=\"4\"")
        .says("name=\"closed-1-4\" value=\"on\">")
        .does_not_say("Peg 3 is closed");
    // The tick is for peg 4, not for the next closed one typed over it.
    let mut form = pegs("2", ["5", "2", "3"]);
    form.push(("closed-1-4", "on"));
    organiser
        .submit("/matches/1/pegs", &form)
        .await
        .asks("Peg 5 is closed that day: Tree down. Tick to use it all the same.");
    form[1] = ("peg-1", "4");
    organiser.submit("/matches/1/pegs", &form).await.taken();
    assert_eq!(
        number(&site, "SELECT peg_id FROM entries WHERE id = 1").await,
        4
    );
    organiser
        .get("/matches/1/pegs")
        .await
        .shown()
        .says("name=\"closed-1-4\" value=\"on\" checked>");

    let row = [("name-0", "Una Dapplemere"), ("peg-0", "5")];
    organiser
        .submit("/matches/1/entries", &row)
        .await
        .asks("Peg 5 is closed that day: Tree down.")
        .says("name=\"closed-0-5\"");
    organiser
        .submit(
            "/matches/1/entries",
            &[row[0], row[1], ("closed-0-5", "on")],
        )
        .await
        .taken();
    assert_eq!(
        number(&site, "SELECT COUNT(*) FROM entries WHERE peg_id = 5").await,
        1
    );
}

#[tokio::test]
async fn a_later_save_of_pegs_or_weights_sees_both_versions_and_loses_nothing() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    organiser
        .submit("/matches/1/pegs", &pegs("2", ["1", "4", "3"]))
        .await
        .taken();

    let stale = organiser
        .submit("/matches/1/pegs", &pegs("2", ["1", "2", "3"]))
        .await;

    assert_eq!(stale.status, StatusCode::CONFLICT);
    stale
        .says("Somebody else saved this match")
        .says("On record now: 4")
        .says("value=\"2\"")
        .says("name=\"version\" value=\"3\"");
    let mut sheet = SHEET.to_vec();
    sheet[0] = ("version", "3");
    organiser.submit("/matches/1/weights", &sheet).await.taken();
    sheet[3] = ("net-2-3-0", "11-1");
    let stale = organiser.submit("/matches/1/weights", &sheet).await;
    assert_eq!(stale.status, StatusCode::CONFLICT);
    stale
        .says("value=\"11-1\"")
        .says("On record now: 12 lb 8 oz")
        .does_not_say("On record now: 8 lb")
        .says("name=\"version\" value=\"4\"");
}

#[tokio::test]
async fn who_withdrew_leaves_the_match_and_may_come_back() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let mut form = pegs("2", ["1", "2", "3"]);
    form.push(("withdrawn-3", "on"));

    organiser.submit("/matches/1/pegs", &form).await.taken();
    organiser
        .get("/matches/1")
        .await
        .shown()
        .says("2 entered")
        .does_not_say("Tarnside");
    let whom = number(&site, "SELECT angler_id FROM entries WHERE id = 3").await;
    let tick = format!("tick-{whom}");
    organiser
        .submit("/matches/1/entries", &[(tick.as_str(), "on")])
        .await
        .taken();

    assert_eq!(
        number(
            &site,
            "SELECT COUNT(*) FROM entries WHERE status = 'booked'"
        )
        .await,
        3
    );
}
