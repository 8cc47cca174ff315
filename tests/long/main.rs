//! Simulations too long for every run:
//! `cargo test --release --test long -- --nocapture simulations` prints the tables of the
//! section "Simulations" of DEVELOPERS.md; `crash` kills and stops the program a hundred times each;
//! `strangers` guesses at passwords and sends slowly.
//! `cargo test` leaves this binary out.

#[path = "../crash/harness/mod.rs"]
#[allow(dead_code, reason = "the short form of these checks uses the rest")]
mod harness;
#[path = "../statistics/simulated_answers.rs"]
mod simulated_answers;
#[path = "../statistics/simulated_club.rs"]
mod simulated_club;
#[path = "../statistics/simulated_later.rs"]
mod simulated_later;
#[path = "../statistics/simulated_pegs.rs"]
mod simulated_pegs;

mod crash;
mod expectation;
mod later;
mod pegs;
mod rates;
mod shared_out;
mod strangers;
