//! What the club asks of its data. Pure: domain values in, answers out.

pub mod at_a_peg; // hours and methods of one peg, counted
pub mod daylight; // how long the sun is up
pub mod expectation; // what to expect, and how well that has predicted (S3)
pub mod expected_field; // how many anglers a match to come is likely to draw
pub mod fished_days; // sessions added up, one row a fished day
pub mod hours; // fish by hour since the start, counted
pub mod like_days; // the past days most like this one (S3)
pub mod methods; // effort and catch by method, counted
pub mod peg_effect; // what a peg gives beside the others of its matches (S3)
pub mod peg_effects; // the same for every peg of a water
pub mod rates; // fish and weight per rod-hour, with intervals (S1)
pub mod record; // rates by series and set of groups, with whom they may be shown from (S1)
pub mod run_up; // weather features over the days before a session
pub mod run_up_words; // the same days in a sentence
pub mod series_study; // a series of a venue studied whole, to be kept (S3)
pub mod water_temperature; // from the air of the days before and the venue's own readings
pub mod what_it_took; // winning, framed and median weights of like matches (S3)
pub mod wording; // numbers and days as a sentence wants them
