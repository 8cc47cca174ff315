//! Mirrors `src/domain`.

mod customs;
mod units;
mod weather;
