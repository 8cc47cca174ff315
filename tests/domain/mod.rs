//! Mirrors `src/domain`.

mod cautions;
mod close_season;
mod customs;
mod matches;
mod names;
mod pegs;
mod units;
mod weather;
