//! Mirrors `src/web`: each page asked for as a browser would.

mod access;
mod anglers;
mod committee;
mod diary;
mod cross_site;
mod guesses;
mod home;
mod hostile;
mod imports;
mod joining;
mod light_pages;
mod links;
mod matches;
mod own_sign_ins;
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
