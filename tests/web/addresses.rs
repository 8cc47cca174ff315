//! An administrator is told when everybody seems to come from one address, as they do where a proxy
//! passes requests on that the program was not told of.

use std::net::SocketAddr;

use axum::{
    body::Body,
    extract::ConnectInfo,
    http::{Request, header},
};
use peglore::{domain::accounts::Role, settings::Settings};

use crate::support::{Actor, Answer, TestSite};

const TOLD: &str = "Everybody seems to come from one address";
const PROXY: [u8; 4] = [172, 17, 0, 2];
const ELSEWHERE: [u8; 4] = [203, 0, 113, 9];
const DAY: i64 = 86_400;

/// A page, asked for by the machine at `peer`, which says that it asks for `forwarded`.
async fn asked(actor: &Actor, peer: [u8; 4], forwarded: &str, page: &str) -> Answer {
    let mut request = Request::get(page)
        .header(header::COOKIE, actor.cookie())
        .header("x-forwarded-for", forwarded)
        .body(Body::empty())
        .expect("well formed");
    let peer = SocketAddr::from((peer, 40_000));
    request.extensions_mut().insert(ConnectInfo(peer));
    actor.send_as_is(request).await
}

async fn members(site: &TestSite, count: usize) -> Vec<Actor> {
    let mut members = Vec::new();
    for n in 1..=count {
        members.push(site.somebody(&format!("Angler {n}"), Role::Member).await);
    }
    members
}

/// Each member looks at a page through the proxy, every one from an address of their own.
async fn all_through_the_proxy(members: &[Actor]) {
    for (n, member) in members.iter().enumerate() {
        let own = format!("198.51.100.{n}");
        asked(member, PROXY, &own, "/account").await.shown();
    }
}

async fn desk(officer: &Actor) -> Answer {
    asked(officer, PROXY, "198.51.100.200", "/committee")
        .await
        .shown()
}

#[tokio::test]
async fn an_administrator_alone_is_told_when_five_accounts_come_from_one_address() {
    let site = TestSite::new().await;
    let (administrator, organiser) = (site.administrator().await, site.organiser().await);
    let members = members(&site, 4).await;

    all_through_the_proxy(&members).await;

    desk(&administrator)
        .await
        .says(TOLD)
        .says("172.17.0.2")
        .says("trusted_proxies")
        .does_not_say("198.51.100.");
    desk(&organiser).await.does_not_say(TOLD);
    // A restart forgets it until they have come again.
    let site = site.restarted().await;
    let again = site.browser(administrator.cookie());
    desk(&again).await.does_not_say(TOLD);
}

#[tokio::test]
async fn few_accounts_from_one_address_are_nothing_to_speak_of() {
    let site = TestSite::new().await;
    let administrator = site.administrator().await;
    let members = members(&site, 4).await;

    all_through_the_proxy(&members[..3]).await;
    // The same people again are no more of them, and whoever is not signed in is not counted.
    all_through_the_proxy(&members[..3]).await;
    asked(&site.visitor(), PROXY, "198.51.100.9", "/")
        .await
        .shown();
    desk(&administrator).await.does_not_say(TOLD);

    site.pass(8 * DAY);
    all_through_the_proxy(&members[3..]).await;
    desk(&administrator).await.does_not_say(TOLD);
}

#[tokio::test]
async fn one_who_comes_from_elsewhere_is_enough_for_a_week() {
    let site = TestSite::new().await;
    let administrator = site.administrator().await;
    let members = members(&site, 6).await;
    let (guest, others) = members.split_first().expect("six of them");

    all_through_the_proxy(others).await;
    asked(guest, ELSEWHERE, "198.51.100.9", "/account")
        .await
        .shown();
    all_through_the_proxy(others).await;
    desk(&administrator).await.does_not_say(TOLD);

    site.pass(8 * DAY);
    all_through_the_proxy(others).await;
    desk(&administrator).await.says(TOLD);
}

#[tokio::test]
async fn nobody_is_told_once_the_proxy_is_listed() {
    let site = TestSite::with(Settings {
        trusted_proxies: vec![PROXY.into()],
        ..Settings::default()
    })
    .await;
    let administrator = site.administrator().await;
    let members = members(&site, 6).await;

    all_through_the_proxy(&members).await;

    desk(&administrator).await.does_not_say(TOLD);
}
