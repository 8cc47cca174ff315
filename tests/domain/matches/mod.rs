//! Mirrors `src/domain/matches`.

mod figures;
mod results;
