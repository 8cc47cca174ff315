//! Days as they are written.

use peglore::domain::dates::Day;

/// `2026-06-01`.
pub fn day(text: &str) -> Day {
    Day::parse(text).expect("a real day")
}
