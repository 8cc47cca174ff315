//! Reports of sessions: written, shown, changed, taken back.

pub mod edit;
mod form;
pub mod mine;
pub mod quick;
pub mod report;
pub mod session;
mod typed;
