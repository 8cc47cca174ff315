//! Who sees which names and whose reports: every page and every file a reader can reach is read for
//! planted names and words.

use std::collections::BTreeMap;

use axum::http::{Method, StatusCode};
use peglore::{domain::accounts::Role, web::routes};

use super::{
    anglers::page_of,
    matches::{SHEET, a_match, a_posted_match, number, post_again, run},
};
use crate::support::{
    Actor, Answer, TestSite,
    crawl::{Places, crawl},
    planted::{NAMES, Planted},
};

const REMARK: &str = "Kept the swim by the willow to myself";

/// A report of a day before the match, from peg 4, seen as `visibility` says; its address.
async fn reported(member: &Actor, day: &str, visibility: &str) -> String {
    let key = format!("a-form-of-its-own-{day}");
    let fields = [
        ("venue", "1"),
        ("key", key.as_str()),
        ("given", "Una"),
        ("surname", "Fallowes"),
        ("peg", "4"),
        ("date", day),
        ("start", "10:00"),
        ("end", "15:00"),
        ("carp_number", "4"),
        ("carp_weight", "31-4"),
        ("remarks", REMARK),
        ("visibility", visibility),
    ];
    let to = member.submit("/report", &fields).await.taken();
    to.split('?').next().expect("an address").to_owned()
}

#[track_caller]
fn nowhere(answers: &BTreeMap<String, Answer>, words: &[&str]) {
    for (address, answer) in answers {
        for word in words {
            assert!(!answer.body.contains(word), "“{word}” stands at {address}");
        }
    }
}

fn somewhere(answers: &BTreeMap<String, Answer>, word: &str) -> bool {
    answers.values().any(|answer| answer.body.contains(word))
}

const PLACES: Places<'_> = &[("venue", "1"), ("match", "1"), ("peg", "1")];

#[tokio::test]
async fn visitors_see_initial_and_surname_and_of_juniors_only_the_first_name_and_initial() {
    let site = TestSite::new().await;
    a_posted_match(&site).await;
    let pages = crawl(&site.visitor(), PLACES).await;
    assert!(pages.len() > 20, "{} pages", pages.len());
    nowhere(&pages, &["Dot Hazelpatch", "Jem Coppleway", "Tarnside"]);
    let result = &pages["/matches/1/result"];
    result
        .says("D. Hazelpatch")
        .says("J. Coppleway")
        .says("Olly T.");

    let members = crawl(&site.member().await, PLACES).await;
    nowhere(&members, &["Tarnside"]);
    assert!(somewhere(&members, "Dot Hazelpatch"));
}

#[tokio::test]
async fn who_is_entered_is_for_members_until_the_result_is_posted() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let pages = crawl(&site.visitor(), PLACES).await;
    nowhere(&pages, &["Hazelpatch", "Coppleway", "Olly"]);
    pages["/matches/1"].says("3 entered");
    site.member()
        .await
        .get("/matches/1")
        .await
        .shown()
        .says("Dot Hazelpatch")
        .says("3 entered");

    organiser.submit("/matches/1/weights", SHEET).await.taken();
    let form = [("version", "3")];
    organiser
        .submit("/matches/1/publication", &form)
        .await
        .taken();
    site.visitor()
        .get("/matches/1")
        .await
        .shown()
        .says("D. Hazelpatch");
}

#[tokio::test]
async fn the_whole_record_of_a_season_names_nobody_in_full_to_visitors() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let venue = planted.venue.to_string();
    let angler = planted.angler_pids[5].to_string();
    let places = [
        ("venue", venue.as_str()),
        ("match", "1"),
        ("peg", "1"),
        ("angler", &angler),
    ];
    let pages = crawl(&site.visitor(), &places).await;
    assert!(pages.len() > 30, "{} pages", pages.len());
    for (given, surname) in NAMES {
        nowhere(&pages, &[&format!("{given} {surname}")]);
    }
    let (_, junior) = NAMES[5];
    nowhere(&pages, &[junior]);
    nowhere(&crawl(&site.member().await, &places).await, &[junior]);
}

