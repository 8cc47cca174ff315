//! One person on the club's list twice: asked about before it happens, and mended afterwards.

use peglore::domain::accounts::Role;

use super::{
    anglers::page_of,
    matches::{a_match, a_posted_match, number},
};
use crate::support::{Actor, TestSite};

fn pid_in(page: &str) -> &str {
    page.rsplit('/').next().expect("an address")
}

async fn add(officer: &Actor, given: &str, surname: &str, more: &[(&str, &str)]) -> String {
    let fields = [&[("given", given), ("surname", surname)][..], more].concat();
    officer.submit("/anglers", &fields).await.taken();
    page_of(officer, &format!("{given} {surname}")).await
}

const OWN_WORDS: &str = "The willow swim was quiet";

/// A report of the day of the match without its hours.
fn report<'a>(given: &'a str, surname: &'a str) -> Vec<(&'a str, &'a str)> {
    vec![
        ("venue", "1"),
        ("key", "a-form-of-its-own-0001"),
        ("given", given),
        ("surname", surname),
        ("date", "2026-11-14"),
        ("spells", "1"),
        ("carp_number", "5"),
        ("remarks", OWN_WORDS),
        ("visibility", "private"),
    ]
}

async fn join(officer: &Actor, from: &str, to: &str, moves: (&str, &str)) -> String {
    let form = [
        ("other", pid_in(to)),
        ("results", moves.0),
        ("reports", moves.1),
    ];
    officer.submit(&format!("{from}/join"), &form).await.taken()
}

#[tokio::test]
async fn an_account_that_reported_under_a_second_name_gets_its_results_when_the_two_are_joined() {
    let site = TestSite::new().await;
    let organiser = a_posted_match(&site).await;
    let dot = site.somebody("Dot", Role::Member).await;
    dot.submit("/report", &report("D", "Hazelpatch"))
        .await
        .taken();
    let (twin, standing) = (
        page_of(&organiser, "D Hazelpatch").await,
        page_of(&organiser, "Dot Hazelpatch").await,
    );
    organiser
        .get(&twin)
        .await
        .shown()
        .says(&format!("href=\"{twin}/join\""));
    organiser
        .get(&format!("{twin}/join"))
        .await
        .shown()
        .says("Hazelpatch, Dot")
        .does_not_say("Join them for good");
    let other = pid_in(&standing);
    organiser
        .get(&format!("{twin}/join?other={other}"))
        .await
        .shown()
        .says(": no results and one report.")
        .says("This cannot be undone.")
        .says("Join them for good");

    let to = join(&organiser, &twin, &standing, ("0", "1")).await;

    assert_eq!(to, format!("{standing}?done=joined"));
    assert_eq!(organiser.get(&twin).await.taken(), standing);
    organiser
        .get("/anglers")
        .await
        .shown()
        .says("Dot Hazelpatch")
        .does_not_say(">D Hazelpatch<");
    organiser
        .get("/matches/1/result")
        .await
        .shown()
        .says("Dot Hazelpatch");
    let joined = "SELECT COUNT(*) FROM sessions WHERE entry_id = 1 AND has_report = 1 AND visibility = 'private'";
    assert_eq!(number(&site, joined).await, 1);
    let beside = "SELECT COUNT(*) FROM sessions WHERE entry_id IS NULL";
    assert_eq!(number(&site, beside).await, 0);
    dot.get("/sessions").await.shown().says("Frost Cup");
    organiser
        .get(&standing)
        .await
        .shown()
        .does_not_say(OWN_WORDS);
}

#[tokio::test]
async fn two_who_were_in_one_match_or_both_have_accounts_are_not_joined() {
    let site = TestSite::new().await;
    let organiser = a_posted_match(&site).await;
    let (dot, jem) = (
        page_of(&organiser, "Dot Hazelpatch").await,
        page_of(&organiser, "Jem Coppleway").await,
    );
    let refused = "Both were entered in Frost Cup on";
    let look = format!("{dot}/join?other={}", pid_in(&jem));
    organiser
        .get(&look)
        .await
        .asks(refused)
        .does_not_say("Join them for good");
    let form = [("other", pid_in(&jem)), ("results", "1"), ("reports", "0")];
    organiser
        .submit(&format!("{dot}/join"), &form)
        .await
        .asks(refused);
    organiser
        .submit(&format!("{dot}/join"), &[("other", pid_in(&dot))])
        .await
        .asks("That is the same angler");
    organiser
        .submit(&format!("{dot}/join"), &[])
        .await
        .asks("Choose an angler from the list.");

    for (account, given, key) in [
        ("Una", "Una", "a-form-of-its-own-0001"),
        ("Unity", "Unity", "a-form-of-its-own-0002"),
    ] {
        let member = site.somebody(account, Role::Member).await;
        let mut form = report(given, "Fallowes");
        form.retain(|(name, _)| *name != "key");
        form.push(("key", key));
        member.submit("/report", &form).await.taken();
    }
    let (una, unity) = (
        page_of(&organiser, "Una Fallowes").await,
        page_of(&organiser, "Unity Fallowes").await,
    );
    organiser
        .get(&format!("{una}/join?other={}", pid_in(&unity)))
        .await
        .asks("Both have an account.");
}

