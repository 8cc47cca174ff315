//! Mirrors `src/web`: each page asked for as a browser would.

mod access;
mod committee;
mod sign_in;
mod venues;
