//! Mirrors `src/statistics`.
