//! Everything that changes the record.
