//! Reads the command line, starts the log and calls `cli`; nothing else.

use std::process::ExitCode;

fn main() -> ExitCode {
    peglore::memory::give_back_large_blocks();
    peglore::cli::run()
}
