//! The command line: one file a command.

use std::{path::PathBuf, process::ExitCode};

use clap::{Parser, Subcommand};

mod data_folder;
mod serve;

/// Peglore: the shared memory of one club's water.
#[derive(Parser)]
#[command(name = "peglore", version, about, max_term_width = 100)]
struct CommandLine {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Start the club's site. Everything is kept in one folder, which is made when it is not there.
    Serve {
        /// The folder that holds the club's record.
        #[arg(long, value_name = "FOLDER")]
        data: PathBuf,
    },
}

/// Why a command ended; shown as one sentence.
#[derive(Debug, thiserror::Error)]
pub enum Ending {
    #[error("{0}")]
    Sentence(String),
    /// The database is newer than the program: an exit code of its own.
    #[error("{0}")]
    NewerData(String),
}

impl From<crate::store::StoreError> for Ending {
    fn from(error: crate::store::StoreError) -> Self {
        match error {
            crate::store::StoreError::NewerSchema { .. } => Self::NewerData(error.to_string()),
            other => Self::Sentence(other.to_string()),
        }
    }
}

impl From<crate::actions::ActionError> for Ending {
    fn from(error: crate::actions::ActionError) -> Self {
        Self::Sentence(error.to_string())
    }
}

pub fn run() -> ExitCode {
    let asked = CommandLine::parse();
    tracing_subscriber::fmt()
        .with_writer(std::io::stderr)
        .with_max_level(tracing::Level::INFO)
        .with_target(false)
        .init();
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .expect("the system gives threads");
    let outcome = runtime.block_on(async {
        match asked.command {
            Command::Serve { data } => serve::run(&data).await,
        }
    });
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(ending) => {
            eprintln!("peglore: {ending}");
            match ending {
                Ending::NewerData(_) => ExitCode::from(3),
                Ending::Sentence(_) => ExitCode::FAILURE,
            }
        }
    }
}
