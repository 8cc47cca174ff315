//! Mirrors `src/web/matches`: a match from its making to a corrected result.

mod journey;
