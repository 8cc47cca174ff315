//! Mirrors `src/formats`.

mod csv;
mod days;
mod ghcn_daily;
mod old_sheets;
mod sheet_slips;
mod sheet_times;
mod weather_csv;
mod weather_file;
