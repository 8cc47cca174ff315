//! The house rules, as tests.

mod layers;
mod palette;
