//! Weather: the ten-day grid, where its figures come from, and where two of them disagree.

pub mod conflicts; // two sources, two figures: which is believed
pub mod grid; // ten days, typed in one go
pub mod index; // every venue with its last ten days
pub mod sources; // names, ranks, day ends
pub mod window; // ten days at a venue, and figures as the pages show them
