//! Whole journeys at phone size, with scripts and without, at the root and under a path.

use std::time::{Duration, Instant};

use fantoccini::Locator;
use peglore::domain::dates::{self, Zone};
use tempfile::TempDir;

use super::{
    chrome::{Chrome, Script},
    club::{Club, Place},
};

/// A day before today at the water, as the form wants it.
fn days_ago(days: i64) -> String {
    let zone = Zone::named("Europe/London").expect("in the zone table");
    let now = dates::Instant(jiff::Timestamp::now().as_second());
    now.day(&zone).plus(-days).to_string()
}

pub(super) async fn sign_in(chrome: &Chrome, link: &str) {
    chrome.goto(link).await;
    chrome.tap("main form button").await;
    chrome.says("Sign out").await;
}

/// An angler opens the link, reports yesterday in full, and today in four taps and a number.
async fn an_angler_reports(script: Script, place: Place) {
    let club = Club::open(place).await;
    let chrome = Chrome::open(script).await;
    sign_in(&chrome, &club.links.angler).await;

    chrome.tap_link("Report").await;
    chrome.arrives(|path| path.ends_with("/report")).await;
    chrome.tap("ul.entries a").await;
    chrome.write("peg", &club.pegs[0]).await;
    chrome.set("date", &days_ago(1)).await;
    chrome.set("start", "00:00").await;
    chrome.set("end", "00:02").await;
    chrome.choose("method_1", "1").await;
    chrome.write("line_1", "11").await;
    chrome.write("silvers_number", "five").await;
    chrome.write("silvers_weight", "3-4").await;
    chrome.write("remarks", "Bites from the first cast.").await;
    chrome.tap("input[name=visibility][value=club]").await;
    chrome.tap("form.report .settle button.do").await;
    // A slip is named where it is, and nothing typed is lost.
    chrome.says("not a whole number").await;
    assert!(
        chrome
            .client
            .title()
            .await
            .expect("a title")
            .starts_with("Error:")
    );
    chrome.write("silvers_number", "5").await;
    chrome
        .tap("form.report .settle button[value=read-back]")
        .await;
    chrome.says("Nothing is saved yet").await;
    chrome.says("5 fish, 3 lb 4 oz").await;
    chrome.tap("form.report .settle button.do").await;
    chrome.arrives(|path| path.contains("/sessions/")).await;
    chrome.says("5 fish, 3 lb 4 oz").await;
    chrome.says("Bites from the first cast.").await;
    assert!(
        chrome
            .here()
            .await
            .starts_with(&format!("{}/sessions/", club.address))
    );

    chrome.goto(&format!("{}/", club.address)).await;
    let mut taps = 0;
    chrome.tap_link("Report").await;
    taps += 1;
    chrome.arrives(|path| path.ends_with("/report")).await;
    chrome.tap_link("Same water, same peg as last time").await;
    taps += 1;
    chrome.arrives(|path| path.ends_with("/report/quick")).await;
    let number = chrome.find("form.report input[name$=_number]").await;
    number.click().await.expect("it can be tapped");
    taps += 1;
    number.send_keys("7").await.expect("it can be typed into");
    chrome.tap("form.report button.do").await;
    taps += 1;
    chrome.says("7 fish").await;
    assert!(taps <= 4, "{taps} taps");
    chrome.tap_link("My sessions").await;
    chrome.arrives(|path| path.ends_with("/sessions")).await;
    assert!(
        chrome
            .client
            .find_all(Locator::Css("main a[href*=\"/sessions/\"]"))
            .await
            .expect("links")
            .len()
            >= 2
    );
}

