//! Text in and out, pure: CSV, JSON, weather files.
