//! The committee's pages: what officers look after.

pub mod desk;
pub mod people;
pub mod person;
