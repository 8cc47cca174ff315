//! What the club asks of its data. Pure: domain values in, answers out.

pub mod expectation; // what to expect, and how well that has predicted (S3)
