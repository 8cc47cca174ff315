//! Mirrors `src/statistics`.

mod daylight;
mod expectation;
mod hours;
mod methods;
mod rates;
mod reference_days;
mod run_up;
mod run_up_hourly;
mod run_up_words;
mod water_temperature;
mod weather_days;
mod what_it_took;
