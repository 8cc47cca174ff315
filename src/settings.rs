//! Every setting, read once at start.
