//! Every SQL statement of the program.
