//! What the club asks of its data. Pure: domain values in, answers out.
