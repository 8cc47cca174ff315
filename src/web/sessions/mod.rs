//! Reports of sessions: written, shown, changed, taken back.

mod choices;
pub mod edit;
mod form;
pub mod mine;
mod of_entry;
mod pairs;
pub mod quick;
pub mod report;
pub mod session;
mod told;
mod typed;
mod waters;

pub(super) use told::scales_words;
