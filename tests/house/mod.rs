//! The house rules, as tests.

mod layers;
mod length;
mod outside;
mod pages;
mod palette;
mod print;
mod settings;
mod tree;
