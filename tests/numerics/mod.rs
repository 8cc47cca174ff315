//! Mirrors `src/numerics`.

mod circular;
mod counts;
mod negative_binomial;
mod ratio;
mod robust;
mod weighted;
