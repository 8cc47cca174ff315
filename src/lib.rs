//! Peglore: the shared memory of one club's water, and its honest statistician.
//!
//! The folder says what kind of code it is; the file says which part of angling it is about.
//! Nothing imports upwards; `tests/house` holds that rule.

pub mod actions; // everything that changes the record
pub mod cli; // the command line, one file a command
pub mod demo; // an invented club of any size from a seed
pub mod domain; // the vocabulary and the rules of the bank
pub mod formats; // text in and out
pub mod memory; // what the system is told about memory
pub mod numerics; // mathematics that has never heard of fish
pub mod settings; // every setting, read once at start
pub mod statistics; // what the club asks of its data
pub mod store; // every SQL statement
pub mod upkeep; // what the program does by itself, on a clock
pub mod web; // HTTP: decode, ask, show
