//! Every page of the demonstration in a real browser: the accessibility engine in both colour
//! schemes, widths, letter sizes, what is left where the system chooses the colours, and no
//! request to anybody else.

use std::{collections::HashSet, path::Path};

use axum::http::Method;
use peglore::{
    domain::dates::{Instant, Zone},
    web::routes,
};
use serde_json::{Value, json};

use super::{
    behind,
    chrome::{Chrome, Script},
};
use crate::{
    crash::harness::{
        http::Browser,
        process::{self, Server},
    },
    support::pages,
};

/// Rows of the table that show no page.
const NO_PAGE: [&str; 3] = ["/healthz", "/readyz", "/static/{fingerprint}/{*name}"];

/// Forms that come back with what is to mend when they are sent as they open.
const REFUSED: [&str; 10] = [
    "/matches/new",
    "/venues/new",
    "/report?venue=1",
    "/report/quick",
    "/anglers",
    "/imports/new",
    "/venues/1/closures",
    "/venues/1/diary",
    "/venues/1/water",
    "/account/password",
];

/// Violations that would keep somebody out, with the enhanced contrast of WCAG 2.2, 1.4.6 (7:1) added.
const ENGINE: &str = "
const done = arguments[arguments.length - 1];
axe.run(document, { resultTypes: ['violations'], rules: { 'color-contrast-enhanced': { enabled: true } } }).then(found => done(
  found.violations.filter(v => v.impact === 'serious' || v.impact === 'critical')
    .map(v => v.id + ': ' + v.nodes.slice(0, 2).map(n => n.html.slice(0, 160) + ' (' + ((n.any[0] || n.all[0] || n.none[0] || {}).message || '') + ')').join('; '))));";

/// Text smaller than 16 px that a reader sees.
const SMALL: &str = "
const small = new Set(), walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
while (walk.nextNode()) {
  const element = walk.currentNode.parentElement;
  if (!walk.currentNode.data.trim() || !element.checkVisibility() || element.closest('.unseen, svg')) continue;
  const size = parseFloat(getComputedStyle(element).fontSize);
  if (size < 16) small.add(size + ' px: ' + element.outerHTML.slice(0, 100));
}
return [...small].slice(0, 3);";

/// A page that does not show that all in it is made up.
const UNMARKED: &str = "
return document.querySelector('.made-up')?.checkVisibility() ? [] : ['does not show that it is made up'];";

/// What reaches beyond a page 320 px wide.
const WIDE: &str = "
if (document.documentElement.scrollWidth <= 320) return [];
return ['the page is ' + document.documentElement.scrollWidth + ' px wide: ' +
  [...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > 321).slice(0, 2).map(e => e.outerHTML.slice(0, 120)).join(' ')];";

/// What reaches beyond a page 390 px wide once every letter is twice as large, or is printed over
/// something else in its head (WCAG 2.2, 1.4.4).
const LARGE: &str = "
const root = document.documentElement;
root.style.setProperty('font-size', '36px');
const wrong = [];
if (root.scrollWidth > 390) wrong.push('with letters twice as large the page is ' + root.scrollWidth + ' px wide');
const words = document.createRange();
words.selectNodeContents(document.querySelector('.masthead .club'));
const club = words.getBoundingClientRect(), who = document.querySelector('.masthead .who a')?.getBoundingClientRect();
if (who && club.right > who.left && club.bottom > who.top) wrong.push('with letters twice as large a name is printed over the club');
root.style.removeProperty('font-size');
return wrong;";

fn engine() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("target/browser/node_modules/axe-core/axe.min.js");
    std::fs::read_to_string(&path).unwrap_or_else(|e| {
        panic!(
            "the accessibility engine is not in {}: {e}. tests/run installs it",
            path.display()
        )
    })
}

/// The demonstration, and its administrator's one-time link.
pub(super) async fn demonstration() -> (Server, String) {
    let mut command = process::program();
    command.arg("demo");
    let server = Server::from(command);
    // The links are printed just after the address.
    loop {
        let printed = server.printed();
        let line = printed
            .lines()
            .find(|line| line.contains("an administrator"));
        if let Some((_, secret)) = line.and_then(|line| line.split_once("/links/")) {
            let link = format!("http://{}/links/{}", server.address, secret.trim());
            return (server, link);
        }
        tokio::time::sleep(std::time::Duration::from_millis(20)).await;
    }
}

/// Signs the browser in; a second, plain one with the same cookie.
pub(super) async fn signed_in(chrome: &Chrome, server: &Server, link: &str) -> Browser {
    chrome.goto(link).await;
    chrome.tap("main form button").await;
    chrome.says("Sign out").await;
    Browser {
        address: server.address,
        cookie: chrome.cookie("peglore").await,
    }
}

pub(super) async fn complaints(chrome: &Chrome, script: &str) -> Vec<String> {
    texts(&chrome.run(script, Vec::new()).await)
}

