//! People who sign in and anglers on the list, as officers look after them.

use axum::http::StatusCode;
use peglore::{
    actions::daily_backup,
    domain::accounts::Role,
    settings::{PublicAddress, Settings},
};

use crate::support::{Actor, Answer, TestSite, record::asked};

const PASSWORD: &str = "wet bank cold hands";

/// What follows `before` on a page, up to the next quotation mark.
fn after(answer: &Answer, before: &str) -> String {
    let rest = answer.body.split(before).nth(1).expect("it is on the page");
    rest.split(['"', '<']).next().expect("some text").to_owned()
}

#[tokio::test]
async fn an_invite_is_shown_once_and_lets_a_member_in() {
    let site = TestSite::new().await;
    let administrator = site.administrator().await;
    let form = [("name", "Jem Coppleway"), ("role", "member")];
    let answer = administrator
        .submit("/committee/people", &form)
        .await
        .shown();
    answer.says("It is shown this once");
    let link = after(&answer, "id=\"link\" value=\"");
    site.visitor()
        .submit(&link, &[("password", PASSWORD)])
        .await
        .taken();

    administrator
        .get("/committee/people")
        .await
        .shown()
        .says("Jem Coppleway")
        .says("member, can sign in")
        .does_not_say("/links/");
    administrator
        .submit("/committee/people", &form)
        .await
        .asks("That sign-in name is in use");
    assert_eq!(
        site.visitor()
            .submit(&link, &[("password", PASSWORD)])
            .await
            .status,
        StatusCode::NOT_FOUND
    );
}

#[tokio::test]
async fn a_link_is_shown_whole_by_the_address_that_was_reached() {
    let site = TestSite::new().await;
    let administrator = site.administrator().await;
    let invite = |name: &str, headers: &[(&str, &str)]| {
        let mut request = axum::http::Request::post("/committee/people")
            .header("sec-fetch-site", "same-origin")
            .header("content-type", "application/x-www-form-urlencoded")
            .header("cookie", administrator.cookie());
        for (name, value) in headers {
            request = request.header(*name, *value);
        }
        let body = format!("name={name}&role=member");
        request
            .body(axum::body::Body::from(body))
            .expect("a request")
    };
    let plain = invite("Jem+Coppleway", &[("host", "bank.example:8080")]);
    let answer = administrator.send_as_is(plain).await.shown();
    answer
        .says("value=\"http://bank.example:8080/links/")
        .says("It begins with http://bank.example:8080, by which you came here")
        .says("<code>public_address</code>")
        .does_not_say("Put the address");

    let here = invite("Tam+Oxbarrow", &[("host", "127.0.0.1:8103")]);
    let answer = administrator.send_as_is(here).await.shown();
    answer
        .says("value=\"http://127.0.0.1:8103/links/")
        .says("It does not open on any other machine")
        .says("<code>public_address</code>");

    let through = [("host", "127.0.0.1:8080"), ("x-forwarded-for", "192.0.2.7")];
    let through = invite("Dot+Hazelpatch", &through);
    let answer = administrator.send_as_is(through).await.shown();
    answer
        .says("value=\"/links/")
        .says("Put the address you reach this site by before it")
        .does_not_say("http://127.0.0.1");
}

#[tokio::test]
async fn an_administrator_is_warned_while_sign_ins_are_not_kept_to_https() {
    const TOLD: &str = "Passwords may be read on their way";
    let asked = async |actor: &Actor, host: &str| {
        let request = axum::http::Request::get("/committee")
            .header("host", host)
            .header("cookie", actor.cookie())
            .body(axum::body::Body::empty())
            .expect("a request");
        actor.send_as_is(request).await.shown()
    };
    let site = TestSite::new().await;
    let (administrator, organiser) = (site.administrator().await, site.organiser().await);
    asked(&administrator, "192.168.1.20:8080")
        .await
        .says(TOLD)
        .says("<code>public_address</code>");
    asked(&organiser, "192.168.1.20:8080")
        .await
        .does_not_say(TOLD);
    asked(&administrator, "127.0.0.1:8103")
        .await
        .does_not_say(TOLD);

    let public = PublicAddress::parse("https://club.example").expect("an address");
    let settings = Settings {
        public_address: Some(public),
        ..Settings::default()
    };
    let site = TestSite::with(settings).await;
    let administrator = site.administrator().await.cookie();
    let kept = administrator.replacen("peglore=", "__Host-peglore=", 1);
    asked(&site.browser(kept), "club.example")
        .await
        .does_not_say(TOLD);
}

