//! Wide, read-only questions that feed `statistics`. Of sessions and matches they read the four
//! `fishing` views and nothing else; of weather, what `store::weather` says. Never one query a
//! day: a venue's history comes in a few.

pub mod days; // sessions of a venue by series and set of groups
pub mod entries; // entries of posted matches, and matches in a line
pub mod pegs; // the sessions, spells and timed fish of one peg
pub mod rates; // catches behind the rates of the record
pub mod run_up; // the weather of a venue, kept in memory until it changes
pub mod spells; // methods and lines of single days
pub mod studies; // what was worked out of each series, as kept