#[tokio::test]
async fn the_club_may_show_full_names_or_none_and_juniors_stay_as_they_are() {
    let site = TestSite::new().await;
    a_posted_match(&site).await;
    let administrator = site.administrator().await;
    let set = async |names: &str| {
        let form = [
            ("name", "Our club"),
            ("names", names),
            ("zone", "Europe/London"),
        ];
        administrator.submit("/committee/club", &form).await.taken();
        crawl(&site.visitor(), PLACES).await
    };
    let full = set("full name").await;
    full["/matches/1/result"]
        .says("Dot Hazelpatch")
        .says("Olly T.");
    nowhere(&full, &["Tarnside"]);
    let none = set("members only").await;
    nowhere(&none, &["Hazelpatch", "Coppleway", "Tarnside", "Olly T."]);
    none["/matches/1/result"].says("Peg 1");
    let first = set("initial and surname").await;
    nowhere(&first, &["Dot Hazelpatch", "Tarnside"]);
}

#[tokio::test]
async fn a_junior_keeps_the_short_name_in_corrections_in_files_and_in_print() {
    let site = TestSite::new().await;
    let organiser = a_posted_match(&site).await;
    let version = number(&site, "SELECT ver FROM matches").await.to_string();
    let sheet = [
        ("version", version.as_str()),
        ("net-1-3-0", "8-0"),
        ("net-1-3-1", "4-8"),
        ("net-2-3-0", "12 lb 8 oz"),
        ("net-3-3-0", "3-2"),
        ("outcome-3", ""),
    ];
    organiser.submit("/matches/1/weights", &sheet).await.taken();
    post_again(&site, &organiser, "A net was forgotten.").await;

    for reader in [site.visitor(), site.member().await] {
        let pages = crawl(&reader, PLACES).await;
        nowhere(&pages, &["Tarnside"]);
        // What is printed is the page itself under a sheet of its own.
        pages["/matches/1/result"]
            .says("A net was forgotten.")
            .says("Olly T.");
        for list in [
            "/matches/1/result.csv",
            "/matches.csv",
            "/venues/1/record.csv",
        ] {
            assert_eq!(pages[list].status, StatusCode::OK, "{list}");
        }
        pages["/matches/1/result.csv"].says("Olly T.");
    }
    organiser
        .get("/matches/1/result.csv")
        .await
        .shown()
        .says("Olly Tarnside");
}

#[tokio::test]
async fn taking_the_junior_flag_off_publishes_nothing_old() {
    let site = TestSite::new().await;
    let organiser = a_posted_match(&site).await;
    let olly = page_of(&organiser, "Olly Tarnside").await;
    let grown = [("given", "Olly"), ("surname", "Tarnside")];
    organiser.submit(&olly, &grown).await.taken();
    let pages = crawl(&site.visitor(), PLACES).await;
    nowhere(&pages, &["Tarnside"]);
    let member = site.member().await;
    member
        .get("/matches/1/result")
        .await
        .shown()
        .says("Olly T.")
        .does_not_say("Tarnside");
    for page in ["/anglers", olly.as_str()] {
        member
            .get(page)
            .await
            .shown()
            .says("Olly T.")
            .does_not_say("Tarnside");
    }
    organiser
        .get("/matches/1/result")
        .await
        .shown()
        .says("Olly Tarnside");
}

#[tokio::test]
async fn a_flag_set_late_hides_what_was_published_before_and_goes_on_hiding_it() {
    let site = TestSite::new().await;
    let organiser = a_posted_match(&site).await;
    let dot = page_of(&organiser, "Dot Hazelpatch").await;
    let name = [("given", "Dot"), ("surname", "Hazelpatch")];
    let junior = [name[0], name[1], ("junior", "on")];
    for form in [&junior[..], &name[..]] {
        organiser.submit(&dot, form).await.taken();
        let pages = crawl(&site.visitor(), PLACES).await;
        nowhere(&pages, &["Hazelpatch"]);
        pages["/matches/1/result"].says("Dot H.");
    }
}