#[tokio::test]
async fn a_link_by_the_public_address_needs_no_hint() {
    let public = PublicAddress::parse("http://club.example").expect("an address");
    let settings = Settings {
        public_address: Some(public),
        ..Settings::default()
    };
    let site = TestSite::with(settings).await;
    let form = [("name", "Jem Coppleway"), ("role", "member")];
    let administrator = site.administrator().await;
    let answer = administrator.submit("/committee/people", &form).await;
    answer
        .shown()
        .says("value=\"http://club.example/links/")
        .does_not_say("public_address");
}

#[tokio::test]
async fn an_account_is_given_another_role_a_new_password_and_disabled() {
    let site = TestSite::new().await;
    let administrator = site.administrator().await;
    let jem = site.somebody("Jem", Role::Member).await;
    jem.get("/anglers").await.shown();
    let list = administrator.get("/committee/people").await;
    let jems = list
        .body
        .split("<li>")
        .find(|line| line.contains(">Jem<"))
        .expect("a row")
        .to_owned();
    let path = jems
        .split("href=\"")
        .nth(1)
        .and_then(|rest| rest.split('"').next())
        .expect("a link")
        .to_owned();

    administrator
        .submit(&format!("{path}/role"), &[("role", "organiser")])
        .await
        .taken();
    administrator.get(&path).await.shown().says("organiser;");
    assert_eq!(jem.get("/anglers").await.status, StatusCode::UNAUTHORIZED);
    administrator
        .submit(&format!("{path}/role"), &[("role", "king")])
        .await
        .asks("Choose what the account may do");

    let link = after(
        &administrator
            .submit(&format!("{path}/link"), &[])
            .await
            .shown(),
        "id=\"link\" value=\"",
    );
    administrator
        .submit(&format!("{path}/access"), &[("access", "disable")])
        .await
        .taken();
    assert_eq!(
        site.visitor().get(&link).await.status,
        StatusCode::NOT_FOUND
    );
    administrator
        .submit(&format!("{path}/access"), &[("access", "enable")])
        .await
        .taken();
    site.visitor()
        .submit(&link, &[("password", PASSWORD)])
        .await
        .taken();
}

#[tokio::test]
async fn organisers_have_the_desk_but_not_the_accounts() {
    let site = TestSite::new().await;
    let organiser = site.organiser().await;
    organiser
        .get("/committee")
        .await
        .shown()
        .says("href=\"/anglers\"")
        .does_not_say("/committee/people");
    assert_eq!(
        organiser.get("/committee/people").await.status,
        StatusCode::FORBIDDEN
    );
    site.administrator()
        .await
        .get("/committee")
        .await
        .shown()
        .says("/committee/people");
}

#[tokio::test]
async fn administrators_see_when_the_latest_backup_was_proved_and_where_it_lies() {
    let site = TestSite::new().await;
    let administrator = site.administrator().await;
    let folder = daily_backup::folder(&site.site.db);
    let desk = administrator.get("/committee").await.shown();
    desk.says("No daily backup has been made yet.")
        .says(&folder.display().to_string());

    daily_backup::back_up(&site.site.db, &folder, 3, site.site.now())
        .await
        .expect("made");
    site.pass(3_600);

    let desk = administrator.get("/committee").await.shown();
    desk.says("Latest proved backup: Sat 14 Nov 2026, 12:00 GMT, in")
        .says(&folder.display().to_string())
        .does_not_say("The record is damaged");
    let organisers = site.organiser().await.get("/committee").await.shown();
    organisers.does_not_say(&folder.display().to_string());
}

