//! Mirrors `src/domain`.

mod units;