/// Waits until a script of ours answers that it is so, also of a page of the browser's own.
async fn becomes(chrome: &Chrome, script: &str) {
    let until = Instant::now() + Duration::from_secs(15);
    loop {
        let answer = chrome.client.execute(script, Vec::new()).await;
        if answer.is_ok_and(|answer| answer == true) {
            return;
        }
        let here = chrome.here().await;
        assert!(Instant::now() < until, "not so on {here}: {script}");
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
}

/// A report that never arrived: Back finds it as it was typed, and it is sent again.
async fn an_angler_goes_back_from_a_sending_that_failed(script: Script) {
    let mut club = Club::open(Place::Root).await;
    let chrome = Chrome::open(script).await;
    sign_in(&chrome, &club.links.angler).await;
    chrome
        .goto(&format!("{}/report?venue=1", club.address))
        .await;
    chrome.set("date", &days_ago(1)).await;
    chrome.set("start", "00:00").await;
    chrome.set("end", "00:05").await;
    chrome.write("silvers_number", "14").await;
    chrome
        .write("remarks", "Typed before the line went down.")
        .await;
    chrome.tap("input[name=visibility][value=club]").await;

    let address = club.stop();
    chrome.tap("form.report .settle button.do").await;
    let failed = "return document.querySelector('form.report') === null";
    becomes(&chrome, failed).await;
    chrome.client.back().await.expect("there is a page before");
    let filled = "const box = document.querySelector('[name=remarks]');
        return box !== null && box.value === 'Typed before the line went down.'";
    becomes(&chrome, filled).await;

    club.start_again(address);
    chrome.tap("form.report .settle button.do").await;
    chrome.arrives(|path| path.contains("/sessions/")).await;
    chrome.says("14 fish").await;
    chrome.says("Typed before the line went down.").await;
}

/// An old sheet, brought in column by column.
async fn bring_in_a_sheet(chrome: &Chrome) {
    let folder = TempDir::new().expect("a throw-away folder");
    let sheet = folder.path().join("may 2019.csv");
    let rows = "Date,Angler,Peg,Weight\n2019-05-04,Garth Pinnock,3,12 lb 8 oz\n2019-05-04,N. Sallowby,4,3 lb 2 oz\n";
    std::fs::write(&sheet, rows).expect("writable");
    chrome.tap_link("Committee").await;
    chrome.tap_link("Old sheets").await;
    chrome.arrives(|path| path.ends_with("/imports")).await;
    chrome.tap_link("Bring in a sheet").await;
    chrome.arrives(|path| path.ends_with("/imports/new")).await;
    chrome.tap("input[name=kind][value=results]").await;
    let file = chrome.find("input[name=file]").await;
    file.send_keys(&sheet.to_string_lossy())
        .await
        .expect("it can be chosen");
    chrome.tap("main form button.do").await;
    chrome.says("What the columns hold").await;
    chrome.choose("venue", "Quillet Water").await;
    chrome.write("match_name", "Old May Match").await;
    chrome.choose("pegs_allotted", "bag").await;
    chrome.write("hours", "5 hours").await;
    for group in ["carp", "silvers"] {
        chrome.tap(&format!("input[name=group-{group}]")).await;
    }
    chrome.tap("main .settle button.do").await;
    // One of that surname and initial is on the list: the doubt is asked about, not decided.
    chrome.says("Names in doubt").await;
    let doubt = chrome.find("main .fields select").await;
    let answer = doubt.select_by_label("a new angler").await;
    answer.expect("one of the answers");
    chrome.tap("main .settle button.do").await;
    chrome.says("Nothing is in the record yet.").await;
    chrome.says("Old May Match").await;
    chrome.tap("main form button.do").await;
    chrome.says("Undo the whole file").await;
}

/// An organiser makes a match, adds two anglers, types their weights and publishes.
async fn an_organiser_posts_a_match(script: Script) {
    let club = Club::open(Place::Root).await;
    let chrome = Chrome::open(script).await;
    sign_in(&chrome, &club.links.organiser).await;
    bring_in_a_sheet(&chrome).await;

    chrome.tap_link("Matches").await;
    chrome.tap_link("Make a match").await;
    chrome.arrives(|path| path.ends_with("/matches/new")).await;
    chrome.write("name", "Alder Shield").await;
    chrome.choose("venue", "1").await;
    chrome.set("on", &days_ago(1)).await;
    chrome.set("start", "09:00").await;
    chrome.set("finish", "14:00").await;
    chrome.choose("pegs_allotted", "bag").await;
    chrome.choose("ranking", "0").await;
    for group in ["carp", "silvers"] {
        chrome.choose(&format!("group-{group}"), "together").await;
    }
    chrome.tap("main form button.do").await;
    chrome.says("Add anglers").await;
    chrome.tap("main form details.rows summary").await;
    let names = ["Wilf Nettlecombe", "Ida Marlpit"];
    for (row, (name, peg)) in names.into_iter().zip(&club.pegs).enumerate() {
        chrome.write(&format!("name-{row}"), name).await;
        chrome.write(&format!("peg-{row}"), peg).await;
    }
    chrome.tap("main form button.do").await;
    chrome.says("Wilf Nettlecombe").await;
    chrome.tap_link("Enter weights").await;
    // The page before has fieldsets too.
    chrome.arrives(|path| path.ends_with("/weights")).await;
    let sheet = Locator::Css("main fieldset");
    for (fieldset, weight) in chrome
        .client
        .find_all(sheet)
        .await
        .expect("a sheet")
        .into_iter()
        .zip(["12-8", "8 lb 4 oz"])
    {
        let net = fieldset.find(Locator::Css("input[name^=net-]")).await;
        net.expect("a net")
            .send_keys(weight)
            .await
            .expect("it can be typed into");
    }
    chrome.tap("main form button.do").await;
    chrome.says("Saved.").await;
    let publish = format!(
        "{}/publication",
        chrome
            .here()
            .await
            .split("/weights")
            .next()
            .unwrap_or_default()
            .split('?')
            .next()
            .unwrap_or_default()
    );
    chrome.goto(&publish).await;
    chrome.says("12 lb 8 oz").await;
    chrome.tap("main form button.do").await;
    chrome.says("Published.").await;
    chrome.says("Alder Shield").await;
    // Anybody reads it, without signing in.
    let result = chrome.here().await;
    chrome
        .client
        .delete_all_cookies()
        .await
        .expect("signed out");
    chrome.goto(&result).await;
    chrome.says("12 lb 8 oz").await;
    chrome.says("8-4").await;
}

/// A member looks a peg up: the water, the peg, and days like a day to come.
async fn a_member_looks_a_peg_up(script: Script, place: Place) {
    let club = Club::open(place).await;
    let chrome = Chrome::open(script).await;
    sign_in(&chrome, &club.links.angler).await;

    chrome.tap_link("Venues").await;
    chrome.arrives(|path| path.ends_with("/venues")).await;
    chrome.tap("main ul a[href*=\"/venues/\"]").await;
    chrome.arrives(|path| path.contains("/venues/")).await;
    let water = chrome.find("h1").await.text().await.expect("a heading");
    chrome.tap("main li a[href*=\"/pegs/\"]").await;
    chrome.arrives(|path| path.contains("/pegs/")).await;
    chrome.says("Peg").await;
    chrome.says(&water).await;
    assert!(chrome.here().await.starts_with(&club.address));
    // Nothing about a peg without what stands behind it.
    chrome.says("session").await;
    chrome.tap("main a[href*=\"like-days\"]").await;
    chrome.says("How far to trust this.").await;
    chrome.says("Ask of another day, peg or fish").await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn an_angler_reports_from_a_phone() {
    an_angler_reports(Script::On, Place::Root).await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn an_angler_reports_under_a_path_that_a_proxy_takes_away_and_without_scripts() {
    an_angler_reports(Script::Off, Place::PathTaken).await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_was_typed_is_still_there_after_a_sending_that_never_arrived() {
    an_angler_goes_back_from_a_sending_that_failed(Script::On).await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn an_organiser_brings_a_sheet_in_and_posts_a_result_from_a_phone() {
    an_organiser_posts_a_match(Script::On).await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn an_organiser_does_the_same_without_scripts() {
    an_organiser_posts_a_match(Script::Off).await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_member_looks_a_peg_up_on_a_phone_under_a_path() {
    a_member_looks_a_peg_up(Script::On, Place::PathKept).await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_member_looks_a_peg_up_without_scripts() {
    a_member_looks_a_peg_up(Script::Off, Place::Root).await;
}
