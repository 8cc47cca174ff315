//! Mathematics that has never heard of fish: no domain word, no I/O, no clock.

pub mod cholesky; // small positive definite systems on flat slices
pub mod circular; // bearings and vector means
pub mod counts; // exact limits of a Poisson rate
pub mod harmonics; // the turning year as sines and cosines
pub mod negative_binomial; // deviance, and ridge-penalised fits at a fixed size
pub mod quantiles; // of a sample, by named conventions
pub mod randomise; // how far a sum stands from what chance draws would give
pub mod ratio; // a ratio of totals over clusters, with CR2 and Satterthwaite degrees
pub mod resample; // bootstrap from a given generator
pub mod robust;
pub mod weighted; // effective sizes of weighted samples // medians and the Theil–Sen line
