//! The vocabulary and the rules of the bank. No I/O, no async, no clock.

pub mod accounts;
pub mod customs;
pub mod dates;
pub mod groups;
pub mod ids;
pub mod units;
pub mod weather;