fn texts(value: &Value) -> Vec<String> {
    let all = value.as_array().cloned().unwrap_or_default();
    all.iter()
        .map(|one| one.as_str().unwrap_or_default().to_owned())
        .collect()
}

/// Everything wrong with one page.
async fn looked_at(chrome: &Chrome, engine: &str, origin: &str, address: &str) -> Vec<String> {
    chrome.size(390, 844).await;
    chrome.goto(&format!("{origin}{address}")).await;
    let large = complaints(chrome, LARGE).await;
    let large = large.iter().map(|what| format!("{address} {what}"));
    let mut wrong: Vec<String> = large.collect();
    wrong.extend(wrong_with(chrome, engine, origin, address).await);
    wrong
}

/// Everything wrong with the page that comes back when the form there is sent as it opens.
async fn refused(chrome: &Chrome, engine: &str, origin: &str, address: &str) -> Vec<String> {
    chrome.size(390, 844).await;
    chrome.goto(&format!("{origin}{address}")).await;
    chrome.tap("main form[method=post] button.do").await;
    chrome.find("main .summary[role=alert]").await;
    wrong_with(chrome, engine, origin, &format!("{address}, refused,")).await
}

/// Everything wrong with the page that is open.
async fn wrong_with(chrome: &Chrome, engine: &str, origin: &str, address: &str) -> Vec<String> {
    let mut wrong = Vec::new();
    chrome.run(engine, Vec::new()).await;
    for scheme in ["light", "dark"] {
        chrome.scheme(scheme).await;
        let found = chrome.client.execute_async(ENGINE, Vec::new()).await;
        let found = texts(&found.expect("the engine runs"));
        wrong.extend(
            found
                .iter()
                .map(|what| format!("{address} ({scheme}) {what}")),
        );
    }
    for script in [SMALL, UNMARKED] {
        for what in complaints(chrome, script).await {
            wrong.push(format!("{address} {what}"));
        }
    }
    chrome.size(320, 700).await;
    for what in complaints(chrome, WIDE).await {
        wrong.push(format!("{address} {what}"));
    }
    let asked = chrome.asked_for(origin).await;
    assert!(!asked.is_empty(), "{address}: the log of requests is empty");
    let elsewhere = asked
        .iter()
        .filter(|a| !a.starts_with(origin) && !a.starts_with("data:"));
    wrong.extend(elsewhere.map(|a| format!("{address} asked {a}")));
    wrong
}

