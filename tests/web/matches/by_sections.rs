//! Sections chosen by their pegs, for everybody at once.

use axum::http::StatusCode;

use super::{a_match, meanwhile::Open, number, run};
use crate::support::{Actor, TestSite};

const PEGS: &str = "/matches/1/pegs";
const SECTION_OF_DOT: &str = "SELECT section_id FROM entries WHERE id = 1";
const SECTION_OF_JEM: &str = "SELECT section_id FROM entries WHERE id = 2";
const SECTION_OF_OLLY: &str = "SELECT section_id FROM entries WHERE id = 3";

const DRAWN: [(&str, &str); 7] = [
    ("version", "2"),
    ("peg-1", "Peg 1"),
    ("section-1", "1"),
    ("peg-2", "2"),
    ("section-2", ""),
    ("peg-3", "3"),
    ("section-3", "1"),
];

#[tokio::test]
async fn whoever_drew_a_peg_of_a_sections_range_is_put_into_it() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    organiser
        .get("/matches/1/pegs")
        .await
        .shown()
        .says("Section A: pegs")
        .says("Section B: pegs")
        .says("<legend>Olly Tarnside (junior)</legend>");

    // First, since it saves choosing one by one.
    let page = organiser.get("/matches/1/pegs").await.shown();
    let at = |name: &str| page.body.find(name).expect("a box");
    assert!(at("name=\"range-1\"") < at("name=\"peg-1\""));

    let ranges = [("range-1", "1"), ("range-2", "2–4")];
    organiser
        .submit("/matches/1/pegs", &[&DRAWN[..], &ranges].concat())
        .await
        .taken();

    let placed = "SELECT COUNT(*) FROM entries WHERE (id = 1 AND section_id = 1) OR (id IN (2, 3) AND section_id = 2)";
    assert_eq!(number(&site, placed).await, 3);
}

#[tokio::test]
async fn a_range_that_cannot_be_is_asked_about_and_nothing_typed_is_lost() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    run(&site, "UPDATE sections SET name = 'Section ' || name").await;
    for (second, says) in [
        ("2, 4", "Peg 2 is given to section A too."),
        ("2 or 3", "is not a peg or a range of pegs"),
    ] {
        let ranges = [("range-1", "1–2"), ("range-2", second)];
        organiser
            .submit("/matches/1/pegs", &[&DRAWN[..], &ranges].concat())
            .await
            .asks(says)
            .says(&format!("value=\"{second}\""))
            .says("name=\"peg-1\" value=\"1\"");
    }
}

#[tokio::test]
async fn a_range_of_pegs_that_nobody_drew_is_asked_about() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let mut form = [&DRAWN[..], &[("range-2", "4")]].concat();
    organiser
        .submit(PEGS, &form)
        .await
        .asks("<a href=\"#range-2\">Nobody has drawn a peg of these yet. Enter the pegs first.")
        .says("name=\"range-2\" value=\"4\"");
    form.push(("withdrawn-1", "on"));
    form[1] = ("peg-1", "4");
    organiser
        .submit(PEGS, &form)
        .await
        .asks("Nobody has drawn a peg of these yet.");

    form.pop();
    organiser.submit(PEGS, &form).await.taken();

    assert_eq!(number(&site, SECTION_OF_DOT).await, 2);
}

/// A match with a section C as well, the page of an administrator who has it open, and what the
/// organiser saved meanwhile.
async fn open_meanwhile(site: &TestSite, saved: (&str, &str)) -> (Actor, Open) {
    let organiser = a_match(site).await;
    let third = "INSERT INTO sections (id, match_id, ord, name) VALUES (3, 1, 3, 'C')";
    run(site, third).await;
    let administrator = site.administrator().await;
    let earlier = Open::of(&administrator, PEGS).await;
    let mut first = Open::of(&organiser, PEGS).await;
    first.type_in(saved.0, saved.1);
    first.send(&organiser).await.taken();
    (administrator, earlier)
}

#[tokio::test]
async fn a_range_over_a_section_that_another_chose_meanwhile_is_asked_about_and_answered() {
    let site = TestSite::new().await;
    let (administrator, mut earlier) = open_meanwhile(&site, ("section-2", "3")).await;

    earlier.type_in("range-2", "2–4");
    let asked = earlier.send(&administrator).await;

    assert_eq!(asked.status, StatusCode::CONFLICT);
    asked
        .says("<a href=\"#section-2\">Jem Coppleway. Section: the range puts peg 2 into B, and the record now says C. Take peg 2 out of the range and choose here, or save again to have B.")
        .says("name=\"range-2\" value=\"2–4\"")
        .does_not_say("Olly Tarnside. Section");
    assert_eq!(number(&site, SECTION_OF_JEM).await, 3);

    let mut without = Open::on(&asked, PEGS);
    without.type_in("range-2", "3–4");
    without.send(&administrator).await.taken();
    assert_eq!(number(&site, SECTION_OF_JEM).await, 3);

    let again = Open::on(&asked, PEGS);
    again.send(&administrator).await.taken();
    assert_eq!(number(&site, SECTION_OF_JEM).await, 2);
}

#[tokio::test]
async fn a_range_that_says_what_the_page_held_does_not_give_way_unsaid() {
    let site = TestSite::new().await;
    let (administrator, mut earlier) = open_meanwhile(&site, ("section-3", "3")).await;

    earlier.type_in("range-2", "3");
    let asked = earlier.send(&administrator).await;

    assert_eq!(asked.status, StatusCode::CONFLICT);
    asked.says("Olly Tarnside. Section: the range puts peg 3 into B, and the record now says C.");
    Open::on(&asked, PEGS).send(&administrator).await.taken();
    assert_eq!(number(&site, SECTION_OF_OLLY).await, 2);
}

#[tokio::test]
async fn a_section_is_not_asked_about_where_a_range_says_what_the_record_says() {
    let site = TestSite::new().await;
    let (administrator, mut earlier) = open_meanwhile(&site, ("section-2", "2")).await;

    earlier.type_in("section-2", "3");
    earlier.type_in("range-2", "2–4");
    earlier.send(&administrator).await.taken();

    assert_eq!(number(&site, SECTION_OF_JEM).await, 2);
}
