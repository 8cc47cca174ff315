//! A browser's sign-in: new each time, gone when it ought to be, kept over a restart; and the
//! password that officers give again.

use axum::http::StatusCode;
use peglore::domain::accounts::Role;

use crate::support::{Actor, TestSite};

const PASSWORD: &str = "wet bank cold hands";
const HOUR: i64 = 3_600;

/// Somebody with a password, signed in with it.
async fn signed_in(site: &TestSite, name: &str, role: Role) -> Actor {
    let link = site.invited(name, role).await;
    let used = site
        .visitor()
        .submit(&link, &[("password", PASSWORD)])
        .await;
    site.browser(used.signed_in())
}

async fn status(browser: &Actor) -> StatusCode {
    browser.get("/account").await.status
}

/// The address of an account's page.
async fn page_of(administrator: &Actor, name: &str) -> String {
    let list = administrator.get("/committee/people").await.shown();
    let row = list
        .body
        .split("<li>")
        .find(|row| row.contains("/committee/people/") && row.contains(&format!(">{name}<")))
        .expect("a row")
        .to_owned();
    let link = row.split("href=\"").nth(1).expect("a link");
    link.split('"').next().expect("an address").to_owned()
}

#[tokio::test]
async fn a_cookie_given_beforehand_is_not_the_one_that_signs_in() {
    let site = TestSite::new().await;
    signed_in(&site, "Jem", Role::Member).await;
    let planted = "peglore=aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa";
    let victim = site.browser(planted);
    let fields = [("name", "Jem"), ("password", PASSWORD)];
    let answer = victim.submit("/sign-in", &fields).await;
    assert_ne!(answer.signed_in(), planted);
    assert_eq!(
        status(&site.browser(planted)).await,
        StatusCode::UNAUTHORIZED
    );
    assert_eq!(
        status(&site.browser(answer.signed_in())).await,
        StatusCode::OK
    );
}

#[tokio::test]
async fn signing_in_again_ends_what_the_browser_held_before() {
    let site = TestSite::new().await;
    let jem = signed_in(&site, "Jem", Role::Member).await;
    let fields = [("name", "Jem"), ("password", PASSWORD)];
    let again = jem.submit("/sign-in", &fields).await.signed_in();
    assert_ne!(again, jem.cookie());
    assert_eq!(status(&jem).await, StatusCode::UNAUTHORIZED);
    assert_eq!(status(&site.browser(again)).await, StatusCode::OK);
}

#[tokio::test]
async fn the_cookie_is_out_of_scripts_reach_and_named_as_the_address_allows() {
    use peglore::settings::{PublicAddress, Settings};
    let named = async |public: Option<&str>| {
        let site = TestSite::with(Settings {
            public_address: public.map(|address| PublicAddress::parse(address).expect("plain")),
            ..Settings::default()
        })
        .await;
        let link = site.invited("Jem", Role::Member).await;
        let used = site
            .visitor()
            .submit(&link, &[("password", PASSWORD)])
            .await;
        let cookie = used
            .headers
            .get_all("set-cookie")
            .iter()
            .filter_map(|value| value.to_str().ok())
            .find(|value| value.contains("peglore="))
            .expect("the sign-in's own")
            .to_owned();
        assert!(
            cookie.contains("HttpOnly") && cookie.contains("SameSite=Lax"),
            "{cookie}"
        );
        cookie
    };
    let plain = named(None).await;
    assert!(
        plain.starts_with("peglore=") && !plain.contains("Secure"),
        "{plain}"
    );
    let root = named(Some("https://club.example")).await;
    assert!(
        root.starts_with("__Host-peglore=") && root.contains("Path=/;"),
        "{root}"
    );
    assert!(root.contains("Secure"), "{root}");
    let under = named(Some("https://club.example/peg")).await;
    assert!(
        under.starts_with("__Secure-peglore=") && under.contains("Path=/peg/;"),
        "{under}"
    );
}

#[tokio::test]
async fn a_cookie_kept_from_before_signing_out_is_worth_nothing() {
    let site = TestSite::new().await;
    let jem = signed_in(&site, "Jem", Role::Member).await;
    jem.submit("/sign-out", &[]).await.taken();
    assert_eq!(status(&jem).await, StatusCode::UNAUTHORIZED);
}

#[tokio::test]
async fn ten_restarts_keep_everybody_signed_in() {
    let mut site = TestSite::new().await;
    let jem = signed_in(&site, "Jem", Role::Member).await.cookie();
    let nell = signed_in(&site, "Nell", Role::Organiser).await.cookie();
    for _ in 0..10 {
        site = site.restarted().await;
        assert_eq!(status(&site.browser(&*jem)).await, StatusCode::OK);
        assert_eq!(status(&site.browser(&*nell)).await, StatusCode::OK);
    }
}

