//! Reads the command line and calls `cli`; nothing else.

fn main() {}
