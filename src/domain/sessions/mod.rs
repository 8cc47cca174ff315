//! Sessions as anglers report them: one angler, one date, spells on a peg, and what was caught.

pub mod fish;
pub mod last_time;
pub mod match_part;
pub mod outing;
pub mod report;
pub mod spell;
pub mod usual;

pub use fish::{Caught, NamedFish, Tally};
pub use report::{Report, Visibility};
pub use spell::Spell;
