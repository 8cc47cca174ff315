//! Mirrors `src/numerics`.
