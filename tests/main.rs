//! The one test binary: it links once, and `cargo test --test main web::matches` narrows it.

mod browser;
mod cli;
mod crash;
mod domain;
mod formats;
mod house;
mod numerics;
mod settings;
mod statistics;
mod store;
mod support;
mod tables;
mod upkeep;
mod web;
