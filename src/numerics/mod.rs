//! Mathematics that has never heard of fish: no domain word, no I/O, no clock.