#[tokio::test]
async fn an_angler_is_added_without_an_account_and_a_twin_is_asked_about() {
    let site = TestSite::new().await;
    let organiser = site.organiser().await;
    organiser
        .get("/anglers")
        .await
        .shown()
        .says("Nobody is on the list yet");
    organiser
        .submit("/anglers", &[("given", ""), ("surname", "Tarn")])
        .await
        .asks("Enter a first name")
        .says("value=\"Tarn\"");
    organiser
        .submit(
            "/anglers",
            &[("given", "Olly"), ("surname", "Tarn"), ("junior", "on")],
        )
        .await
        .taken();
    organiser
        .submit("/anglers", &[("given", "olly"), ("surname", "tarn")])
        .await
        .asks("is on the list already");
    organiser
        .submit(
            "/anglers",
            &[("given", "Olly"), ("surname", "Tarn"), ("another", "on")],
        )
        .await
        .taken();

    let list = organiser.get("/anglers").await.shown();
    assert_eq!(list.body.matches("Olly Tarn").count(), 2);
    let members = site.member().await.get("/anglers").await.shown();
    members
        .says("Olly T.")
        .does_not_say("without an account")
        .does_not_say("Add this angler");
    assert_eq!(
        site.visitor().get("/anglers").await.status,
        StatusCode::UNAUTHORIZED
    );
}

#[tokio::test]
async fn an_angler_is_renamed_and_joined_to_one_account_only() {
    let site = TestSite::new().await;
    let administrator = site.administrator().await;
    let jem = site.somebody("Jem", Role::Member).await;
    administrator
        .submit("/anglers", &[("given", "J"), ("surname", "Coppleway")])
        .await
        .taken();
    let angler = after(&administrator.get("/anglers").await, "href=\"/anglers/");
    let page = format!("/anglers/{angler}");
    administrator
        .submit(&page, &[("given", "Jem"), ("surname", "Coppleway")])
        .await
        .taken();
    jem.get(&page)
        .await
        .shown()
        .says("Jem Coppleway")
        .does_not_say("<form method=\"post\" action=\"/anglers");

    let list = administrator.get("/committee/people").await;
    let path = |name: &str| {
        let row = list
            .body
            .split("<li>")
            .find(|line| line.contains(&format!(">{name}<")) && line.contains("/committee/people/"))
            .expect("a row");
        row.split("href=\"")
            .nth(1)
            .and_then(|rest| rest.split('"').next())
            .expect("a link")
            .to_owned()
    };
    administrator
        .submit(&format!("{}/angler", path("Jem")), &[("angler", &angler)])
        .await
        .taken();
    administrator.get(&page).await.says("with an account");
    administrator
        .submit(
            &format!("{}/angler", path("Administrator")),
            &[("angler", &angler)],
        )
        .await
        .asks("belongs to another account");
    administrator
        .submit(&format!("{}/angler", path("Jem")), &[("angler", "")])
        .await
        .taken();
    administrator.get(&page).await.says("without an account");
}

#[tokio::test]
async fn an_account_is_offered_the_angler_of_its_name_and_joined_in_two_steps() {
    let site = TestSite::new().await;
    let administrator = site.administrator().await;
    site.somebody("jem coppleway", Role::Member).await;
    for (given, surname) in [("Jem", "Coppleway"), ("Dot", "Hazelpatch")] {
        administrator
            .submit("/anglers", &[("given", given), ("surname", surname)])
            .await
            .taken();
    }
    let pid = "SELECT pid FROM accounts WHERE name = 'jem coppleway'";
    let page = format!("/committee/people/{}", asked::<String>(&site, pid).await);
    let pid = "SELECT g.pid FROM anglers AS g JOIN labels AS l ON l.id = g.label_id WHERE l.given = 'Jem'";
    let angler = asked::<String>(&site, pid).await;
    let look = format!("{page}?angler={angler}");

    administrator
        .get(&page)
        .await
        .shown()
        .says(&format!("href=\"{look}\""))
        .does_not_say("Dot Hazelpatch</span>, whom");
    administrator
        .get(&look)
        .await
        .shown()
        .says("is chosen below")
        .says(&format!("value=\"{angler}\" selected"));
    administrator
        .submit(&format!("{page}/angler"), &[("angler", &angler)])
        .await
        .taken();
    administrator
        .get(&page)
        .await
        .shown()
        .does_not_say("Is it the same person?");
}
