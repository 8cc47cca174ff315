//! The house rules, as tests.

mod palette;
