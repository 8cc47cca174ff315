//! One-time links: looked at freely, used once, by the one they are for; and the club is never left
//! without an administrator.

use axum::http::{HeaderMap, StatusCode};
use peglore::{
    actions::{By, accounts, one_time_links},
    domain::{accounts::Role, ids::Pid},
    store,
};

use crate::support::{Actor, Answer, TestSite};

const PASSWORD: &str = "wet bank cold hands";

fn refused(answer: Answer) -> String {
    assert_eq!(answer.status, StatusCode::NOT_FOUND, "{}", answer.body);
    answer.says("This link does not work");
    answer.body
}

#[tokio::test]
async fn previews_spend_nothing_and_nothing_leaks_where_the_link_was() {
    let site = TestSite::new().await;
    let link = site.invited("Jem", Role::Member).await;
    for _ in 0..10 {
        let answer = site.visitor().get(&link).await.shown();
        assert_eq!(answer.headers["referrer-policy"], "no-referrer");
        assert!(!answer.headers.contains_key("set-cookie"));
    }
    let used = site
        .visitor()
        .submit(&link, &[("password", PASSWORD)])
        .await;
    assert_eq!(used.taken(), "/?done=password-set");
}

#[tokio::test]
async fn every_link_that_does_not_work_is_refused_in_the_same_words() {
    let site = TestSite::new().await;
    let unknown = refused(site.visitor().get("/links/nothing").await);
    let password = [("password", PASSWORD)];

    let used = site.invited("Used", Role::Member).await;
    site.visitor().submit(&used, &password).await.taken();
    assert_eq!(refused(site.visitor().get(&used).await), unknown);
    assert_eq!(
        refused(site.visitor().submit(&used, &password).await),
        unknown
    );

    let expired = site.invited("Late", Role::Member).await;
    site.pass(7 * 86_400);
    assert_eq!(refused(site.visitor().get(&expired).await), unknown);
    assert_eq!(
        refused(site.visitor().submit(&expired, &password).await),
        unknown
    );

    let older = site.invited("Jem", Role::Member).await;
    let mut reading = site.site.db.read().await.expect("a reader");
    let jem = peglore::store::accounts::by_name_key(&mut reading, "jem")
        .await
        .expect("read")
        .expect("made");
    drop(reading);
    let now = site.site.now();
    let newer = one_time_links::offer_reset(&site.site.db, now, &By::CommandLine, &jem.pid)
        .await
        .expect("made");
    assert_eq!(refused(site.visitor().get(&older).await), unknown);
    site.visitor().get(&format!("/links/{newer}")).await.shown();

    let somebody_else = site.member().await;
    let newer = format!("/links/{newer}");
    assert_eq!(refused(somebody_else.get(&newer).await), unknown);
    assert_eq!(
        refused(somebody_else.submit(&newer, &password).await),
        unknown
    );
    site.visitor().submit(&newer, &password).await.taken();
}

/// What a browser is told of a link: looked at, used with a good password, and with one that is refused.
async fn told(browser: &Actor, link: &str) -> Vec<(StatusCode, HeaderMap, String)> {
    let answers = [
        browser.get(link).await,
        browser.submit(link, &[("password", PASSWORD)]).await,
        browser.submit(link, &[("password", "short")]).await,
    ];
    let told = answers.map(|answer| (answer.status, answer.headers, answer.body));
    told.into()
}

async fn account_of(site: &TestSite, name_key: &str) -> Pid {
    let mut reading = site.site.db.read().await.expect("a reader");
    let account = store::accounts::by_name_key(&mut reading, name_key).await;
    account.expect("read").expect("made").pid
}

