//! Mirrors `src/store`: what is kept, and what pages and fits read of it.

mod fits;
mod ids;
mod marks;
mod refused;
