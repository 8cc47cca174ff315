//! One-time links: looked at freely, used once, by the one they are for; and the club is never left
//! without an administrator.

use axum::http::StatusCode;
use peglore::{
    actions::{By, one_time_links},
    domain::accounts::Role,
};

use crate::support::{Answer, TestSite};

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
