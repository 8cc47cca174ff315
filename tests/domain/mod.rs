//! Mirrors `src/domain`.

mod cautions;
mod close_season;
mod customs;
mod matches;
mod merging;
mod names;
mod passwords;
mod pegs;
mod units;
mod unlikely_weather;
mod weather;
