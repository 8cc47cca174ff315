//! Mirrors `src/domain`.

mod customs;
mod matches;
mod names;
mod pegs;
mod units;
mod weather;
