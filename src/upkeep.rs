//! What the program does by itself, on a clock: refits, daily checks, backups, expiry. Each is an action.
