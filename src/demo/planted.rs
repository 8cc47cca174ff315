//! What is planted in the demonstration club: the truth that its statistics should find.
//!
//! Fish an hour for an average angler on an average peg, on the log scale, is the sum of these.

/// Fish a rod-hour on an average day.
pub const MIDDLE: f64 = 2.2;
/// Half the distance between the height of summer and the depth of winter, log scale.
pub const SEASON: f64 = 0.55;
/// For each 3 °C by which the mean of the three days before lies above its season.
pub const WARMTH: f64 = 0.40;
/// For each frost night in the week before.
pub const FROST: f64 = -0.10;
/// Day-to-day noise that no weather explains, standard deviation of the log.
pub const DAY: f64 = 0.25;
/// Spread between anglers, and between pegs, standard deviations of the log.
pub const ANGLER: f64 = 0.40;
pub const PEG: f64 = 0.20;
/// Shape of the gamma that makes one angler's day bunch beyond Poisson.
pub const BUNCHING: f64 = 3.0;

/// The log of the expected fish a rod-hour from the season and the run-up.
pub fn log_rate(day_of_year: f64, warmth_c: f64, frost_nights: f64) -> f64 {
    let turn = std::f64::consts::TAU * (day_of_year - 200.0) / 365.25;
    MIDDLE.ln() + SEASON * turn.cos() + WARMTH * warmth_c / 3.0 + FROST * frost_nights
}
