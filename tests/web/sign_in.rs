//! Signing in: what is said to whom, how guesses are slowed, and that nothing typed is lost.

use axum::http::StatusCode;
use peglore::domain::accounts::Role;

use crate::support::TestSite;

const PASSWORD: &str = "wet bank cold hands";

/// A member with a password, made as people do it: an invite, opened and used.
async fn invited(site: &TestSite, name: &str) {
    let link = site.invited(name, Role::Member).await;
    for _ in 0..10 {
        site.visitor().get(&link).await.shown().says(name);
    }
    let answer = site
        .visitor()
        .submit(&link, &[("password", PASSWORD)])
        .await;
    assert_eq!(answer.taken(), "/?done=password-set");
    let again = site
        .visitor()
        .submit(&link, &[("password", PASSWORD)])
        .await;
    assert_eq!(again.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn an_unknown_name_and_a_wrong_password_are_answered_alike() {
    let site = TestSite::new().await;
    invited(&site, "Jem").await;
    let wrong = site
        .visitor()
        .submit("/sign-in", &[("name", "Jem"), ("password", "not this one")])
        .await;
    let unknown = site
        .visitor()
        .submit("/sign-in", &[("name", "Jim"), ("password", "not this one")])
        .await;
    assert_eq!(
        (wrong.status, unknown.status),
        (StatusCode::UNAUTHORIZED, StatusCode::UNAUTHORIZED)
    );
    assert_eq!(
        wrong.body.replace("Jem", ""),
        unknown.body.replace("Jim", "")
    );
}

#[tokio::test]
async fn a_name_is_found_however_it_is_typed_and_leads_where_one_was_going() {
    let site = TestSite::new().await;
    invited(&site, "Jem Coppleway").await;
    let fields = [
        ("name", "  jem  COPPLEWAY "),
        ("password", PASSWORD),
        ("next", "/venues/1"),
    ];
    assert_eq!(
        site.visitor().submit("/sign-in", &fields).await.taken(),
        "/venues/1?done=signed-in"
    );
    let elsewhere = [
        ("name", "jem coppleway"),
        ("password", PASSWORD),
        ("next", "//evil.example"),
    ];
    assert_eq!(
        site.visitor().submit("/sign-in", &elsewhere).await.taken(),
        "/?done=signed-in"
    );
}

#[tokio::test]
async fn guesses_are_slowed_and_the_wait_ends() {
    let site = TestSite::new().await;
    invited(&site, "Jem").await;
    for _ in 0..5 {
        site.visitor()
            .submit("/sign-in", &[("name", "Jem"), ("password", "a guess")])
            .await;
    }
    let right = [("name", "Jem"), ("password", PASSWORD)];
    site.visitor()
        .submit("/sign-in", &right)
        .await
        .says("Too many wrong tries. Wait 5 seconds");
    site.pass(6);
    assert_eq!(
        site.visitor().submit("/sign-in", &right).await.taken(),
        "/?done=signed-in"
    );
}

#[tokio::test]
async fn a_form_sent_while_signed_out_comes_back_after_signing_in() {
    let site = TestSite::new().await;
    invited(&site, "Jem").await;
    let asked = site
        .visitor()
        .submit("/sign-out", &[("remarks", "two lost & one <big>")])
        .await;
    assert_eq!(asked.status, StatusCode::UNAUTHORIZED);
    asked
        .says("name=\"kept_path\" value=\"/sign-out\"")
        .says("two lost &#38; one &#60;big&#62;");
    let fields = [
        ("name", "Jem"),
        ("password", PASSWORD),
        ("kept_path", "/sign-out"),
        ("kept_name", "remarks"),
        ("kept_value", "two lost & one <big>"),
    ];
    let back = site.visitor().submit("/sign-in", &fields).await.shown();
    back.says("Send it now")
        .says("name=\"remarks\" value=\"two lost &#38; one &#60;big&#62;\"");
}

#[tokio::test]
async fn a_poor_password_is_refused_with_the_way_to_mend_it() {
    let site = TestSite::new().await;
    let link = site.invited("Nell", Role::Member).await;
    let answer = site.visitor().submit(&link, &[("password", "short")]).await;
    answer
        .asks("Choose a password of 8 characters or more")
        .says("<title>Error: ");
}

#[tokio::test]
async fn links_that_do_not_work_are_all_answered_alike() {
    let site = TestSite::new().await;
    let link = site.invited("Nell", Role::Member).await;
    site.pass(8 * 86_400);
    let expired = site.visitor().get(&link).await;
    let unknown = site.visitor().get("/links/nothing").await;
    assert_eq!(
        (expired.status, unknown.status),
        (StatusCode::NOT_FOUND, StatusCode::NOT_FOUND)
    );
    assert_eq!(expired.body, unknown.body);
}

#[tokio::test]
async fn who_wants_to_report_is_told_why_to_sign_in_first() {
    let site = TestSite::new().await;
    for path in ["/report", "/report?venue=1", "/sign-in?next=/report"] {
        site.visitor()
            .get(path)
            .await
            .says("A report stands under your own name");
    }
    site.visitor()
        .get("/sign-in")
        .await
        .shown()
        .does_not_say("A report stands under your own name");
}
