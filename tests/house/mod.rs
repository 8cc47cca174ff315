//! The house rules, as tests.

mod layers;
mod length;
mod pages;
mod palette;
mod print;
mod settings;
