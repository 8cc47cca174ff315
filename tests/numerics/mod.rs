//! Mirrors `src/numerics`.

mod negative_binomial;
mod weighted;