#[tokio::test]
async fn a_private_report_is_found_by_nobody_else_on_any_page_or_in_any_file() {
    let site = TestSite::new().await;
    let organiser = a_posted_match(&site).await;
    let una = site.somebody("Una", Role::Member).await;
    let pegs = |pages: &BTreeMap<String, Answer>| -> Vec<(String, String)> {
        pages
            .iter()
            .filter(|(address, _)| address.contains("/pegs/"))
            .map(|(address, answer)| (address.clone(), answer.body.clone()))
            .collect()
    };
    let before = pegs(&crawl(&site.visitor(), PLACES).await);
    let session = reported(&una, "2026-11-13", "private").await;
    una.get(&session).await.shown().says(REMARK);

    let pid = session.rsplit('/').next().expect("a name").to_owned();
    let places = [PLACES, &[("session", pid.as_str())]].concat();
    let readers = [
        site.visitor(),
        site.other_member().await,
        organiser,
        site.administrator().await,
    ];
    for reader in &readers {
        let pages = crawl(reader, &places).await;
        nowhere(&pages, &[REMARK, "31 lb 4 oz", "31\u{a0}lb\u{a0}4\u{a0}oz"]);
        let tried = routes::table()
            .iter()
            .filter(|route| route.method == Method::GET && route.path.contains("{session}"))
            .count();
        let of_session = pages.keys().filter(|address| address.contains(&pid));
        assert_eq!(of_session.count(), tried, "no page links to it");
    }
    assert_eq!(pegs(&crawl(&readers[0], PLACES).await), before);
}

#[tokio::test]
async fn what_belongs_to_somebody_else_is_not_found_rather_than_forbidden() {
    let site = TestSite::new().await;
    let organiser = a_posted_match(&site).await;
    let una = site.somebody("Una", Role::Member).await;
    let private = reported(&una, "2026-11-13", "private").await;
    let team = reported(&una, "2026-11-12", "team").await;
    let others = [
        site.other_member().await,
        organiser,
        site.administrator().await,
    ];
    for session in [&private, &team] {
        for other in &others {
            for (method, tail) in [
                ("GET", ""),
                ("GET", "/edit"),
                ("POST", "/edit"),
                ("POST", "/removal"),
            ] {
                let address = format!("{session}{tail}");
                let answer = match method {
                    "GET" => other.get(&address).await,
                    _ => other.submit(&address, &[("ver", "1")]).await,
                };
                assert_eq!(answer.status, StatusCode::NOT_FOUND, "{method} {address}");
                answer.does_not_say(REMARK);
            }
        }
        let visitor = site.visitor().get(session).await;
        assert_eq!(visitor.status, StatusCode::UNAUTHORIZED);
    }
    una.get(&private).await.shown().says(REMARK);
}

#[tokio::test]
async fn an_old_link_to_a_report_for_the_club_ends_when_it_is_taken_back_or_made_private() {
    let site = TestSite::new().await;
    a_posted_match(&site).await;
    let una = site.somebody("Una", Role::Member).await;
    let other = site.other_member().await;
    let kept = reported(&una, "2026-11-13", "club").await;
    let gone = reported(&una, "2026-11-12", "club").await;
    other.get(&kept).await.shown().says(REMARK);
    other.get(&gone).await.shown();
    // Seen, but not to be changed by anybody else.
    for tail in ["/edit", "/removal"] {
        let answer = other
            .submit(&format!("{kept}{tail}"), &[("ver", "1")])
            .await;
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{tail}");
    }
    una.submit(&format!("{gone}/removal"), &[("ver", "1"), ("sure", "on")])
        .await
        .taken();
    assert_eq!(other.get(&gone).await.status, StatusCode::NOT_FOUND);
    run(
        &site,
        "UPDATE sessions SET visibility = 'private' WHERE remarks IS NOT NULL",
    )
    .await;
    assert_eq!(other.get(&kept).await.status, StatusCode::NOT_FOUND);
}
