//! Mirrors `src/domain`.

mod units;
mod customs;
mod weather;
