//! Weather: the ten-day grid, where its figures come from, where two of them disagree, files
//! brought in and taken away, and readings of the water.

pub mod conflicts; // two sources, two figures: which is believed
pub mod export; // all days of all sources, as CSV
pub mod grid; // a day and the ten before it, typed in one go
pub mod import; // choosing a weather file
mod import_figures; // its figures as they would be kept
pub mod import_file; // how a file is read, what it would change, saving and undoing it
mod import_words; // the same in words
pub mod index; // every venue with its last days
pub mod reading; // one reading of the water, corrected or taken out
pub mod sources; // names, ranks, day ends
mod typed_beliefs;
mod typed_days; // the grid's form, and what is asked of it
mod typed_reading; // a reading as people type it
pub mod water; // readings of the water, and its temperature where nobody read it
pub mod window; // eleven days at a venue, and figures as the pages show them
