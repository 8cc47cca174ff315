//! The committee's pages: what officers look after.

pub mod club;
pub mod desk;
pub mod people;
pub mod person;
pub mod tackle;