#[tokio::test]
async fn a_sign_in_unused_for_thirty_days_is_over() {
    let site = TestSite::new().await;
    let jem = signed_in(&site, "Jem", Role::Member).await;
    site.pass(29 * 24 * HOUR);
    assert_eq!(status(&jem).await, StatusCode::OK);
    site.pass(29 * 24 * HOUR);
    assert_eq!(status(&jem).await, StatusCode::OK);
    site.pass(31 * 24 * HOUR);
    assert_eq!(status(&jem).await, StatusCode::UNAUTHORIZED);
}

#[tokio::test]
async fn sign_ins_end_when_the_role_changes_or_the_account_is_disabled() {
    let site = TestSite::new().await;
    let administrator = site.administrator().await;
    let jem = signed_in(&site, "Jem", Role::Member).await;
    let nell = signed_in(&site, "Nell", Role::Member).await;
    let path = page_of(&administrator, "Jem").await;
    administrator
        .submit(&format!("{path}/role"), &[("role", "organiser")])
        .await
        .taken();
    assert_eq!(status(&jem).await, StatusCode::UNAUTHORIZED);
    let path = page_of(&administrator, "Nell").await;
    administrator
        .submit(&format!("{path}/access"), &[("access", "disable")])
        .await
        .taken();
    assert_eq!(status(&nell).await, StatusCode::UNAUTHORIZED);
    let fields = [("name", "Nell"), ("password", PASSWORD)];
    let refused = site.visitor().submit("/sign-in", &fields).await;
    refused.says("The name or the password is not right");
}

#[tokio::test]
async fn a_password_is_changed_by_its_owner_and_every_other_browser_is_signed_out() {
    let site = TestSite::new().await;
    let jem = signed_in(&site, "Jem", Role::Member).await;
    let fields = [("name", "Jem"), ("password", PASSWORD)];
    let phone = site.browser(site.visitor().submit("/sign-in", &fields).await.signed_in());
    jem.get("/account").await.shown().says("/account/password");
    let new = "kettle lantern plum";

    let wrong = jem
        .submit(
            "/account/password",
            &[("current", "not mine"), ("new", new)],
        )
        .await;
    wrong
        .asks("That is not your password now")
        .says("Passwords are not sent back: type them again.")
        .does_not_say("Everything you typed is still here.")
        .does_not_say(new);
    jem.submit(
        "/account/password",
        &[("current", PASSWORD), ("new", "password1")],
    )
    .await
    .asks("tried first");
    jem.submit(
        "/account/password",
        &[("current", PASSWORD), ("new", "our club")],
    )
    .await
    .asks("not the club’s name");
    let changed = jem
        .submit("/account/password", &[("current", PASSWORD), ("new", new)])
        .await;
    let here = site.browser(changed.signed_in());
    assert_eq!(changed.taken(), "/account?done=password-changed");

    assert_eq!(status(&here).await, StatusCode::OK);
    assert_eq!(status(&jem).await, StatusCode::UNAUTHORIZED);
    assert_eq!(status(&phone).await, StatusCode::UNAUTHORIZED);
    let old = site.visitor().submit("/sign-in", &fields).await;
    assert_eq!(old.status, StatusCode::UNAUTHORIZED);
    let fields = [("name", "Jem"), ("password", new)];
    site.visitor().submit("/sign-in", &fields).await.taken();
}

#[tokio::test]
async fn an_officer_gives_the_password_again_after_twelve_hours_and_loses_nothing_typed() {
    let site = TestSite::new().await;
    let nell = signed_in(&site, "Nell", Role::Organiser).await;
    let angler = [("given", "Olly & co"), ("surname", "Tarnside")];
    site.pass(13 * HOUR);
    nell.get("/anglers").await.shown();
    let asked = nell.submit("/anglers", &angler).await;
    assert_eq!(asked.status, StatusCode::UNAUTHORIZED);
    asked
        .says("Your password again")
        .says("name=\"kept_path\" value=\"/anglers\"")
        .says("value=\"Olly &#38; co\"");
    let kept = [
        ("password_only", "yes"),
        ("kept_path", "/anglers"),
        ("kept_name", "given"),
        ("kept_value", "Olly & co"),
        ("kept_name", "surname"),
        ("kept_value", "Tarnside"),
    ];
    let wrong: Vec<_> = kept.iter().copied().chain([("password", "no")]).collect();
    nell.submit("/sign-in", &wrong)
        .await
        .says("Your password again")
        .says("value=\"Olly &#38; co\"");
    let right: Vec<_> = kept
        .iter()
        .copied()
        .chain([("password", PASSWORD)])
        .collect();
    let back = nell.submit("/sign-in", &right).await;
    let nell = site.browser(back.signed_in());
    back.shown()
        .says("action=\"/anglers\"")
        .says("name=\"given\" value=\"Olly &#38; co\"");
    nell.submit("/anglers", &[("given", "Olly"), ("surname", "Tarnside")])
        .await
        .taken();
    nell.get("/account").await.shown().says("(this one)");
}

