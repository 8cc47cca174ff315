//! Mirrors `src/numerics`.

mod negative_binomial;
mod weighted;
mod circular;
mod counts;
mod ratio;
mod robust;
