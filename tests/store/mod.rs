//! Mirrors `src/store`: what is kept, and what pages and fits read of it.

mod changes;
mod fits;
mod ids;
mod marks;
mod refused;
