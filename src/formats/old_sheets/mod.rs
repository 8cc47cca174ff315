//! Past results and sessions from any CSV: which column holds what, what a file leaves out and
//! is asked once, and each row understood or a problem with its line. Pure: names are matched to
//! anglers, and rows to what is on record, elsewhere.

mod caught;
mod contradictions;
mod fields;
mod mapping;
mod nameless;
mod parts;
mod places;
mod reading;
mod rows;
mod same_day;
mod times;
mod totals;
mod unusual;

pub use fields::{Column, Field, guess, headings_not_taken, names_not_taken};
pub use mapping::{Ask, BareWeights, Mapping, SameDay, SheetOf, nothing_taken_from};
pub use places::disagreements;
pub use reading::read;
pub use rows::{BadRow, Entry, Net, OldSheet, PastMatch, RowOf, Told, lines_named, ranking};
pub use same_day::SameDayRow;
pub use totals::TotalLine;
pub use unusual::{Unlikely, unlikely, unusual};
