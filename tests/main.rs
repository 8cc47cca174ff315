//! The one test binary: it links once, and `cargo test --test main web::matches` narrows it.

mod domain;
mod numerics;
mod statistics;
mod tables;
mod support;
mod web;
