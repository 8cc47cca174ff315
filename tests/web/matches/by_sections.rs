//! Sections chosen by their pegs, for everybody at once.

use super::{a_match, number};
use crate::support::TestSite;

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
        .says("Section B: pegs");

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
            .says("value=\"Peg 1\"");
    }
}
