//! The browser of a test is gone when the test is.

use std::{
    fs,
    time::{Duration, Instant},
};

use super::chrome::{Chrome, Script};

/// The processes that were started with these words.
fn running_with(words: &str) -> Vec<String> {
    let processes = fs::read_dir("/proc").expect("a Linux machine");
    processes
        .flatten()
        .filter_map(|process| fs::read(process.path().join("cmdline")).ok())
        .map(|line| String::from_utf8_lossy(&line).replace('\0', " "))
        .filter(|line| line.contains(words))
        .collect()
}

#[tokio::test]
async fn a_browser_that_is_dropped_is_gone() {
    let chrome = Chrome::open(Script::On).await;
    let profile = chrome.profile.path().display().to_string();
    assert!(!running_with(&profile).is_empty());
    drop(chrome);
    let until = Instant::now() + Duration::from_secs(10);
    while !running_with(&profile).is_empty() {
        assert!(Instant::now() < until, "{:?}", running_with(&profile));
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
}
