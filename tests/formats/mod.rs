//! Mirrors `src/formats`.

mod csv;
mod days;
mod ghcn_daily;
mod weather_csv;