#[tokio::test]
async fn nobody_can_tell_by_status_headers_or_words_why_an_invite_or_a_new_password_is_refused() {
    let site = TestSite::new().await;
    let now = site.site.now();
    let reset = async |name_key: &str| {
        let account = account_of(&site, name_key).await;
        let made = one_time_links::offer_reset(&site.site.db, now, &By::CommandLine, &account);
        format!("/links/{}", made.await.expect("made"))
    };
    let take = async |link: &str| {
        let taken = site.visitor().submit(link, &[("password", PASSWORD)]).await;
        taken.taken();
    };
    let late = site.invited("Late", Role::Member).await;
    let used = site.invited("Used", Role::Member).await;
    take(&used).await;
    let reset_late = reset("used").await;
    let second = site.invited("Second", Role::Member).await;
    take(&second).await;
    let reset_overtaken = reset("second").await;
    let reset_used = reset("second").await;
    take(&reset_used).await;
    site.pass(7 * 86_400);
    let barred = site.invited("Barred", Role::Member).await;
    let account = account_of(&site, "barred").await;
    let now = site.site.now();
    accounts::set_disabled(&site.site.db, now, &By::CommandLine, &account, true)
        .await
        .expect("another can sign in");
    let of_another = site.invited("Another", Role::Member).await;
    let unknown = format!("/links/{}", "0".repeat(used.len() - "/links/".len()));
    let refused_to_all = [
        &late,
        &used,
        &reset_late,
        &reset_overtaken,
        &reset_used,
        &barred,
    ];

    let (visitor, member) = (site.visitor(), site.member().await);
    for browser in [&visitor, &member] {
        let expected = told(browser, &unknown).await;
        for (status, _, page) in &expected {
            assert_eq!(*status, StatusCode::NOT_FOUND);
            assert!(page.contains("This link does not work"), "{page}");
        }
        for link in refused_to_all {
            assert_eq!(told(browser, link).await, expected);
        }
    }
    let expected = told(&member, &unknown).await;
    assert_eq!(told(&member, &of_another).await, expected);
    take(&of_another).await;
}

#[tokio::test]
async fn a_link_for_a_new_password_lasts_a_day_and_ends_other_sign_ins() {
    let site = TestSite::new().await;
    let invite = site.invited("Jem", Role::Member).await;
    let first = site
        .visitor()
        .submit(&invite, &[("password", PASSWORD)])
        .await;
    let jem = site.browser(first.signed_in());
    let mut reading = site.site.db.read().await.expect("a reader");
    let account = peglore::store::accounts::by_name_key(&mut reading, "jem")
        .await
        .expect("read")
        .expect("made");
    drop(reading);
    let now = site.site.now();
    let reset = async || {
        one_time_links::offer_reset(&site.site.db, now, &By::CommandLine, &account.pid)
            .await
            .expect("made")
    };
    let link = format!("/links/{}", reset().await);
    site.visitor()
        .submit(&link, &[("password", "kettle lantern plum")])
        .await
        .taken();
    assert_eq!(jem.get("/account").await.status, StatusCode::UNAUTHORIZED);
    let link = format!("/links/{}", reset().await);
    site.pass(86_400);
    refused(site.visitor().get(&link).await);
}

#[tokio::test]
async fn the_last_administrator_stays_one() {
    let site = TestSite::new().await;
    let link = site.invited("Dot", Role::Administrator).await;
    let used = site
        .visitor()
        .submit(&link, &[("password", PASSWORD)])
        .await;
    let dot = site.browser(used.signed_in());
    let list = dot.get("/committee/people").await.shown();
    let page = list
        .body
        .split("href=\"")
        .filter_map(|rest| rest.split('"').next())
        .find(|link| link.starts_with("/committee/people/"))
        .expect("an account")
        .to_owned();
    let sentence = "The club needs one administrator who can sign in";
    dot.submit(&format!("{page}/role"), &[("role", "member")])
        .await
        .asks(sentence);
    dot.submit(&format!("{page}/access"), &[("access", "disable")])
        .await
        .asks(sentence);
    dot.get("/committee/people")
        .await
        .shown()
        .says("administrator, can sign in");
}

#[tokio::test]
async fn the_first_administrators_link_ends_when_there_is_one() {
    let site = TestSite::new().await;
    let now = site.site.now();
    let secret = one_time_links::first_administrator_link(&site.site.db, now)
        .await
        .expect("asked")
        .expect("there is none yet");
    let first = format!("/links/{secret}");
    site.visitor()
        .get(&first)
        .await
        .shown()
        .says("The first administrator");
    let invite = site.invited("Dot", Role::Administrator).await;
    site.visitor()
        .submit(&invite, &[("password", PASSWORD)])
        .await
        .taken();
    refused(site.visitor().get(&first).await);
    let another = one_time_links::first_administrator_link(&site.site.db, now)
        .await
        .expect("asked");
    assert!(another.is_none());
}

/// Nobody has a password in a demonstration: who opened a sign-in link of it is inside all the same.
#[tokio::test]
async fn no_first_link_is_made_while_an_administrator_is_signed_in_without_a_password() {
    let site = TestSite::new().await;
    let (db, now) = (&site.site.db, site.site.now());
    let made = |one: Option<String>| one.is_some();
    site.invited("Dot", Role::Administrator).await;
    site.somebody("Wren", Role::Organiser).await;
    let invited = one_time_links::first_administrator_link(db, now).await;
    assert!(made(invited.expect("asked")), "no administrator is inside");

    site.somebody("Ivo", Role::Administrator).await;

    let another = one_time_links::first_administrator_link(db, now).await;
    assert!(!made(another.expect("asked")), "one is");
}
