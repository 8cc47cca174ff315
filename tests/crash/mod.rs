//! The real program as a child: killed, stopped, started badly, backed up under load. Nothing that
//! it said was saved may be missing afterwards.

mod backups;
mod beginnings;
mod connections;
mod garbage;
pub mod harness;
mod kills;
mod restores;
mod starts;
mod stops;
mod upgrades;
