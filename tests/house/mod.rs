//! The house rules, as tests.

mod layers;
mod pages;
mod palette;
mod settings;