/// What is lost on the page that is open where the system chooses the colours. The kinds of marks
/// and bands that were looked at go into `kinds`.
async fn lost(chrome: &Chrome, address: &str, kinds: &mut HashSet<String>) -> Vec<String> {
    let mut wrong = Vec::new();
    for scheme in ["light", "dark"] {
        chrome.forced_colours(scheme).await;
        let found = chrome.run(include_str!("forced.js"), Vec::new()).await;
        kinds.extend(texts(&found["kinds"]));
        wrong.extend(
            texts(&found["wrong"])
                .iter()
                .map(|what| format!("{address} ({scheme}, colours forced) {what}")),
        );
    }
    wrong
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn every_page_is_fit_for_every_reader_in_every_scheme_and_asks_nobody_else() {
    let engine = engine();
    let (server, link) = demonstration().await;
    let origin = format!("http://{}", server.address);
    let chrome = Chrome::open(Script::On).await;
    let (mut wrong, mut kinds) = (Vec::new(), HashSet::new());
    let one_time = link.strip_prefix(&origin).expect("a link to this site");
    let for_visitors = ["/", "/sign-in", one_time];
    for address in for_visitors {
        wrong.extend(looked_at(&chrome, &engine, &origin, address).await);
        wrong.extend(lost(&chrome, address, &mut kinds).await);
    }
    let browser = signed_in(&chrome, &server, &link).await;
    let now = Instant(jiff::Timestamp::now().as_second());
    let today = now.day(&Zone::named("Europe/London").expect("in the zone table"));
    let mut addresses = behind::files(&browser, today).await;
    let walk = pages::walk(&browser, &["/".to_owned()]).await;
    let mut seen = HashSet::new();
    for page in walk.pages {
        if seen.insert(page.pattern) && !addresses.contains(&page.address) {
            addresses.push(page.address);
        }
    }
    let looked: HashSet<_> = (addresses.iter().map(String::as_str))
        .chain(for_visitors)
        .filter_map(|address| pages::pattern_of(&Method::GET, address))
        .collect();
    let passed_over: Vec<_> = routes::table()
        .into_iter()
        .filter(|route| route.method == Method::GET && !route.path.ends_with(".csv"))
        .map(|route| route.path)
        .filter(|path| !NO_PAGE.contains(path) && !looked.contains(path))
        .collect();
    assert!(passed_over.is_empty(), "not looked at: {passed_over:?}");
    addresses.push("/no-such-page".to_owned());
    for address in &addresses {
        wrong.extend(looked_at(&chrome, &engine, &origin, address).await);
        wrong.extend(lost(&chrome, address, &mut kinds).await);
    }
    for address in REFUSED {
        wrong.extend(refused(&chrome, &engine, &origin, address).await);
        wrong.extend(lost(&chrome, address, &mut kinds).await);
    }
    // Of the pictures on these pages every kind was looked at, and the bands with them.
    let missed: Vec<_> = ["air", "rain", "wind", "stem", "foot-mark", "band"]
        .into_iter()
        .filter(|kind| !kinds.contains(*kind))
        .collect();
    assert!(missed.is_empty(), "no {missed:?} among {kinds:?}");
    println!(
        "{} pages looked at, as a visitor {}, refused {}",
        addresses.len(),
        for_visitors.len(),
        REFUSED.len()
    );
    assert!(
        wrong.is_empty(),
        "{} complaints:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_a_thumb_must_hit_is_large_enough_and_apart() {
    let (server, link) = demonstration().await;
    let origin = format!("http://{}", server.address);
    let chrome = Chrome::open(Script::On).await;
    let browser = signed_in(&chrome, &server, &link).await;
    let matches = browser.get("/matches").await.expect("an answer").text();
    let weights = pages::links_of(&matches)
        .into_iter()
        .find_map(|link| {
            link.strip_suffix("/result")
                .map(|the_match| format!("{the_match}/weights"))
        })
        .expect("the demonstration has matches");
    let mut wrong = Vec::new();
    for page in ["/report?venue=1", "/report/quick", weights.as_str()] {
        for width in [320, 360, 412, 915] {
            chrome.size(width, 800).await;
            chrome.goto(&format!("{origin}{page}")).await;
            // Folded parts are opened: what is in them is tapped too.
            chrome
                .run(
                    "document.querySelectorAll('details').forEach(d => { d.open = true; })",
                    Vec::new(),
                )
                .await;
            let found = chrome
                .run(include_str!("targets.js"), vec![json!(48), json!(8)])
                .await;
            assert!(
                found["measured"].as_u64().is_some_and(|count| count > 3),
                "{page}: {found}"
            );
            wrong.extend(
                texts(&found["wrong"])
                    .iter()
                    .map(|what| format!("{page} at {width} px: {what}")),
            );
        }
    }
    assert!(
        wrong.is_empty(),
        "{} complaints:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

/// Where the room of a result's first line goes, in per cent of the table: place, name, all.
const ROOM: &str = "
const row = document.querySelector('.frame-table tbody tr'), table = row.closest('table').clientWidth;
const share = cell => Math.round(100 * cell.getBoundingClientRect().width / table);
return [share(row.querySelector('.place')), share(row.querySelector('th')), Math.round(100 * document.documentElement.scrollWidth / innerWidth)];";

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_result_on_a_phone_gives_its_room_to_the_names() {
    let (server, link) = demonstration().await;
    let origin = format!("http://{}", server.address);
    let chrome = Chrome::open(Script::On).await;
    let browser = signed_in(&chrome, &server, &link).await;
    let matches = browser.get("/matches").await.expect("an answer").text();
    let result = pages::links_of(&matches)
        .into_iter()
        .find(|link| link.ends_with("/result"))
        .expect("the demonstration has matches");
    for width in [320, 390, 500] {
        chrome.size(width, 800).await;
        chrome.goto(&format!("{origin}{result}")).await;
        let room = chrome.run(ROOM, Vec::new()).await;
        let [place, name, page] = [0, 1, 2].map(|at| room[at].as_u64().expect("a share"));
        assert!(place <= 20, "{width} px: {room}");
        assert!(name >= 40, "{width} px: {room}");
        assert!(page <= 100, "{width} px: {room}");
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn on_a_desk_what_it_took_stays_on_its_sheet_and_no_rule_stands_inside_a_sentence() {
    let (server, _link) = demonstration().await;
    let origin = format!("http://{}", server.address);
    let chrome = Chrome::open(Script::On).await;
    chrome.size(1280, 800).await;
    chrome
        .goto(&format!("{origin}/venues/1/what-it-took"))
        .await;
    let beyond = "const box = document.querySelector('.scroll:has(> .stack)'); return box.scrollWidth - box.clientWidth;";
    let beyond = chrome.run(beyond, Vec::new()).await;
    assert_eq!(beyond.as_i64(), Some(0), "pixels beyond the sheet");
    chrome.goto(&format!("{origin}/venues/1/diary")).await;
    let rules = "return [...document.querySelectorAll('.diary .remarks')].map(line => getComputedStyle(line).borderLeftWidth);";
    let rules = texts(&chrome.run(rules, Vec::new()).await);
    assert!(!rules.is_empty(), "the demonstration has a diary");
    assert!(rules.iter().all(|rule| rule == "0px"), "{rules:?}");
}
