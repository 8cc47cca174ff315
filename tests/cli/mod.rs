//! Mirrors `src/cli`: the demonstration planted for real, backed up, restored and verified.

mod account;
mod backup;
mod damage;
mod demo;
mod folders;
mod import_sheet;
mod import_weather;
