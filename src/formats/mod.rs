//! Text in and out, pure: CSV, weather files, old sheets. Bytes and values in, values and text
//! out; nothing here knows the database, the clock or the network.

pub mod csv;
pub mod days;
pub mod ghcn_daily;
pub mod old_sheets;
pub mod weather_csv;
pub mod weather_file;
