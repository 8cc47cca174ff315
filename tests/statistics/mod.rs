//! Mirrors `src/statistics`.

mod expectation;
mod reference_days;
