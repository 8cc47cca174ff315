//! Mirrors `src/formats`.

use peglore::formats::csv::{Heading, Sheet, read};

mod csv;
mod days;
mod ghcn_daily;
mod old_sheets;
mod sheet_part_guesses;
mod sheet_parts;
mod sheet_slips;
mod sheet_times;
mod sheet_totals;
mod weather_csv;
mod weather_file;

/// A sheet whose heading is found by itself.
fn sheet(text: &str) -> Sheet {
    read(text.as_bytes(), Heading::Guess).expect("a readable sheet")
}
