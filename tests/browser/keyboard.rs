//! A report by keyboard alone and without scripts: refused, mended where the summary leads, saved.

use std::time::{Duration, Instant};

use fantoccini::{
    actions::{InputSource, KeyAction, KeyActions},
    key::Key,
};
use serde_json::Value;

use super::{
    chrome::{Chrome, Script},
    club::{Club, Place},
    journeys::sign_in,
};

/// What the keys would act on, and whether one sees that it is this.
const FOCUS: &str = "
const at = document.activeElement, ring = getComputedStyle(at);
return {
  name: at.name || at.textContent.trim(),
  summary: at.matches('.summary'),
  seen: ring.outlineStyle !== 'none' && parseFloat(ring.outlineWidth) >= 2
    && ring.outlineColor !== getComputedStyle(document.body).backgroundColor,
};";

/// A box for a date is four stops; one is to spare.
const STOPS_IN_A_BOX: usize = 5;

/// Presses one key after another.
async fn press(chrome: &Chrome, keys: impl IntoIterator<Item = char>) {
    let mut pressed = KeyActions::new("keyboard".to_owned());
    for value in keys {
        pressed = pressed
            .then(KeyAction::Down { value })
            .then(KeyAction::Up { value });
    }
    let done = chrome.client.perform_actions(pressed).await;
    done.expect("the keys are pressed");
}

/// Presses Tab, with Shift to go back.
async fn step(chrome: &Chrome, back: bool) -> Value {
    let (tab, shift) = (char::from(Key::Tab), char::from(Key::Shift));
    let mut pressed = KeyActions::new("keyboard".to_owned());
    if back {
        pressed = pressed.then(KeyAction::Down { value: shift });
    }
    pressed = pressed
        .then(KeyAction::Down { value: tab })
        .then(KeyAction::Up { value: tab });
    if back {
        pressed = pressed.then(KeyAction::Up { value: shift });
    }
    let done = chrome.client.perform_actions(pressed).await;
    done.expect("the keys are pressed");
    let at = chrome.run(FOCUS, Vec::new()).await;
    assert_eq!(at["seen"], true, "the focus is not to be seen: {at}");
    at
}

/// Goes on with Tab to what is called `name`; nothing on the way holds the focus.
async fn reach(chrome: &Chrome, name: &str) {
    let (mut last, mut stops) = (Value::Null, 0);
    for _ in 0..120 {
        let at = step(chrome, false).await["name"].clone();
        if at == name {
            return;
        }
        stops = if at == last { stops + 1 } else { 1 };
        assert!(stops <= STOPS_IN_A_BOX, "{at} keeps the focus");
        last = at;
    }
    panic!("Tab does not lead to {name}: {}", chrome.words().await);
}

/// Waits a little until the focus is where `there` says.
async fn focus_is(chrome: &Chrome, there: impl Fn(&Value) -> bool) {
    let until = Instant::now() + Duration::from_secs(10);
    loop {
        let at = chrome.run(FOCUS, Vec::new()).await;
        if there(&at) {
            assert_eq!(at["seen"], true, "the focus is not to be seen: {at}");
            return;
        }
        assert!(Instant::now() < until, "the focus is on {at}");
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_report_is_made_refused_mended_and_saved_by_keyboard_alone() {
    let club = Club::open(Place::Root).await;
    let chrome = Chrome::open(Script::Off).await;
    sign_in(&chrome, &club.links.angler).await;
    let enter = [char::from(Key::Enter)];

    chrome
        .goto(&format!("{}/report?venue=1", club.address))
        .await;
    // The first stop leads past the masthead.
    assert_eq!(step(&chrome, false).await["name"], "Skip to the page");
    press(&chrome, enter).await;
    assert_eq!(step(&chrome, false).await["name"], "peg");
    press(&chrome, "1".chars()).await;
    reach(&chrome, "silvers_number").await;
    press(&chrome, "five".chars()).await;
    reach(&chrome, "silvers_weight").await;
    press(&chrome, "3-4".chars()).await;
    reach(&chrome, "visibility").await;
    press(&chrome, " ".chars()).await;
    reach(&chrome, "Save report").await;
    // The form lets go at its end, and is come back to.
    assert_ne!(step(&chrome, false).await["name"], "Save report");
    assert_eq!(step(&chrome, true).await["name"], "Save report");
    press(&chrome, enter).await;

    chrome.says("not a whole number").await;
    let title = chrome.client.title().await.expect("a title");
    assert!(title.starts_with("Error:"), "{title}");
    focus_is(&chrome, |at| at["summary"] == true).await;
    // Its first stop is the sentence, which leads to the box; what was typed is in it.
    let sentence = step(&chrome, false).await;
    let sentence = sentence["name"].as_str().unwrap_or_default();
    assert!(sentence.contains("not a whole number"), "{sentence}");
    press(&chrome, enter).await;
    focus_is(&chrome, |at| at["name"] == "silvers_number").await;
    let kept = "return document.activeElement.value";
    assert_eq!(chrome.run(kept, Vec::new()).await, "five");

    let rubber = [char::from(Key::Backspace); 4];
    press(&chrome, [char::from(Key::End)]).await;
    press(&chrome, rubber).await;
    press(&chrome, "5".chars()).await;
    press(&chrome, enter).await;
    chrome.says("5 fish, 3 lb 4 oz").await;
    let here = chrome.here().await;
    assert!(here.contains("/sessions/"), "{here}");
}
