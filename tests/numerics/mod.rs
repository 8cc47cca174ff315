//! Mirrors `src/numerics`.

mod circular;
mod counts;
mod negative_binomial;
mod randomise;
mod ratio;
mod robust;
mod weighted;
