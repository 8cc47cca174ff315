//! Wide, read-only questions that feed `statistics`. Of sessions and matches they read the four
//! `fishing` views and nothing else; of weather, what `store::weather` says. Never one query a
//! day: a venue's history comes in a few.

pub mod days; // sessions of a venue by series and set of groups
pub mod run_up; // the weather of a venue, kept in memory until it changes
