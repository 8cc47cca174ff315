//! The command line: one file a command.

use std::{io::IsTerminal, path::PathBuf, process::ExitCode};

use clap::{Parser, Subcommand};
use rustix::fs::Mode;

mod account;
mod backup;
mod damage;
mod data_folder;
mod demo;
mod import;
mod mistyped;
mod restore;
mod serve;
mod settings;
mod verify;

/// Time that work in the background gets once the command is done.
const LAST_WORK: std::time::Duration = std::time::Duration::from_secs(1);

/// What somebody who reads the help for the first time does next.
const BEGIN_WITH: &str = "To look round an invented club:  peglore demo
To begin your own:               peglore serve --data FOLDER
To read more of a command:       peglore backup --help";

/// Peglore: the shared memory of one club's water.
#[derive(Parser)]
#[command(name = "peglore", version, about, max_term_width = 100, after_help = BEGIN_WITH)]
struct CommandLine {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Start the club's site. Everything is kept in one folder, which is made when it is not there.
    ///
    /// It prints the address to open in a browser; the first start also prints a link, which makes
    /// whoever opens it the first administrator. It runs until you press Ctrl-C; nothing that was
    /// saved is lost. What can be set, such as the address, “peglore settings” shows.
    Serve {
        /// The folder that holds the club's record.
        #[arg(long, value_name = "FOLDER")]
        data: PathBuf,
    },
    /// Show an invented club in a throw-away folder, with two years of matches. Nothing real is touched.
    ///
    /// It prints the address to open in a browser and three links that sign you in, once each: as an
    /// angler, an organiser and an administrator. Press Ctrl-C to stop it; the folder goes with it.
    Demo {
        /// How large a club: usual, or large (ten seasons, 100,000 sessions).
        #[arg(long, value_enum, default_value = "usual")]
        size: demo::DemoSize,
        /// Keep the club in this folder, which must be empty or not there.
        #[arg(long, value_name = "FOLDER")]
        data: Option<PathBuf>,
    },
    /// List who can sign in, make an account, or a link for a new password. The server must be stopped.
    ///
    /// This is the way back in when no administrator can sign in. Otherwise it is done on the site,
    /// under Committee, People who sign in, while everything goes on.
    Account {
        /// The folder that holds the club's record.
        #[arg(long, value_name = "FOLDER")]
        data: PathBuf,
        #[command(subcommand)]
        what: account::What,
    },
    /// Copy the whole record into one file and prove the copy. Works while the server runs.
    ///
    /// Keep a copy on another machine: the server's own daily backups lie on the same disk as the
    /// record. The file holds people's names and sign-ins, so leave it where only officers can read it.
    Backup {
        /// The folder that holds the club's record.
        #[arg(long, value_name = "FOLDER")]
        data: PathBuf,
        /// The file to write; it must not be there yet. Left out: backups/ in the data folder.
        #[arg(long, value_name = "FILE")]
        to: Option<PathBuf>,
    },
    /// Put a backup back. What was there is moved aside, never deleted. The server must be stopped.
    ///
    /// The backup is proved first, and again once it is copied. In the end it says what is there now.
    /// Settings come back with it where the folder has no settings.txt of its own.
    Restore {
        /// The backup to put back: a file that “backup” or the server made.
        #[arg(long, value_name = "FILE")]
        from: PathBuf,
        /// The folder it is put into, which is made when it is not there.
        #[arg(long, value_name = "FOLDER")]
        data: PathBuf,
        /// Replace the record that is in the folder now.
        #[arg(long)]
        replace: bool,
    },
    /// Check that a backup, or the record in a data folder, is whole, and say what is in it.
    Verify {
        /// A backup file or a data folder.
        path: PathBuf,
    },
    /// Bring a file into the record, list what was brought in, or take a file out again. The server must be stopped.
    Import {
        /// The folder that holds the club's record.
        #[arg(long, value_name = "FOLDER")]
        data: PathBuf,
        #[command(subcommand)]
        what: import::What,
    },
    /// Show every setting, its value here, and what it means.
    ///
    /// To change one, write a line such as “listen = 0.0.0.0:8080” into settings.txt in the data
    /// folder, or set PEGLORE_LISTEN=0.0.0.0:8080 in the environment, which wins. Then start again.
    Settings {
        /// The folder whose settings.txt is read; left out: this one.
        #[arg(long, value_name = "FOLDER", default_value = ".")]
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
            damaged if damaged.is_malformed() => damage::anywhere(&damaged),
            other => Self::Sentence(other.to_string()),
        }
    }
}

impl From<crate::actions::backup::BackupError> for Ending {
    fn from(error: crate::actions::backup::BackupError) -> Self {
        match error {
            crate::actions::backup::BackupError::Store(e) => e.into(),
            crate::actions::backup::BackupError::Newer { .. } => Self::NewerData(error.to_string()),
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
    let asked = match CommandLine::try_parse() {
        Ok(asked) => asked,
        Err(error) => return mistyped::told(&error),
    };
    // What is made from here on, record and backups, is for this user alone to read.
    rustix::process::umask(Mode::RWXG | Mode::RWXO);
    tracing_subscriber::fmt()
        .with_writer(std::io::stderr)
        .with_max_level(tracing::Level::INFO)
        .with_target(false)
        .with_ansi(std::io::stderr().is_terminal())
        .init();
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .expect("the system gives threads");
    let outcome = runtime.block_on(async {
        match asked.command {
            Command::Serve { data } => serve::run(&data).await,
            Command::Demo { size, data } => demo::run(size, data).await,
            Command::Account { data, what } => account::run(&data, what).await,
            Command::Backup { data, to } => backup::run(&data, to).await,
            Command::Restore {
                from,
                data,
                replace,
            } => restore::run(&from, &data, replace).await,
            Command::Verify { path } => verify::run(&path).await,
            Command::Import { data, what } => import::run(&data, what).await,
            Command::Settings { data } => settings::run(&data),
        }
    });
    // A fit that is being made is not waited for: it is begun again at the next start.
    runtime.shutdown_timeout(LAST_WORK);
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