#[tokio::test]
async fn what_came_meanwhile_is_looked_at_before_two_are_joined() {
    let site = TestSite::new().await;
    let organiser = a_posted_match(&site).await;
    let twin = add(&organiser, "Dorothy", "Hazelpatch", &[]).await;
    let standing = page_of(&organiser, "Dot Hazelpatch").await;
    let seen_less = [("other", pid_in(&twin)), ("results", "0"), ("reports", "0")];

    organiser
        .submit(&format!("{standing}/join"), &seen_less)
        .await
        .asks("has changed since you looked")
        .says(": one result and no reports.");

    let raised = "SELECT COALESCE(MAX(mark), 0) FROM data_marks WHERE topic = 'matches'";
    let before = number(&site, raised).await;
    join(&organiser, &standing, &twin, ("1", "0")).await;
    assert!(number(&site, raised).await > before, "figures are stale");
    organiser
        .get("/matches/1/result")
        .await
        .shown()
        .says("Dorothy Hazelpatch");
    let kept = "SELECT COUNT(*) FROM labels WHERE given = 'Dot'";
    assert_eq!(number(&site, kept).await, 1, "the posting holds its label");
}

#[tokio::test]
async fn a_juniors_results_keep_the_short_name_under_the_name_that_stays() {
    let site = TestSite::new().await;
    let organiser = a_posted_match(&site).await;
    let grown = add(&organiser, "Oliver", "Tarnside", &[]).await;
    let junior = page_of(&organiser, "Olly Tarnside").await;

    join(&organiser, &junior, &grown, ("1", "0")).await;

    let member = site.member().await;
    for page in ["/matches/1/result", grown.as_str(), "/anglers"] {
        member
            .get(page)
            .await
            .shown()
            .says("Oliver T.")
            .does_not_say("Tarnside");
    }
    let marked = "SELECT COUNT(*) FROM entries WHERE was_junior = 1";
    assert_eq!(number(&site, marked).await, 1);
}

#[tokio::test]
async fn a_first_report_under_a_name_on_the_list_asks_before_there_are_two() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let member = site.member().await;
    let mut form = report("dot", "HAZELPATCH");

    member
        .submit("/report", &form)
        .await
        .asks("dot HAZELPATCH is on the club’s list already.")
        .says("I am another person of that name")
        .says(OWN_WORDS)
        .says("value=\"HAZELPATCH\"");
    let anglers = "SELECT COUNT(*) FROM anglers";
    assert_eq!(number(&site, anglers).await, 3);

    form.push(("another_person", "on"));
    member.submit("/report", &form).await.taken();
    assert_eq!(number(&site, anglers).await, 4);
    organiser
        .get("/anglers")
        .await
        .shown()
        .says("dot HAZELPATCH");
}

#[tokio::test]
async fn a_new_name_that_is_on_the_list_is_asked_about_and_a_kept_one_is_not() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let jem = page_of(&organiser, "Jem Coppleway").await;
    let mut form = vec![("given", "Dot"), ("surname", "Hazelpatch")];

    organiser
        .submit(&jem, &form)
        .await
        .asks("Dot Hazelpatch is on the list already")
        .says("name=\"another\"");
    form.push(("another", "on"));
    organiser.submit(&jem, &form).await.taken();
    form.pop();
    form.push(("junior", "on"));
    organiser.submit(&jem, &form).await.taken();
}

#[tokio::test]
async fn names_that_read_alike_are_told_apart_by_the_last_day_fished() {
    let site = TestSite::new().await;
    let organiser = a_posted_match(&site).await;
    let twin = add(&organiser, "Dot", "Hazelpatch", &[("another", "on")]).await;
    let jem = page_of(&organiser, "Jem Coppleway").await;

    organiser
        .get(&format!("{jem}/join"))
        .await
        .shown()
        .says("Hazelpatch, Dot (last fished Sat 14 Nov 2026)")
        .says("Hazelpatch, Dot (no sessions yet)")
        .says(">Tarnside, Olly<");
    organiser
        .get("/matches/1/entries")
        .await
        .shown()
        .says("Hazelpatch, Dot (no sessions yet)");
    assert!(twin.starts_with("/anglers/"));
}

#[tokio::test]
async fn results_that_join_a_junior_hide_the_surname_too() {
    let site = TestSite::new().await;
    let organiser = a_posted_match(&site).await;
    let junior = add(&organiser, "Dorothy", "Hazelpatch", &[("junior", "on")]).await;
    let dot = page_of(&organiser, "Dot Hazelpatch").await;

    join(&organiser, &dot, &junior, ("1", "0")).await;

    let member = site.other_member().await;
    for reader in [&member, &site.visitor()] {
        reader
            .get("/matches/1/result")
            .await
            .shown()
            .does_not_say("Hazelpatch");
    }
}