#[tokio::test]
async fn a_member_is_not_asked_again_and_neither_is_an_officer_within_twelve_hours() {
    let site = TestSite::new().await;
    let jem = signed_in(&site, "Jem", Role::Member).await;
    let nell = signed_in(&site, "Nell", Role::Organiser).await;
    site.pass(11 * HOUR);
    nell.submit("/anglers", &[("given", "Olly"), ("surname", "Tarnside")])
        .await
        .taken();
    site.pass(2 * HOUR);
    jem.submit("/account/sign-ins", &[]).await.taken();
}

#[tokio::test]
async fn whoever_was_signed_out_meanwhile_is_asked_for_the_name_too() {
    let site = TestSite::new().await;
    let nell = signed_in(&site, "Nell", Role::Organiser).await;
    site.pass(13 * HOUR);
    nell.submit("/sign-out", &[]).await.taken();
    let fields = [
        ("password_only", "yes"),
        ("password", PASSWORD),
        ("kept_path", "/anglers"),
        ("kept_name", "given"),
        ("kept_value", "Olly"),
    ];
    nell.submit("/sign-in", &fields)
        .await
        .says("Sign-in name")
        .says("value=\"Olly\"");
}

#[tokio::test]
async fn every_sign_in_is_listed_and_the_others_end_at_one_press() {
    let site = TestSite::new().await;
    let jem = signed_in(&site, "Jem", Role::Member).await;
    let nell = signed_in(&site, "Nell", Role::Member).await;
    let fields = [("name", "Jem"), ("password", PASSWORD)];
    let phone = site.visitor().submit("/sign-in", &fields).await;
    let phone = site.browser(phone.signed_in());
    let listed = async |browser: &Actor| {
        let page = browser.get("/account").await.shown().body;
        (
            page.matches("<th scope=\"row\"").count(),
            page.matches("(this one)").count(),
        )
    };
    assert_eq!(listed(&jem).await, (2, 1));

    jem.submit("/account/sign-ins", &[]).await.taken();

    assert_eq!(listed(&jem).await, (1, 1));
    assert_eq!(status(&phone).await, StatusCode::UNAUTHORIZED);
    assert_eq!(
        status(&nell).await,
        StatusCode::OK,
        "somebody else’s is not touched"
    );
}

/// Is this text in the record's file or in its log?
fn is_on_disk(site: &TestSite, text: &str) -> bool {
    let file = site.site.db.file();
    let log = file.with_extension("sqlite3-wal");
    [file, log.as_path()].iter().any(|file| {
        let bytes = std::fs::read(file).unwrap_or_default();
        bytes
            .windows(text.len())
            .any(|some| some == text.as_bytes())
    })
}

#[tokio::test]
async fn what_signs_somebody_in_is_long_new_each_time_and_kept_only_as_a_hash() {
    let site = TestSite::new().await;
    let link = site.invited("Una", Role::Member).await;
    let unused = link.trim_start_matches("/links/").to_owned();
    let jem = signed_in(&site, "Jem", Role::Member).await;
    let fields = [("name", "Jem"), ("password", PASSWORD)];
    let phone = site.visitor().submit("/sign-in", &fields).await.signed_in();
    let token = |cookie: &str| cookie.split_once('=').expect("a pair").1.to_owned();
    let (one, other) = (token(&jem.cookie()), token(&phone));

    assert_ne!(one, other);
    // The search works: a name is there to be found.
    assert!(is_on_disk(&site, "Jem"));
    for secret in [one, other, unused] {
        // Letters of 32 kinds, five bits each: 26 of them hold 130 bits.
        assert!(secret.len() >= 26, "{} letters", secret.len());
        assert!(!is_on_disk(&site, &secret), "a secret lies in the record");
    }
    assert!(
        !is_on_disk(&site, PASSWORD),
        "a password lies in the record"
    );
}
