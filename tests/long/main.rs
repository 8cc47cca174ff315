//! Simulations too long for every run:
//! `cargo test --release --test long -- --nocapture simulations` prints the tables of the
//! section "Simulations" of DEVELOPERS.md. `cargo test` leaves this binary out.

#[path = "../statistics/simulated_answers.rs"]
mod simulated_answers;
#[path = "../statistics/simulated_club.rs"]
mod simulated_club;

mod expectation;
mod rates;
mod shared_out;
