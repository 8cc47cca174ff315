//! An invented club of any size, made from a seed.
