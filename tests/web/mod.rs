//! Mirrors `src/web`: each page asked for as a browser would.

mod access;
mod committee;
mod matches;
mod pictures;
mod sessions;
mod sign_in;
mod venues;
mod weather;
