//! The vocabulary and the rules of the bank. No I/O, no async, no clock.

pub mod accounts;
pub mod cautions;
pub mod close_season;
pub mod club;
pub mod customs;
pub mod dates;
pub mod groups;
pub mod ids;
pub mod imports;
pub mod matches;
pub mod merging;
pub mod names;
pub mod passwords;
pub mod pegs;
pub mod sessions;
pub mod species;
pub mod throttle;
pub mod units;
pub mod venues;
pub mod weather;
