//! Mirrors `src/statistics`.

mod at_a_peg;
mod daylight;
mod expectation;
mod fished_days;
mod hours;
mod like_days;
mod methods;
mod peg_effect;
mod peg_effects;
mod rates;
mod record;
mod reference_days;
mod run_up;
mod run_up_hourly;
mod run_up_words;
mod simulated_answers;
mod simulated_club;
mod simulated_later;
mod simulated_pegs;
mod simulations;
mod steps;
mod water_temperature;
mod weather_days;
mod what_it_took;
