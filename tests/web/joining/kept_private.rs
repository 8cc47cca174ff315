//! A report that its angler keeps private changes nothing that anybody else is shown of its match:
//! every page and file reads as if there were none.

use std::collections::BTreeMap;

use super::{form, number, weigh_in, with_match};
use crate::support::{
    Actor, TestSite,
    crawl::{Places, crawl},
};

const PLACES: Places<'_> = &[("venue", "1"), ("match", "1"), ("peg", "15")];

async fn pages(reader: &Actor) -> BTreeMap<String, String> {
    let answers = crawl(reader, PLACES).await.into_iter();
    answers
        .map(|(address, answer)| (address, format!("{} {}", answer.status, answer.body)))
        .collect()
}

/// What a reader is shown, but for pages that are never the same twice, as a blank report with a
/// name of its own is.
async fn steady_pages(reader: &Actor) -> BTreeMap<String, String> {
    let (mut once, again) = (pages(reader).await, pages(reader).await);
    once.retain(|address, page| again.get(address) == Some(&*page));
    once
}

#[tokio::test]
async fn nobody_else_can_tell_from_any_page_or_file_that_a_private_report_joined_the_match() {
    let site = TestSite::new().await;
    let organiser = with_match(&site).await;
    let member = site.member().await;
    let earlier = form(&[
        ("key", "an-earlier-form-0001"),
        ("date", "2026-11-01"),
        ("visibility", "private"),
    ]);
    member.submit("/report", &earlier).await.taken();
    weigh_in(&site, &organiser).await;
    let readers = [
        site.visitor(),
        site.other_member().await,
        organiser,
        site.administrator().await,
    ];
    let mut before = Vec::new();
    for reader in &readers {
        let shown = steady_pages(reader).await;
        for address in [
            "/venues/1/record",
            "/venues/1/record.csv",
            "/venues/1/pegs/15",
        ] {
            assert!(shown.contains_key(address), "{address} is steady");
        }
        before.push(shown);
    }
    assert!(before[2]["/sessions.csv"].contains(",15,10:00,15:00,5.00,match hours,"));

    let moved = form(&[
        ("visibility", "private"),
        ("start", "9:30"),
        ("end", "14:00"),
        ("spells", "2"),
        ("peg_1", "15"),
        ("from_1", "9:30"),
        ("to_1", "11:00"),
        ("peg_2", "14"),
        ("from_2", "11:00"),
        ("to_2", "14:00"),
        ("rods_2", "2"),
    ]);
    member.submit("/report", &moved).await.taken();

    let joined = "SELECT COUNT(*) FROM sessions WHERE entry_id = 1 AND has_report = 1 AND visibility = 'private'";
    assert_eq!(number(&site, joined).await, 1);
    let own = member.get("/sessions.csv").await.shown();
    own.says("\"15, 14\",09:30,14:00,7.50,spells,");
    for (reader, before) in readers.iter().zip(&before) {
        let after = pages(reader).await;
        for (address, page) in before {
            assert_eq!(after.get(address), Some(page), "{address}");
        }
    }
}
