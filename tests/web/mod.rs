//! Mirrors `src/web`: each page asked for as a browser would.

mod access;
mod anglers;
mod committee;
mod diary;
mod home;
mod hostile;
mod imports;
mod joining;
mod light_pages;
mod matches;
mod peg;
mod pictures;
mod record;
mod sessions;
mod sign_in;
mod venues;
mod water;
mod water_readings;
mod weather;
mod weather_import;
mod what_it_took;
