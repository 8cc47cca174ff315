//! A real browser on the real program. Needs chromium and chromedriver, and the accessibility
//! engine in target/browser: tests/run installs all three.

mod behind;
mod chrome;
mod club;
mod ending;
mod journeys;
mod keyboard;
mod large;
mod light;
mod pages;
mod planted;
